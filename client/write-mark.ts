/** The command 'Write mark': pins what the log uses and marks its last signature, as one edit that can be undone. */
import { env, l10n, type Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type MarkResult, markMethod } from './requests.ts';

export async function writeMark(client: BaseLanguageClient, log: Uri): Promise<void> {
  const result = await client.sendRequest<MarkResult | null>(markMethod, { uri: log.toString() });
  if (result === null) return;
  if ('refused' in result) {
    void window.showWarningMessage(result.refused);
    return;
  }
  const edit = await client.protocol2CodeConverter.asWorkspaceEdit(
    result.edit as NonNullable<Parameters<typeof client.protocol2CodeConverter.asWorkspaceEdit>[0]>,
  );
  if (edit === undefined || !(await workspace.applyEdit(edit))) return;
  const unpinned =
    result.unpinned.length === 0
      ? ''
      : ` ${l10n.t('Not pinned, since it cannot be read: {0}.', result.unpinned.join(', '))}`;
  const copy = l10n.t('Copy the mark');
  const said = l10n.t(
    'Mark {0} written. It shows whether the text is changed later, not by whom: copy it into the paper logbook.',
    result.mark.slice(0, 16),
  );
  if ((await window.showInformationMessage(said + unpinned, copy)) === copy)
    await env.clipboard.writeText(result.mark.slice(0, 16));
}
