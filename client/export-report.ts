/** The command 'Export report': the report of the log as one page to keep, send or print. */
import { l10n, Uri } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { nameOf } from './new-log.ts';
import { reportPageMethod } from './requests.ts';
import { savePage } from './save.ts';

/** Asks where to, writes the page, and offers to open it. */
export async function exportReport(client: BaseLanguageClient, log: Uri): Promise<void> {
  const text = await client.sendRequest<string | null>(reportPageMethod, { uri: log.toString() });
  if (text === null) return;
  await savePage({
    title: l10n.t('Export report'),
    text,
    proposed: Uri.joinPath(log, '..', nameOf(log).replace(/\.rebuild$/, '.html')),
  });
}
