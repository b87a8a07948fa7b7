/** What the extension is, wherever its server runs: the client started, and what is shown beside the files. */
import {
  commands,
  type Disposable,
  type ExtensionContext,
  l10n,
  Position,
  Uri,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { benchCard } from './bench-card.ts';
import { compareWithAnother, compareWithEarlier } from './compare.ts';
import { type CurrentLog, followCurrentLog } from './current-log.ts';
import { exportFacts } from './export-facts.ts';
import { exportReport } from './export-report.ts';
import { openFirstLog } from './first-log.ts';
import type { GivenFiles } from './given-files.ts';
import { followLine, inlayHintsMiddleware } from './inlay-hints.ts';
import { newLog } from './new-log.ts';
import { createOpenItems } from './open-items.ts';
import { createPreview } from './preview.ts';
import { showDue } from './show-due.ts';
import { showTrend } from './show-trend.ts';
import { createStatusItem } from './status-item.ts';
import { writeMark } from './write-mark.ts';

const languages = ['rebuild-log', 'rebuild-limits', 'rebuild-bench'];

/**
 * The options of a client on any kind of server. `pages` is the folder of the rules' pages, for a server that cannot
 * look for it. Which files are watched is the server's to ask for.
 */
export function clientOptions(given: GivenFiles, pages?: string): LanguageClientOptions {
  // Not the other side of a comparison: what a file once said is not checked.
  const schemes = new Set([
    'file',
    'untitled',
    ...(workspace.workspaceFolders ?? []).map(({ uri }) => uri.scheme),
  ]);
  return {
    documentSelector: languages.flatMap((language) => [...schemes].map((scheme) => ({ language, scheme }))),
    initializationOptions: () => ({
      askAgain: 'editor.action.triggerSuggest',
      pictures: true,
      keepsLine: true,
      showReferences: 'witnessmark.showReferences',
      files: given.files,
      pages,
    }),
    initializationFailedHandler: () => false,
    middleware: { ...inlayHintsMiddleware, ...given.middleware },
  };
}

/** Resolves when the server runs, or when the user was told that it does not. */
export async function startExtension(
  context: ExtensionContext,
  client: BaseLanguageClient,
  given: GivenFiles,
): Promise<void> {
  // First, since the first question to the server starts it.
  await read(client, given);
  const log = followCurrentLog(client);
  context.subscriptions.push(
    log,
    given.follow(client),
    createStatusItem(log),
    createOpenItems(log),
    createPreview(context, client, log),
    followLine(client),
    commands.registerCommand('witnessmark.showReferences', (uri: string, at: Position) =>
      commands.executeCommand(
        'editor.action.findReferences',
        Uri.parse(uri),
        new Position(at.line, at.character),
      ),
    ),
    commands.registerCommand('witnessmark.restartServer', async () => {
      await read(client, given);
      if (client.needsStop()) await client.stop().catch(() => undefined);
      await start(client);
    }),
    commands.registerCommand('witnessmark.showOutput', () => client.outputChannel.show()),
    commands.registerCommand('witnessmark.firstLog', openFirstLog),
    commands.registerCommand('witnessmark.newLog', (table?: Uri) => newLog(client, table)),
    commands.registerCommand('witnessmark.benchCard', (table?: Uri) => benchCard(client, table)),
    commands.registerCommand('witnessmark.exportFacts', () => exportFacts(client)),
    commands.registerCommand('witnessmark.showDue', () => showDue(context, client)),
    ...forLog(log, {
      exportReport: (uri) => exportReport(client, uri),
      writeMark: (uri) => writeMark(client, uri),
      compare: (uri) => compareWithAnother(context, client, uri),
      compareEarlier: (uri) => compareWithEarlier(context, client, uri),
      showTrend: (uri) => showTrend(context, client, uri),
    }),
  );
  void commands.executeCommand('setContext', 'witnessmark.active', true);
  await start(client);
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

/** Reads what the server is handed, with a word in the output on what was left out. */
async function read(client: BaseLanguageClient, given: GivenFiles): Promise<void> {
  const leftOut = await given.read();
  if (leftOut !== undefined) client.outputChannel.warn(leftOut);
}

/**
 * The client itself tells the user of a server that does not start, with a button to the output; the extension
 * stays active for what works without a server.
 */
async function start(client: BaseLanguageClient): Promise<void> {
  await client.start().catch(() => undefined);
}
