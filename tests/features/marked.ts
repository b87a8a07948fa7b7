/** Texts with marks in them: `‸` is the cursor, `⟦…⟧` a stretch. Nobody counts lines in a test. */
import type { Place } from '../../server/features/index.ts';
import { createWorkspace, type Workspace } from '../../server/workspace/index.ts';

export interface Marked {
  readonly workspace: Workspace;
  /** The file with the cursor, and where it stands. */
  readonly path: string;
  readonly offset: number;
  /** Each file's text without marks. */
  readonly texts: ReadonlyMap<string, string>;
}

/** A workspace of these files; one of them holds the cursor. */
export function marked(files: Readonly<Record<string, string>>): Marked {
  const workspace = createWorkspace();
  const texts = new Map<string, string>();
  let cursor: { path: string; offset: number } | undefined;
  for (const [path, text] of Object.entries(files)) {
    const withCursor = text.replace(/[⟦⟧]/g, '');
    const offset = withCursor.indexOf('‸');
    if (offset >= 0) cursor = { path, offset };
    const plain = withCursor.replace('‸', '');
    texts.set(path, plain);
    workspace.set(path, plain);
  }
  for (const path of workspace.wanted()) workspace.markAbsent(path);
  return { workspace, path: cursor?.path ?? '', offset: cursor?.offset ?? 0, texts };
}

/** The files with `⟦…⟧` around the places and the cursor where it stood: what the test was written as. */
export function remark({ texts, path, offset }: Marked, places: readonly Place[]): Record<string, string> {
  const written: Record<string, string> = {};
  for (const [file, text] of texts) {
    const signs: { at: number; sign: string; rank: number }[] = [];
    for (const place of places) {
      if (place.path !== file) continue;
      if (place.start === place.end) signs.push({ at: place.start, sign: '⟦⟧', rank: 1 });
      else signs.push({ at: place.start, sign: '⟦', rank: 1 }, { at: place.end, sign: '⟧', rank: 0 });
    }
    if (file === path) signs.push({ at: offset, sign: '‸', rank: 2 });
    signs.sort((a, b) => a.at - b.at || a.rank - b.rank);
    let out = '';
    let from = 0;
    for (const { at, sign } of signs) {
      out += text.slice(from, at) + sign;
      from = at;
    }
    written[file] = out + text.slice(from);
  }
  return written;
}

/** The files after edits that were found in one go. */
export function edited(
  { texts }: Marked,
  edits: readonly (Place & { readonly text: string })[],
): Record<string, string> {
  const written: Record<string, string> = {};
  for (const [file, text] of texts) {
    let out = text;
    for (const edit of edits.filter((one) => one.path === file).sort((a, b) => b.start - a.start))
      out = out.slice(0, edit.start) + edit.text + out.slice(edit.end);
    written[file] = out;
  }
  return written;
}
