/** The extension's entry on Node: the language server in a process of its own, and the check task. */
import type { ExtensionContext } from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { createGivenFiles } from './given-files.ts';
import { createLanguageClient } from './language-client.ts';
import { startExtension } from './start.ts';
import { registerCheckTask } from './tasks.ts';

let client: LanguageClient | undefined;

/** Resolves when the server runs, or when the user was told that it does not. */
export async function activate(context: ExtensionContext): Promise<void> {
  const given = createGivenFiles((uri) => uri.scheme !== 'file');
  client = createLanguageClient(context, given);
  context.subscriptions.push(registerCheckTask(context));
  await startExtension(context, client, given);
}

export async function deactivate(): Promise<void> {
  await client?.dispose();
  client = undefined;
}
