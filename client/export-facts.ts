/** The command 'Export facts': the facts of all logs of the folder, a row each, for an engine that reads JSON Lines. */
import { l10n, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { nameOf } from './new-log.ts';
import { type FactsParams, factsMethod } from './requests.ts';
import { save } from './save.ts';

/** Asks where to, and writes. */
export async function exportFacts(client: BaseLanguageClient): Promise<void> {
  const folder = workspace.workspaceFolders?.[0]?.uri;
  const params: FactsParams = folder === undefined ? {} : { root: folder.toString() };
  const text = await client.sendRequest<string | null>(factsMethod, params);
  if (text === null) {
    void window.showInformationMessage(l10n.t('There is no log here yet: a file that ends in .rebuild.'));
    return;
  }
  const target = await save({
    title: l10n.t('Export facts'),
    text,
    proposed: folder === undefined ? undefined : Uri.joinPath(folder, 'facts.ndjson'),
    filters: { [l10n.t('JSON Lines')]: ['ndjson', 'jsonl'] },
  });
  if (target !== undefined) {
    const rows = text.split('\n').length - 1;
    void window.showInformationMessage(l10n.t('{0} facts are written to {1}.', rows, nameOf(target)));
  }
}
