/** `witnessmark/mark`: the edit that pins what a log uses and writes the mark of its last signature without one. */

import { parse } from '../../grammar/index.ts';
import { fileDigest, markEdits, photosOf } from '../rebuild/index.ts';
import { type Checked, resolveUsed } from '../workspace/index.ts';
import { type DocumentParams, type MarkResult, markMethod } from './methods.ts';
import type { Request, Session } from './session.ts';
import { workspaceEdit } from './workspace-edit.ts';

export const mark: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest<MarkResult | null, void>(markMethod, ({ uri }: DocumentParams) => {
      session.readUsed();
      const checked = session.check(uri);
      if (checked === undefined) return null;
      const [unsaved] = unsavedUses(checked, session);
      if (unsaved !== undefined)
        return {
          refused: `${unsaved} has changes that are not saved, and a mark pins it as it is kept. Save it, then write the mark.`,
        };
      const plan = markEdits(checked.rebuild, { photos: photoDigests(checked, session) });
      if (!('edits' in plan)) return { refused: plan.message };
      const edits = plan.edits.map(({ path, block, start, end, text }) => ({
        path,
        start: block.start + start,
        end: block.start + end,
        text,
      }));
      return {
        edit: workspaceEdit(session, edits),
        mark: plan.mark,
        unpinned: plan.unpinned.filter(({ reason }) => reason === 'unread').map(({ file }) => file),
      };
    });
  },
};

/** The digests of the photographs that a log names, as far as they can be read. */
export function photoDigests({ path, rebuild }: Checked, session: Session): ReadonlyMap<string, string> {
  const digests = new Map<string, string>();
  for (const { file } of photosOf(rebuild)) {
    const digest = session.host.digest?.(session.uri(resolveUsed(path, file)));
    if (digest !== undefined) digests.set(file, digest);
  }
  return digests;
}

/**
 * The used files, as the log writes them, that are open and not as they are kept. A pin of such a text would tell of a
 * change for ever once it is thrown away: the line is signed by then.
 */
export function unsavedUses({ path, rebuild }: Checked, session: Session): readonly string[] {
  return rebuild.imports.flatMap(({ declaration: { file } }) => {
    const used = resolveUsed(path, file);
    const open = session.open.has(used) ? session.workspace.file(used) : undefined;
    const kept = open === undefined ? undefined : session.host.read(session.uri(used));
    if (open === undefined || kept === undefined) return [];
    return fileDigest(open) === fileDigest(parse(kept)) ? [] : [file];
  });
}
