/** The extension's entry: starts the language server for the three kinds of file, and what is shown beside them. */
import { commands, type Disposable, type ExtensionContext, l10n, Position, Uri, window } from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { compareWithAnother, compareWithEarlier } from './compare.ts';
import { type CurrentLog, followCurrentLog } from './current-log.ts';
import { exportReport } from './export-report.ts';
import { openFirstLog } from './first-log.ts';
import { followLine } from './inlay-hints.ts';
import { createLanguageClient } from './language-client.ts';
import { newLog } from './new-log.ts';
import { createOpenItems } from './open-items.ts';
import { createPreview } from './preview.ts';
import { showTrend } from './show-trend.ts';
import { createStatusItem } from './status-item.ts';
import { registerCheckTask } from './tasks.ts';
import { writeMark } from './write-mark.ts';

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
    followLine(running),
    commands.registerCommand('witnessmark.showReferences', (uri: string, at: Position) =>
      commands.executeCommand(
        'editor.action.findReferences',
        Uri.parse(uri),
        new Position(at.line, at.character),
      ),
    ),
    commands.registerCommand('witnessmark.restartServer', () => told(running.restart())),
    commands.registerCommand('witnessmark.showOutput', () => running.outputChannel.show()),
    commands.registerCommand('witnessmark.firstLog', openFirstLog),
    commands.registerCommand('witnessmark.newLog', (table?: Uri) => newLog(running, table)),
    ...forLog(log, {
      exportReport: (uri) => exportReport(running, uri),
      writeMark: (uri) => writeMark(running, uri),
      compare: (uri) => compareWithAnother(context, running, uri),
      compareEarlier: (uri) => compareWithEarlier(context, running, uri),
      showTrend: (uri) => showTrend(context, running, uri),
    }),
  );
  void commands.executeCommand('setContext', 'witnessmark.active', true);
  await told(running.start());
}

/** Commands on a log: the one that is given, else the one that the user is at. */
function forLog(
  log: CurrentLog,
  actions: Readonly<Record<string, (uri: Uri) => Promise<void>>>,
): readonly Disposable[] {
  return Object.entries(actions).map(([name, act]) =>
    commands.registerCommand(`witnessmark.${name}`, (given?: Uri) => {
      const uri = given ?? log.uri;
      if (uri !== undefined) return act(uri);
      void window.showInformationMessage(l10n.t('Open a rebuild log first: a file that ends in .rebuild.'));
      return undefined;
    }),
  );
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
