/**
 * What is tidied while a log is typed. Blanks and bars of a table, nothing else: no fact is written or changed that the
 * builder did not write.
 */
import {
  alignTable,
  type Block,
  blockAt,
  type RowNode,
  type SourceFile,
  type Span,
} from '../../grammar/index.ts';

export interface TypingEdit extends Span {
  readonly text: string;
}

/** The edits after a character was typed; `offset` is behind it. `|` and a line break have some, nothing else has. */
export function editsAfterTyping(file: SourceFile, offset: number, character: string): readonly TypingEdit[] {
  if (character === '|') return afterBar(file, offset);
  if (character === '\n') return afterLineBreak(file, offset);
  return [];
}

function afterBar(file: SourceFile, offset: number): readonly TypingEdit[] {
  const found = rowAt(file, offset);
  return found === undefined ? [] : alignTable(found.block);
}

/** Below a row, a new row begins. Below one that was left empty the table ends, and the empty row goes. */
function afterLineBreak(file: SourceFile, offset: number): readonly TypingEdit[] {
  const { text } = file;
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const end = /[\r\n]|$/.exec(text.slice(offset))?.index ?? 0;
  // What stood behind the cursor was taken down with it: that is a line of its own.
  if (start === 0 || text.slice(start, offset + end).trim() !== '') return [];
  const above = /\r?\n$/.exec(text.slice(0, start));
  const found = above === null ? undefined : rowAt(file, above.index);
  if (found === undefined) return [];
  const { block, row } = found;
  const rowStart = text.lastIndexOf('\n', block.start + row.start) + 1;
  if (row.cells.every((cell) => cell.text === '')) return [{ start: rowStart, end: start, text: '' }];
  const indent = text.slice(rowStart, block.start + row.start);
  return [...alignTable(block), { start, end: offset + end, text: `${indent}| ` }];
}

function rowAt(
  file: SourceFile,
  offset: number,
): { readonly block: Block; readonly row: RowNode } | undefined {
  const block = blockAt(file, Math.max(0, offset - 1));
  const inside = offset - (block?.start ?? 0);
  const row = block?.statement?.rows.find((one) => one.start < inside && inside <= rowEnd(block, one));
  return block === undefined || row === undefined ? undefined : { block, row };
}

/** Blanks and a comment behind a row belong to its line. */
function rowEnd(block: Block, row: RowNode): number {
  return row.end + (/[\r\n]|$/.exec(block.text.slice(row.end))?.index ?? 0);
}
