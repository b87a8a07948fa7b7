/** The extension's entry: starts the language server for the three kinds of file, and ends it. */
import { commands, type ExtensionContext } from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { createLanguageClient } from './language-client.ts';

let client: LanguageClient | undefined;

/** Resolves when the server runs, or when the user was told that it does not. */
export async function activate(context: ExtensionContext): Promise<void> {
  const running = createLanguageClient(context);
  client = running;
  context.subscriptions.push(
    commands.registerCommand('witnessmark.restartServer', () => told(running.restart())),
    commands.registerCommand('witnessmark.showOutput', () => running.outputChannel.show()),
  );
  await told(running.start());
}

export async function deactivate(): Promise<void> {
  await client?.dispose();
  client = undefined;
}

/**
 * The client itself tells the user of a server that does not start, with a button to the output; the extension
 * stays active for what works without a server.
 */
async function told(start: Promise<void>): Promise<void> {
  await start.catch(() => undefined);
}
