/** The files that a text names: what it uses, and its photographs. */
import type { Block } from '../../grammar/index.ts';
import type { Files } from './files.ts';

/** A file named in a text. */
export interface FileLink {
  /** Offsets of the path, without its quotes. */
  readonly start: number;
  readonly end: number;
  readonly kind: 'use' | 'photo';
  /** The path as written. */
  readonly written: string;
  /** The path that it leads to, whether or not there is such a file. */
  readonly path: string;
  readonly block: Block;
}

/** The files that a text names, in its order. */
export function linksOf(files: Files, path: string): readonly FileLink[] {
  const links: FileLink[] = [];
  for (const block of files.file(path)?.blocks ?? []) {
    const { statement } = block;
    if (statement === undefined || (statement.kind !== 'use' && statement.kind !== 'photo')) continue;
    const { kind, text } = statement;
    if (text === undefined || text.placeholder || text.text === '') continue;
    links.push({
      start: block.start + text.start + 1,
      end: block.start + text.end - 1,
      kind,
      written: text.text,
      path: files.resolve(path, text.text),
      block,
    });
  }
  return links;
}
