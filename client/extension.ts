/** The extension's entry: starts the language server for the three kinds of file, and what is shown beside them. */
import { commands, type ExtensionContext, type Uri } from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { followCurrentLog } from './current-log.ts';
import { exportReport } from './export-report.ts';
import { createLanguageClient } from './language-client.ts';
import { newLog } from './new-log.ts';
import { createOpenItems } from './open-items.ts';
import { createPreview } from './preview.ts';
import { createStatusItem } from './status-item.ts';
import { registerCheckTask } from './tasks.ts';

let client: LanguageClient | undefined;

/** Resolves when the server runs, or when the user was told that it does not. */
export async function activate(context: ExtensionContext): Promise<void> {
  const running = createLanguageClient(context);
  client = running;
  const log = followCurrentLog(running);
  context.subscriptions.push(
    log,
    createStatusItem(log),
    createOpenItems(log),
    createPreview(context, running, log),
    registerCheckTask(context),
    commands.registerCommand('witnessmark.restartServer', () => told(running.restart())),
    commands.registerCommand('witnessmark.showOutput', () => running.outputChannel.show()),
    commands.registerCommand('witnessmark.newLog', (table?: Uri) => newLog(running, table)),
    commands.registerCommand('witnessmark.exportReport', (uri?: Uri) =>
      exportReport(running, uri ?? log.uri),
    ),
  );
  void commands.executeCommand('setContext', 'witnessmark.active', true);
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
