/** The command 'Export report': the report of the log as one page to keep, send or print. */
import { env, l10n, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { nameOf } from './new-log.ts';
import { reportPageMethod } from './requests.ts';

/** Asks where to, writes the page, and offers to open it. */
export async function exportReport(client: BaseLanguageClient, log: Uri): Promise<void> {
  const page = await client.sendRequest<string | null>(reportPageMethod, { uri: log.toString() });
  if (page === null) return;
  const target = await window.showSaveDialog({
    title: l10n.t('Export report'),
    defaultUri: Uri.joinPath(log, '..', nameOf(log).replace(/\.rebuild$/, '.html')),
    filters: { HTML: ['html'] },
  });
  if (target === undefined) return;
  await workspace.fs.writeFile(target, new TextEncoder().encode(page));
  const open = l10n.t('Open');
  if ((await window.showInformationMessage(l10n.t('Report written to {0}.', nameOf(target)), open)) === open)
    await env.openExternal(target);
}
