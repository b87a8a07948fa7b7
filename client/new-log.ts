/** The command 'New log from a table of limits': a blank log with all that the table asks for, in working order. */
import { l10n, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { worksheetMethod } from './requests.ts';

/** Asks for what is not given, writes the new log and opens it; never writes over a file. */
export async function newLog(client: BaseLanguageClient, given: Uri | undefined): Promise<void> {
  const table = given ?? (await pickTable(l10n.t('New log from a table of limits')));
  if (table === undefined) return;
  const target = await window.showSaveDialog({
    title: l10n.t('New log'),
    saveLabel: l10n.t('Create'),
    defaultUri: Uri.joinPath(table, '..', 'new.rebuild'),
    filters: { [l10n.t('Rebuild logs')]: ['rebuild'] },
  });
  if (target === undefined) return;
  if (await exists(target)) {
    void window.showErrorMessage(
      l10n.t(
        '{0} is there already. A log is evidence and is not written over: choose another name.',
        nameOf(target),
      ),
    );
    return;
  }
  // The server knows the table once a document of it is open.
  await workspace.openTextDocument(table);
  const text = await client.sendRequest<string | null>(worksheetMethod, {
    uri: table.toString(),
    as: relativePath(Uri.joinPath(target, '..').path, table.path),
  });
  if (text === null) {
    void window.showErrorMessage(l10n.t('{0} is no table of limits.', nameOf(table)));
    return;
  }
  await workspace.fs.writeFile(target, new TextEncoder().encode(text));
  await window.showTextDocument(await workspace.openTextDocument(target));
}

/** The table in the editor, else one that the user chooses under this title; undefined when there is none. */
export async function pickTable(title: string): Promise<Uri | undefined> {
  const active = window.activeTextEditor?.document;
  if (active?.languageId === 'rebuild-limits') return active.uri;
  const tables = await workspace.findFiles('**/*.limits', undefined, 500);
  if (tables.length === 0) {
    void window.showInformationMessage(
      l10n.t('There is no table of limits here yet: a file that ends in .limits, written from the manual.'),
    );
    return undefined;
  }
  const picked = await window.showQuickPick(
    tables.map((uri) => ({ label: nameOf(uri), description: workspace.asRelativePath(uri), uri })),
    { title, placeHolder: l10n.t('The table of the machine') },
  );
  return picked?.uri;
}

async function exists(uri: Uri): Promise<boolean> {
  try {
    await workspace.fs.stat(uri);
    return true;
  } catch {
    return false;
  }
}

export function nameOf(uri: Uri): string {
  return uri.path.slice(uri.path.lastIndexOf('/') + 1);
}

/** The path of a file from a folder, as a `use` names it. */
export function relativePath(folder: string, file: string): string {
  const from = folder.split('/').filter((part) => part !== '');
  const to = file.split('/').filter((part) => part !== '');
  let same = 0;
  while (same < from.length && same < to.length - 1 && from[same] === to[same]) same++;
  return [...from.slice(same).map(() => '..'), ...to.slice(same)].join('/');
}
