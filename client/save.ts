/** Writing what the server made into a file that the user names. */
import { env, l10n, type Uri, window, workspace } from 'vscode';
import { nameOf } from './new-log.ts';

export interface Saved {
  readonly title: string;
  readonly text: string;
  /** Where it is proposed to go; undefined leaves it to the editor. */
  readonly proposed: Uri | undefined;
  /** Endings by what they are. */
  readonly filters: Readonly<Record<string, string[]>>;
}

/** Asks where to, and writes; gives the place, or undefined when the user would rather not. */
export async function save({ title, text, proposed, filters }: Saved): Promise<Uri | undefined> {
  const target = await window.showSaveDialog({
    title,
    filters,
    ...(proposed === undefined ? {} : { defaultUri: proposed }),
  });
  if (target === undefined) return undefined;
  await workspace.fs.writeFile(target, new TextEncoder().encode(text));
  return target;
}

/** Saves a page, and offers to open it: from there it is printed. */
export async function savePage(page: Omit<Saved, 'filters'>): Promise<void> {
  const target = await save({ ...page, filters: { HTML: ['html'] } });
  if (target === undefined) return;
  const open = l10n.t('Open');
  const said = l10n.t('{0} is written.', nameOf(target));
  if ((await window.showInformationMessage(said, open)) === open) await env.openExternal(target);
}
