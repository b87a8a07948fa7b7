/** What must be written instead where files name each other, when files or folders move. */

import { fileName } from '../rebuild/index.ts';
import type { Files } from './files.ts';
import { linksOf } from './links.ts';
import { type RenameEdit, sealedUpTo } from './rename.ts';

/** A file or folder that is to move. */
export interface Move {
  readonly from: string;
  readonly to: string;
}

/** The edits, in the files as they are named before the move, after which every `use` and `photo` leads where it led. */
export function editsForMoves(files: Files, moves: readonly Move[]): readonly RenameEdit[] {
  const movedTo = (path: string): string => {
    for (const { from, to } of moves)
      if (path === from || path.startsWith(`${from}/`)) return to + path.slice(from.length);
    return path;
  };
  const edits: RenameEdit[] = [];
  for (const path of files.paths()) {
    const file = files.file(path);
    if (file === undefined) continue;
    const after = movedTo(path);
    let sealed: number | undefined;
    for (const link of linksOf(files, path)) {
      const target = movedTo(link.path);
      if (files.resolve(after, link.written) === target) continue;
      const written = relativePath(after, target);
      if (written === undefined) continue;
      sealed ??= sealedUpTo(file);
      edits.push({
        path,
        start: link.start,
        end: link.end,
        text: (link.written.startsWith('./') ? `./${written}` : written).replace(/[\\"]/g, '\\$&'),
        breaks:
          link.start < sealed ? `${fileName(path)} is signed with a mark, which this would break` : undefined,
      });
    }
  }
  return edits;
}

/** A path from the folder of one file to another; undefined where the two have no root in common. */
function relativePath(from: string, to: string): string | undefined {
  const root = (path: string) => /^[a-z][a-z0-9+.-]+:\/\/[^/]*\/?|^\/|^/i.exec(path)?.[0] ?? '';
  if (root(from) !== root(to)) return undefined;
  const start = from.slice(root(from).length).split('/').slice(0, -1);
  const end = to.slice(root(to).length).split('/');
  let same = 0;
  while (same < start.length && same < end.length - 1 && start[same] === end[same]) same++;
  return [...start.slice(same).map(() => '..'), ...end.slice(same)].join('/');
}
