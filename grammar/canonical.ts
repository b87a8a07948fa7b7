/**
 * The text of a statement over which a mark is taken: what it says, in one spelling, without its layout.
 *
 * The form is part of the language (LANGUAGE.md, "Marks"): a change here breaks every mark that was ever written.
 */
import { type ClausePieces, cellText, isDashes, isWhole, joinPieces, statementPieces } from './pieces.ts';
import type { Block, StatementNode } from './syntax-tree.ts';
import { afterBlanks, isBlank, isCommentAt } from './tokens.ts';

/**
 * The canonical text of a block's statement; undefined for a block without one.
 *
 * Continuations are joined, clauses stand in the table's order, each token is in its plain form with one blank
 * between. A table follows, a line a row, its cells between `|`; rows of dashes are left out. A note is `note`, a
 * blank and its text. The `mark` of a `sign` or `release` is left out; that of a `use` or `photo` is not. A statement
 * that was not read whole is its lines as they stand, each trimmed, without blank lines and comments of their own.
 */
export function canonicalStatement(block: Block): string | undefined {
  const { statement } = block;
  if (statement === undefined) return undefined;
  if (!isWhole(block)) return trimmedLines(block.text);
  return plainText(block, statement, (name) => !isOwnMark(statement, name));
}

/** All that a statement says that was read whole, its own mark included; undefined for any other block. */
export function factsOf(block: Block): string | undefined {
  const { statement } = block;
  return statement === undefined || !isWhole(block) ? undefined : plainText(block, statement, () => true);
}

function plainText(block: Block, statement: StatementNode, counts: (clause: string) => boolean): string {
  if (statement.kind === 'note') return `note ${statement.note?.text ?? ''}`;
  const { head, clauses } = statementPieces(block, statement, 'plain');
  const ordered = inOrder(clauses.filter(({ name }) => counts(name)));
  const line = joinPieces([...head, ...ordered.flatMap(({ pieces }) => pieces)]);
  const rows = statement.rows
    .filter((row) => !isDashes(row))
    .map(({ cells }) => `|${cells.map((cell) => cellText(cell, 'plain')).join('|')}|`);
  return [line, ...rows].join('\n');
}

/** Clauses in the table's order; words of one clause (`builder inspector`) in the order of its words. */
export function inOrder(clauses: readonly ClausePieces[]): readonly ClausePieces[] {
  return clauses.toSorted((a, b) => a.rank - b.rank);
}

function isOwnMark({ kind }: StatementNode, clause: string): boolean {
  return clause === 'mark' && (kind === 'sign' || kind === 'release');
}

function trimmedLines(text: string): string {
  return text
    .split(/\r\n|\n|\r/)
    .map(trimBlanks)
    .filter((line) => line !== '' && !isCommentAt(line, 0))
    .join('\n');
}

/** A line without the blanks around it: what the language takes for blanks. */
export function trimBlanks(line: string): string {
  let end = line.length;
  while (end > 0 && isBlank(line.charCodeAt(end - 1))) end--;
  return line.slice(Math.min(afterBlanks(line, 0), end), end);
}
