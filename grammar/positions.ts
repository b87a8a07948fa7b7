/** Offsets to lines and columns and back, both counted from 0, columns in UTF-16 units. */
import { indexAt } from './blocks.ts';
import type { Block, SourceFile } from './syntax-tree.ts';
import { afterLineBreak, lineEnd } from './tokens.ts';

export interface Position {
  readonly line: number;
  readonly column: number;
}

/** The block that holds an offset; undefined only for an empty file. An offset past the end belongs to the last. */
export function blockAt(file: SourceFile, offset: number): Block | undefined {
  return file.blocks[indexAt(file.blocks, offset)];
}

/** Where an offset stands. Offsets outside the file count as its nearest end. */
export function positionAt(file: SourceFile, offset: number): Position {
  const { text } = file;
  const wanted = Math.max(0, Math.min(offset, text.length));
  const block = blockAt(file, wanted);
  let line = block?.line ?? 0;
  let start = block?.start ?? 0;
  for (;;) {
    const next = afterLineBreak(text, lineEnd(text, start));
    // The end of a text without a last line break has no line after it.
    if (next > wanted || next === start || !endsLine(text, next)) return { line, column: wanted - start };
    line++;
    start = next;
  }
}

function endsLine(text: string, at: number): boolean {
  const code = text.charCodeAt(at - 1);
  return code === 10 || code === 13;
}

/** The offset of a line and column; past a line's end it is that end, past the last line the file's end. */
export function offsetAt(file: SourceFile, line: number, column: number): number {
  const { text, blocks } = file;
  if (line < 0) return 0;
  let low = 0;
  let high = blocks.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((blocks[middle]?.line ?? 0) <= line) low = middle;
    else high = middle - 1;
  }
  const block = blocks[low];
  let start = block?.start ?? 0;
  for (let at = block?.line ?? 0; at < line; at++) {
    const next = afterLineBreak(text, lineEnd(text, start));
    if (next === start || !endsLine(text, next)) return text.length;
    start = next;
  }
  return Math.min(start + Math.max(0, Math.floor(column) || 0), lineEnd(text, start));
}
