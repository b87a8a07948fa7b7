/** The command 'Bench card from a table of limits': all that the table asks for, on a page with boxes to write in. */
import { l10n, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { nameOf, pickTable } from './new-log.ts';
import { benchCardMethod } from './requests.ts';
import { savePage } from './save.ts';

/** Asks for what is not given, writes the page, and offers to open it. */
export async function benchCard(client: BaseLanguageClient, given: Uri | undefined): Promise<void> {
  const table = given ?? (await pickTable(l10n.t('Bench card from a table of limits')));
  if (table === undefined) return;
  // The server knows the table once a document of it is open.
  await workspace.openTextDocument(table);
  const text = await client.sendRequest<string | null>(benchCardMethod, {
    uri: table.toString(),
    as: nameOf(table),
  });
  if (text === null) {
    void window.showErrorMessage(l10n.t('{0} is no table of limits.', nameOf(table)));
    return;
  }
  await savePage({
    title: l10n.t('Bench card'),
    text,
    proposed: Uri.joinPath(table, '..', nameOf(table).replace(/\.limits$/, '-card.html')),
  });
}
