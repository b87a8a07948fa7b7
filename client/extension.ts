/** The extension's entry: starts the language server for the three kinds of file, and ends it. */
import { commands, type ExtensionContext, l10n, window } from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { createLanguageClient } from './language-client.ts';

let client: LanguageClient | undefined;

/** Resolves when the server runs, or when the user was told that it does not. */
export async function activate(context: ExtensionContext): Promise<void> {
  const running = createLanguageClient(context);
  client = running;
  context.subscriptions.push(
    commands.registerCommand('witnessmark.restartServer', () => start(running, () => running.restart())),
    commands.registerCommand('witnessmark.showOutput', () => running.outputChannel.show()),
  );
  await start(running, () => running.start());
}

export async function deactivate(): Promise<void> {
  await client?.dispose();
  client = undefined;
}

/** A server that does not start is told in one sentence; highlighting and snippets work without it. */
async function start(client: LanguageClient, attempt: () => Promise<void>): Promise<void> {
  try {
    await attempt();
  } catch (error) {
    client.error('The language server did not start.', error, false);
    const showOutput = l10n.t('Show Output');
    const message = l10n.t('Witnessmark: the language server did not start, so nothing is checked.');
    // Not awaited: the message may stand for as long as nobody answers it.
    window.showErrorMessage(message, showOutput).then((answer) => {
      if (answer === showOutput) client.outputChannel.show();
    });
  }
}
