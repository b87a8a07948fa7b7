/**
 * The canonical layout: indents, blanks, the order of clauses, spellings of units, columns of tables.
 *
 * A line of the layout comes from one line of the text; nothing is ever moved from one line to another, numbers and
 * names stay letter for letter, and a statement that does not parse keeps its words. Every statement that is laid out
 * anew is read again: where it would say anything else, it stays as it was.
 */
import { eastAsianWidth } from 'get-east-asian-width';
import { parse } from './blocks.ts';
import { factsOf, inOrder, trimBlanks } from './canonical.ts';
import {
  type ClausePieces,
  cellText,
  isDashes,
  isWhole,
  joinPieces,
  type Piece,
  statementPieces,
} from './pieces.ts';
import { statementSpec } from './statements.ts';
import type { Block, RowNode, SourceFile, Span, StatementNode } from './syntax-tree.ts';
import { afterBlanks, afterLineBreak, continuationSign, isCommentAt, lineEnd } from './tokens.ts';

/** A stretch of the text with what is to stand there instead. */
export interface FormatEdit extends Span {
  readonly text: string;
}

/** Blanks before an entry of a step, and of whatever belongs to the line above. */
const indentStep = 2;

/** The canonical text of a file; formatting it again changes nothing. */
export function format(file: SourceFile): string {
  const newline = newlineOf(file.text);
  let text = file.text.startsWith('\ufeff') ? '\ufeff' : '';
  for (const { content, blankBefore } of layOut(file)) {
    if (content === undefined) continue;
    if (blankBefore) text += newline;
    text += content + newline;
  }
  return text;
}

/**
 * The edits that make the canonical form, each within one line and in the order of the text; none where it is
 * canonical already. With a range, only those of its lines; a table that it touches is laid out as a whole.
 */
export function formatEdits(file: SourceFile, range?: Span): readonly FormatEdit[] {
  const newline = newlineOf(file.text);
  const lines = layOut(file, range);
  const edits: FormatEdit[] = [];
  const touched = (line: Span) => range === undefined || (line.start <= range.end && line.end >= range.start);
  const tables = new Set(
    lines.filter((line) => line.kind === 'row' && touched(line)).map(({ block }) => block),
  );
  for (const line of lines) {
    if (!touched(line) && !(line.kind === 'row' && tables.has(line.block))) continue;
    const { start, end, next, content, blankBefore } = line;
    if (content === undefined) {
      edits.push({ start, end: next, text: '' });
      continue;
    }
    if (blankBefore) edits.push({ start, end: start, text: newline });
    if (file.text.slice(start, end) !== content) edits.push({ start, end, text: content });
    if (file.text.slice(end, next) !== newline) edits.push({ start: end, end: next, text: newline });
  }
  return edits;
}

/** The first line break of the text, if the language writes such. */
function newlineOf(text: string): string {
  return /\r\n|\n/.exec(text)?.[0] ?? '\n';
}

type LineKind = 'blank' | 'comment' | 'row' | 'continuation' | 'statement';

/** A line of the text and what becomes of it. */
interface Line extends Span {
  readonly kind: LineKind;
  readonly block: Block;
  /** Where the line after it begins. */
  readonly next: number;
  /** Blanks before what follows its statement. */
  readonly level: number;
  /** Its canonical form; undefined when it is dropped. */
  content: string | undefined;
  /** A blank line is put before it. */
  blankBefore: boolean;
}

/** With a range, the words of blocks that it does not touch are left as they are: their lines are not asked for. */
function layOut(file: SourceFile, range?: Span): readonly Line[] {
  const lines: Line[] = [];
  let inStep = false;
  for (const block of file.blocks) {
    const { statement } = block;
    const place = statement === undefined ? undefined : statementSpec(statement.kind)?.place;
    const entry = statement !== undefined && (place === 'entry' || place === undefined);
    const indent = entry && inStep ? indentStep : 0;
    if (place === 'step') inStep = true;
    else if (place === 'closing') inStep = false;
    const wanted =
      range === undefined || (block.start <= range.end && block.start + block.text.length >= range.start);
    layOutBlock(lines, file.text, block, { indent, level: inStep ? indentStep : 0, wanted });
  }
  layOutComments(lines);
  layOutBlankLines(lines);
  return lines;
}

function layOutBlock(
  lines: Line[],
  text: string,
  block: Block,
  { indent, level, wanted }: { readonly indent: number; readonly level: number; readonly wanted: boolean },
): void {
  const own: Line[] = [];
  const stop = block.start + block.text.length;
  for (let at = block.start; at < stop; ) {
    // A mark of byte order belongs to no line.
    const start = at === 0 && text.startsWith('\ufeff') ? 1 : at;
    const end = lineEnd(text, start);
    const next = afterLineBreak(text, end);
    const kind = lineKind(text, start);
    const deeper = kind === 'row' || kind === 'continuation' ? indentStep : 0;
    const content = kind === 'blank' ? '' : ' '.repeat(indent + deeper) + trimBlanks(text.slice(start, end));
    own.push({ kind, block, start, end, next, level, content, blankBefore: false });
    if (next === at) break;
    at = next;
  }
  lines.push(...own);
  if (!wanted || block.statement === undefined || !isWhole(block)) return;
  const head = own.filter(({ kind }) => kind === 'statement' || kind === 'continuation');
  const rows = own.filter(({ kind }) => kind === 'row');
  const words = [
    ...headLines(block, block.statement, head),
    ...tableLines(block, block.statement.rows, rows),
  ];
  const both = [...head, ...rows];
  if (both.every(({ content }, index) => content?.trimStart() === words[index])) return;
  if (!saysTheSame(block, both, words)) return;
  for (const [index, line] of both.entries())
    line.content =
      (line.content ?? '').slice(0, indent + (line.kind === 'statement' ? 0 : indentStep)) + words[index];
}

function lineKind(text: string, start: number): LineKind {
  const first = afterBlanks(text, start);
  if (first === lineEnd(text, first)) return 'blank';
  if (text[first] === '|') return 'row';
  if (continuationSign(text, first) > 0) return 'continuation';
  return isCommentAt(text, first) ? 'comment' : 'statement';
}

/** Whether a statement whose `lines` are laid out anew as `words` still says what it said, comments included. */
function saysTheSame(block: Block, lines: readonly Line[], words: readonly string[]): boolean {
  const [anew, ...others] = parse(words.join('\n')).blocks;
  if (anew === undefined || others.length > 0 || factsOf(anew) !== factsOf(block)) return false;
  const comments = block.comments.filter(({ start }) =>
    lines.some((line) => line.start <= block.start + start && block.start + start < line.end),
  );
  const texts = (one: Block, spans: readonly Span[]) =>
    spans.map(({ start, end }) => trimBlanks(one.text.slice(start, end))).join('\n');
  return texts(anew, anew.comments) === texts(block, comments);
}

// Statements.

/** The canonical words of a statement's own lines, a string for each. */
function headLines(block: Block, statement: StatementNode, lines: readonly Line[]): readonly string[] {
  if (statement.kind === 'note') return lines.map((line) => noteLine(block, line));
  const { head, clauses } = statementPieces(block, statement, 'written');
  return lines.map((line) => {
    const start = line.start - block.start;
    const end = line.end - block.start;
    const here = ({ at }: Piece) => at >= start && at < end;
    const ranked = clauses.filter(({ pieces }) => pieces.some(here));
    // What began on a line above goes on first, and what goes on below stays last.
    const isWholeHere = ({ pieces }: ClausePieces) => pieces.every(here);
    const whole = inOrder(ranked.filter(isWholeHere));
    const begunAbove = ranked.filter((clause) => !isWholeHere(clause) && !clauseBegins(clause, start));
    const goingOn = ranked.filter((clause) => !isWholeHere(clause) && clauseBegins(clause, start));
    const pieces = [
      ...head,
      ...[...begunAbove, ...whole, ...goingOn].flatMap((clause) => clause.pieces),
    ].filter(here);
    const comment = block.comments.find((one) => one.start >= start && one.start < end);
    const parts = [
      line.kind === 'continuation' ? '...' : '',
      joinPieces(pieces),
      comment === undefined ? '' : trimBlanks(block.text.slice(comment.start, comment.end)),
    ];
    return parts.filter((part) => part !== '').join(' ');
  });
}

function clauseBegins({ pieces: [first] }: ClausePieces, start: number): boolean {
  return first !== undefined && first.at >= start;
}

/** A note's text stays as it stands. */
function noteLine(block: Block, line: Line): string {
  const text = trimBlanks(block.text.slice(line.start - block.start, line.end - block.start));
  const sign = line.kind === 'continuation' ? '...' : 'note';
  return trimBlanks(`${sign} ${trimBlanks(text.slice(sign.length))}`);
}

// Tables.

/** The rows with their columns padded; a row of dashes fills its columns. */
function tableLines(block: Block, rows: readonly RowNode[], lines: readonly Line[]): readonly string[] {
  const texts = rows.map((row) => row.cells.map((cell) => cellText(cell, 'written')));
  const widths: number[] = [];
  for (const [index, row] of rows.entries()) {
    if (isDashes(row)) continue;
    for (const [column, text] of (texts[index] ?? []).entries())
      widths[column] = Math.max(widths[column] ?? 0, widthOf(text));
  }
  return rows.map((row, index) => {
    const cells = (texts[index] ?? []).map((text, column) => {
      const width = widths[column] ?? 0;
      if (isDashes(row)) return dashes(text, width);
      return text + ' '.repeat(width - widthOf(text));
    });
    const end = (lines[index]?.end ?? 0) - block.start;
    const comment = block.comments.find((one) => one.start >= row.end && one.start < end);
    const words = cells.length === 0 ? '|' : `| ${cells.join(' | ')} |`;
    return comment === undefined
      ? words
      : `${words} ${trimBlanks(block.text.slice(comment.start, comment.end))}`;
  });
}

/** A cell of dashes as wide as its column, its colons kept. */
function dashes(text: string, width: number): string {
  const left = text.startsWith(':') ? ':' : '';
  const right = text.length > 1 && text.endsWith(':') ? ':' : '';
  return left + '-'.repeat(Math.max(1, width - left.length - right.length)) + right;
}

/** How many columns a text takes where every letter has the same width: two for wide ones, none for marks. */
export function widthOf(text: string): number {
  let width = 0;
  for (const character of text)
    if (!/^[\p{M}\p{Cf}]$/u.test(character)) width += eastAsianWidth(character.codePointAt(0) ?? 0);
  return width;
}

// Comments and blank lines.

/** A comment stands with the line that follows it; before a blank line it keeps to what is above. */
function layOutComments(lines: readonly Line[]): void {
  let follower: Line | undefined;
  for (let index = lines.length - 1; index >= 0; index--) {
    const line = lines[index];
    if (line === undefined) continue;
    if (line.kind !== 'comment') {
      follower = line;
      continue;
    }
    const trimmed = (line.content ?? '').trimStart();
    const indented =
      afterBlanks(line.block.text, line.start - line.block.start) > line.start - line.block.start;
    const indent =
      follower === undefined || follower.kind === 'blank'
        ? indented
          ? line.level
          : 0
        : (follower.content ?? '').search(/\S|$/);
    line.content = ' '.repeat(indent) + trimmed;
  }
}

/** One blank line before each step, above the comments that stand over it; nowhere two, none at either end. */
function layOutBlankLines(lines: readonly Line[]): void {
  let above: Line | undefined;
  for (const line of lines) {
    if (line.kind === 'blank' && (above === undefined || above.kind === 'blank')) line.content = undefined;
    else above = line;
  }
  if (above?.kind === 'blank') above.content = undefined;
  const kept = lines.filter(({ content }) => content !== undefined);
  for (const [index, line] of kept.entries()) {
    if (line.kind !== 'statement' || line.block.statement?.kind !== 'step') continue;
    let first = index;
    while (kept[first - 1]?.kind === 'comment') first--;
    const top = kept[first];
    if (top !== undefined && first > 0 && kept[first - 1]?.kind !== 'blank') top.blankBefore = true;
  }
}
