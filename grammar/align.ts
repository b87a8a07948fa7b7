/** Puts the bars of a table under one another while it is typed: blanks move, nothing else does. */
import { parse } from './blocks.ts';
import { factsOf } from './canonical.ts';
import { type FormatEdit, widthOf } from './format.ts';
import { isDashes } from './pieces.ts';
import type { Block, RowNode } from './syntax-tree.ts';
import { afterBlanks } from './tokens.ts';

/**
 * The edits that align the rows of a block's table, in the order of the text, by offsets in its file; each replaces
 * blanks by blanks. What stands after the last bar of a row is left alone: it is still being typed.
 */
export function alignTable(block: Block): readonly FormatEdit[] {
  const rows = block.statement?.rows ?? [];
  const [first] = rows;
  if (first === undefined) return [];
  const { text, start } = block;
  const edits: FormatEdit[] = [];
  const put = (from: number, to: number, blanks: string) => {
    if (text.slice(from, to) !== blanks) edits.push({ start: start + from, end: start + to, text: blanks });
  };
  const widths = columnWidths(rows);
  const indent = text.slice(lineStart(text, first.start), first.start);
  for (const row of rows) {
    put(lineStart(text, row.start), row.start, indent);
    let bar = row.start;
    for (const [column, cell] of row.cells.entries()) {
      const next = afterBlanks(text, cell.end);
      const closed = text[next] === '|';
      const padding = ' '.repeat(Math.max(0, (widths[column] ?? 0) - widthOf(cell.text)) + 1);
      if (cell.text === '') {
        if (closed) put(bar + 1, next, ` ${padding}`);
      } else {
        put(bar + 1, cell.start, ' ');
        if (closed) put(cell.end, next, padding);
      }
      bar = next;
    }
  }
  return edits.length === 0 || saysTheSame(block, edits) ? edits : [];
}

/** A blank may make a comment of `|#1|`: the table is read again as it would stand. */
function saysTheSame(block: Block, edits: readonly FormatEdit[]): boolean {
  let { text } = block;
  for (const edit of [...edits].reverse())
    text = text.slice(0, edit.start - block.start) + edit.text + text.slice(edit.end - block.start);
  const [anew] = parse(text).blocks;
  return (
    anew !== undefined && factsOf(anew) === factsOf(block) && anew.comments.length === block.comments.length
  );
}

function columnWidths(rows: readonly RowNode[]): readonly number[] {
  const widths: number[] = [];
  for (const row of rows) {
    if (isDashes(row)) continue;
    for (const [column, { text }] of row.cells.entries())
      widths[column] = Math.max(widths[column] ?? 0, widthOf(text));
  }
  return widths;
}

function lineStart(text: string, at: number): number {
  let start = at;
  while (start > 0 && text[start - 1] !== '\n' && text[start - 1] !== '\r') start--;
  return start;
}
