/**
 * Where the cursor stands in a statement, and what the table of statements lets come there.
 *
 * It reads the text itself, not the tree: a line that is being written seldom parses.
 */
import {
  type ClauseSpec,
  type FixedSpec,
  readUnit,
  type Span,
  type StatementSpec,
  statementSpec,
  type ValueKind,
} from '../../grammar/index.ts';

/** A word, number or sign with its offsets in the file. */
export interface Piece extends Span {
  readonly kind: 'word' | 'number' | 'unit' | 'string' | 'when' | 'placeholder' | 'sign';
  readonly text: string;
}

/** A fixed part or clause that the cursor stands in, or that may begin at it, and what of it is written. */
export interface OpenPart {
  readonly part: FixedSpec | ClauseSpec;
  readonly pieces: readonly Piece[];
  /** `begin`: nothing of it is there. `inside`: it must or may go on. */
  readonly state: 'begin' | 'inside';
}

export interface StatementCursor {
  readonly spec: StatementSpec;
  /** The statement with its continuation lines and rows. */
  readonly start: number;
  readonly end: number;
  /** Everything before the cursor, the keyword included, the word that is being written left out. */
  readonly before: readonly Piece[];
  readonly after: readonly Piece[];
  /** What is being written, up to the cursor. */
  readonly prefix: Piece;
  /** The cursor is in the text of a string, whose quote is open. */
  readonly quoted: boolean;
  readonly open: readonly OpenPart[];
  /**
   * The members or the place of a target are being written: the name, and where what was begun starts. With `segment`
   * that is one segment of a path that has parentheses, counted from 0, and `beside` what stands in them already.
   */
  readonly path:
    | {
        readonly of: string;
        readonly in: 'items' | 'place';
        readonly start: number;
        readonly segment?: number;
        readonly beside?: readonly string[];
      }
    | undefined;
  /** Clauses written anywhere on the statement, the one under the cursor included. */
  readonly used: ReadonlySet<string>;
  /** Clauses may begin at the cursor. */
  readonly clausesAllowed: boolean;
}

export type Cursor =
  | { readonly kind: 'nothing' }
  /** The first word of a line. */
  | { readonly kind: 'keyword'; readonly prefix: Piece }
  /** A row of a table; `statement` is the line it hangs on. */
  | { readonly kind: 'row'; readonly statement: StatementCursor | undefined; readonly row: RowCursor }
  | { readonly kind: 'statement'; readonly statement: StatementCursor };

export interface RowCursor {
  /** Rows of the table up to this one, each with its cells' texts; the cell under the cursor is cut at the cursor. */
  readonly rows: readonly (readonly string[])[];
  readonly column: number;
  readonly prefix: Piece;
}

const NOTHING: Cursor = { kind: 'nothing' };

const lineStartOf = (text: string, offset: number) =>
  Math.max(text.lastIndexOf('\n', offset - 1), text.lastIndexOf('\r', offset - 1)) + 1;

function lineEndOf(text: string, offset: number): number {
  const at = text.slice(offset).search(/[\r\n]/);
  return at < 0 ? text.length : offset + at;
}

/** Where the line above begins; undefined at the top. */
function lineAbove(text: string, lineStart: number): number | undefined {
  if (lineStart === 0) return undefined;
  const end = text.startsWith('\r\n', lineStart - 2) ? lineStart - 2 : lineStart - 1;
  return lineStartOf(text, end);
}

const blanks = /[\t \u00a0\u2009\u202f]*/y;

function skipBlanks(text: string, from: number): number {
  blanks.lastIndex = from;
  blanks.test(text);
  return blanks.lastIndex;
}

/** Says where the cursor stands. */
export function cursorAt(text: string, offset: number): Cursor {
  const own = lineStartOf(text, offset);
  let start = own;
  const opens = (line: number, sign: string) => text.startsWith(sign, skipBlanks(text, line));
  const inRow = opens(own, '|') && skipBlanks(text, own) < offset;
  let rowsFrom = own;
  while (opens(start, '...') || opens(start, '|')) {
    if (opens(start, '|')) rowsFrom = start;
    const above = lineAbove(text, start);
    if (above === undefined) break;
    start = above;
  }
  const first = skipBlanks(text, start);
  let end = lineEndOf(text, offset);
  for (let next = end; next < text.length; ) {
    next += text.startsWith('\r\n', next) ? 2 : 1;
    if (!opens(next, '...') && !opens(next, '|')) break;
    end = next = lineEndOf(text, next);
  }
  if (inRow) {
    const row = rowAt(text, rowsFrom, offset);
    return {
      kind: 'row',
      statement: first < rowsFrom ? statementAt(text, first, end, rowsFrom) : undefined,
      row,
    };
  }
  if (offset < first) return { kind: 'keyword', prefix: emptyAt(offset) };
  const word = /^[\p{L}\p{M}\p{N}_-]*/u.exec(text.slice(first, offset))?.[0] ?? '';
  if (first + word.length === offset)
    return { kind: 'keyword', prefix: { kind: 'word', text: word, start: first, end: offset } };
  const statement = statementAt(text, first, end, offset);
  return statement === undefined ? NOTHING : { kind: 'statement', statement };
}

const emptyAt = (offset: number): Piece => ({ kind: 'word', text: '', start: offset, end: offset });

function rowAt(text: string, from: number, offset: number): RowCursor {
  const rows: string[][] = [];
  for (const line of text.slice(from, offset).split(/\r\n|\r|\n/)) {
    const cells = line.replace(/(?:^|\s)#(?!\d).*$/, '').trim();
    if (cells.startsWith('|'))
      rows.push(
        cells
          .slice(1)
          .split('|')
          .map((cell) => cell.trim()),
      );
  }
  const written = /[^|\s]*$/.exec(text.slice(from, offset))?.[0] ?? '';
  return {
    rows,
    column: (rows.at(-1)?.length ?? 1) - 1,
    prefix: { kind: 'word', text: written, start: offset - written.length, end: offset },
  };
}

interface Pieces {
  readonly pieces: readonly Piece[];
  /** The text ends inside a comment, or in a string whose quote is open. */
  readonly ends: 'plain' | 'comment' | 'string';
}

const patterns: readonly (readonly [RegExp, Piece['kind']])[] = [
  [/\d{4}-\d{2}-\d{2}(?:T\d{1,2}:\d{2}(?::\d{2})?)?(?:Z|[+-]\d{2}:\d{2})?/y, 'when'],
  [/\d{1,2}:\d{2}(?::\d{2})?(?:Z|[+-]\d{2}:\d{2})?/y, 'when'],
  [/M\d+(?:\.\d+)?(?:[x×]\d+(?:\.\d+)?)?(?![\p{L}\p{N}_-])/uy, 'word'],
  [/#?[-−]?(?:\d+-)?\d+\/\d+|[-−]?(?:\d+(?:\.\d+)?|\.\d+)[¼-¾⅐-⅞]?/y, 'number'],
  [/[\p{L}_][\p{L}\p{M}\p{N}_]*(?:-[\p{L}\p{M}\p{N}_]+)*-?/uy, 'word'],
  [/\?/y, 'placeholder'],
  [/\.\.|<=|>=|\+\/-|[^\s]/uy, 'sign'],
];
const closing: Readonly<Record<string, string>> = { '"': '"', '“': '”', '„': '“”' };

function piecesIn(text: string, from: number, to: number): Pieces {
  const pieces: Piece[] = [];
  let at = from;
  const cut = text.slice(0, to);
  while (at < to) {
    if (/\s/.test(cut[at] ?? '')) {
      at++;
      continue;
    }
    const lineStart = cut.slice(lineStartOf(cut, at), at).trim() === '';
    if (lineStart && cut.startsWith('...', at)) {
      at += 3;
      continue;
    }
    if (lineStart && at !== from && cut[at] === '|') break;
    if (cut[at] === '#' && /\s|^$/.test(cut[at - 1] ?? '') && !/\d/.test(cut[at + 1] ?? '')) {
      const end = lineEndOf(cut, at);
      if (end >= to) return { pieces, ends: 'comment' };
      at = end;
      continue;
    }
    const closers = closing[cut[at] ?? ''];
    if (closers !== undefined) {
      let end = at + 1;
      while (end < to && !closers.includes(cut[end] ?? '') && !/[\r\n]/.test(cut[end] ?? ''))
        end += cut[end] === '\\' ? 2 : 1;
      if (end >= to) {
        pieces.push({ kind: 'string', text: cut.slice(at + 1, to), start: at + 1, end: to });
        return { pieces, ends: 'string' };
      }
      pieces.push({ kind: 'string', text: cut.slice(at + 1, end), start: at, end: end + 1 });
      at = end + 1;
      continue;
    }
    const last = pieces.at(-1);
    if (last?.kind === 'number' || last?.kind === 'placeholder') {
      const unit = readUnit(cut, at);
      if (unit !== undefined) {
        pieces.push({ kind: 'unit', text: unit.name, start: at, end: unit.end });
        at = unit.end;
        continue;
      }
    }
    for (const [pattern, kind] of patterns) {
      pattern.lastIndex = at;
      const found = pattern.exec(cut)?.[0];
      if (found === undefined || found === '') continue;
      pieces.push({ kind, text: found, start: at, end: at + found.length });
      at += found.length;
      break;
    }
  }
  return { pieces, ends: 'plain' };
}

function statementAt(text: string, start: number, end: number, offset: number): StatementCursor | undefined {
  const { pieces: written, ends } = piecesIn(text, start, offset);
  const keyword = written[0];
  const spec = keyword === undefined ? undefined : statementSpec(keyword.text);
  if (keyword === undefined || spec === undefined || spec.keyword === 'note' || ends === 'comment')
    return undefined;
  const last = written.at(-1);
  const isWord = last !== undefined && last !== keyword && last.end === offset;
  const beingWritten =
    isWord && (ends === 'string' || last.kind === 'word' || last.kind === 'unit') ? last : undefined;
  const before = beingWritten === undefined ? written : written.slice(0, -1);
  const prefix = beingWritten ?? (ends === 'string' && last !== undefined ? last : emptyAt(offset));
  const after = piecesIn(text, offset, end).pieces;
  const clauses = clausesOf(spec, before);
  const path = pathUnderCursor(text, before, offset, clauses.at(-1)?.[1] ?? 0);
  const used = new Set(clausesOf(spec, [...before, ...after]).map(([clause]) => clause.name));
  const { open, clausesAllowed } = partsAt(spec, before);
  return {
    spec,
    start,
    end,
    before,
    after,
    prefix,
    quoted: ends === 'string',
    open,
    path,
    used,
    clausesAllowed: clausesAllowed && path === undefined,
  };
}

/** The clause that a word begins; the words of a flag `builder inspector` each begin one. */
function clauseNamed(spec: StatementSpec, piece: Piece | undefined): ClauseSpec | undefined {
  if (piece?.kind !== 'word' && piece?.kind !== 'placeholder') return undefined;
  return spec.clauses.find((clause) => clause.words.includes(piece.text));
}

/** The clauses on a statement, each with the position of its keyword. */
function clausesOf(spec: StatementSpec, pieces: readonly Piece[]): (readonly [ClauseSpec, number])[] {
  const found: (readonly [ClauseSpec, number])[] = [];
  let depth = 0;
  for (let i = 1; i < pieces.length; i++) {
    const piece = pieces[i];
    if (piece?.text === '[' || piece?.text === '(') depth++;
    if (piece?.text === ']' || piece?.text === ')') depth = Math.max(0, depth - 1);
    const clause = clauseNamed(spec, piece);
    // A bracket that was never closed ends before the first keyword.
    if (depth > 0 && clause === undefined) continue;
    depth = 0;
    // A name that a keyword asks for may be spelled like a keyword.
    const asked = found.at(-1);
    if (clause === undefined || (asked !== undefined && asked[1] === i - 1 && wantsWord(asked[0].value)))
      continue;
    if (piece?.kind === 'placeholder' && clause.name === 'verdict' && found.length === 0 && i < 2) continue;
    found.push([clause, i]);
  }
  return found;
}

const wantsWord = (value: ValueKind) => value === 'name' || value === 'choice' || value === 'grade';

function partsAt(
  spec: StatementSpec,
  before: readonly Piece[],
): { open: readonly OpenPart[]; clausesAllowed: boolean } {
  const clauses = clausesOf(spec, before);
  const last = clauses.at(-1);
  if (last !== undefined) {
    const [clause, at] = last;
    const pieces = before.slice(at + 1);
    const { began, goesOn, done } = progressOf(clause.value, pieces);
    const open: OpenPart[] = goesOn ? [{ part: clause, pieces, state: began ? 'inside' : 'begin' }] : [];
    return { open, clausesAllowed: done };
  }
  const pieces = before.slice(1);
  const open: OpenPart[] = [];
  let at = 0;
  for (const part of spec.fixed) {
    const rest = pieces.slice(at);
    const length = lengthOf(part, rest);
    const own = rest.slice(part.after === undefined ? 0 : 1, length);
    if (length === 0) {
      open.push({ part, pieces: [], state: 'begin' });
      // What must stand here comes before anything else.
      if (part.optional !== true) return { open, clausesAllowed: false };
      continue;
    }
    open.length = 0;
    at += length;
    const { began, goesOn, done } = progressOf(part.value, own);
    if (at < pieces.length) continue;
    if (goesOn) open.push({ part, pieces: own, state: began ? 'inside' : 'begin' });
    if (!done) return { open, clausesAllowed: false };
  }
  return { open, clausesAllowed: true };
}

/** How many pieces a fixed part takes from the front. */
function lengthOf(part: FixedSpec, pieces: readonly Piece[]): number {
  const first = pieces[0];
  if (first === undefined) return 0;
  if (part.after !== undefined) {
    if (first.text !== part.after) return 0;
    return part.value === 'expression' ? expressionLength(pieces) : pieces.length;
  }
  switch (part.value) {
    case 'string':
      return first.kind === 'string' || first.kind === 'placeholder' ? 1 : 0;
    case 'name':
    case 'inspection':
      return first.kind === 'word' || first.kind === 'string' ? 1 : 0;
    case 'target':
      return first.kind === 'word' ? targetLength(pieces) : 0;
    case 'thread':
      if (/^M\d/.test(first.text)) return 1;
      return first.kind === 'number' ? Math.min(2, pieces.length) : 0;
    case 'when': {
      if (first.kind === 'placeholder') return 1;
      return first.kind !== 'when' ? 0 : pieces[1]?.kind === 'when' ? 2 : 1;
    }
    case 'quantity': {
      const end = pieces.findIndex((piece) => piece.kind === 'string');
      return end < 0 ? pieces.length : end;
    }
    default:
      return pieces.length;
  }
}

/** How far an expression goes behind its `=`: where no sign joins what follows, the limit begins. */
function expressionLength(pieces: readonly Piece[]): number {
  let depth = 0;
  let isWhole = false;
  let at = 1;
  while (at < pieces.length) {
    const piece = pieces[at];
    if (piece?.text === '(') depth++;
    else if (piece?.text === ')') depth--;
    else if (depth === 0 && piece?.kind === 'sign') {
      if (!/^[-−+*/×]$/.test(piece.text)) break;
    } else if (depth === 0 && isWhole) break;
    isWhole = piece?.text === ')' || (piece?.kind !== 'sign' && depth === 0);
    if (depth === 0 && piece?.kind === 'word') at += targetLength(pieces.slice(at));
    else at++;
    if (depth === 0 && piece?.kind === 'number' && pieces[at]?.kind === 'unit') at++;
  }
  return at;
}

function targetLength(pieces: readonly Piece[]): number {
  let at = 1;
  if (pieces[at]?.text === '[') {
    const end = pieces.findIndex((piece) => piece.text === ']');
    if (end < 0) return pieces.length;
    at = end + 1;
  }
  if (pieces[at]?.text !== '@') return at;
  at++;
  let depth = 0;
  for (; at < pieces.length; at++) {
    const text = pieces[at]?.text;
    if (text === '(') depth++;
    else if (text === ')') depth--;
    else if (depth === 0 && text !== '/') {
      const afterSlash = pieces[at - 1]?.text === '/' || pieces[at - 1]?.text === '@';
      if (!afterSlash) break;
    }
  }
  return at;
}

interface Progress {
  /** Something of it is written. */
  readonly began: boolean;
  /** More of it must or may follow. */
  readonly goesOn: boolean;
  /** What follows it may follow here. */
  readonly done: boolean;
}

function progressOf(value: ValueKind, pieces: readonly Piece[]): Progress {
  const last = pieces.at(-1);
  const began = last !== undefined;
  switch (value) {
    case 'flag':
    case 'word':
      return { began, goesOn: false, done: true };
    case 'names':
    case 'targets':
    case 'order':
    case 'strings':
      return { began, goesOn: true, done: began && last.text !== ',' };
    case 'target': {
      const isOpen =
        pieces.findLastIndex(({ text }) => text === '[') > pieces.findLastIndex(({ text }) => text === ']');
      return { began, goesOn: !began || isOpen, done: began && !isOpen };
    }
    case 'members':
      return { began, goesOn: !began || last.text === ',', done: began && last.text !== ',' };
    case 'target-grade': {
      const length = began ? targetLength(pieces) : 0;
      return { began, goesOn: pieces.length <= length, done: pieces.length > length };
    }
    case 'layout': {
      const needsCount = last?.text === 'rows';
      return { began, goesOn: !began || needsCount, done: began && !needsCount };
    }
    case 'when':
    case 'until': {
      const goesOn = !began || last.kind === 'number' || (last.kind === 'when' && pieces.length === 1);
      return { began, goesOn, done: began && last.kind !== 'number' };
    }
    case 'quantity':
    case 'quantities':
    case 'spread':
    case 'spreads':
    case 'value':
    case 'limit-value':
    case 'adapter':
    case 'tolerance':
    case 'expression': {
      const isSign = last?.kind === 'sign' && last.text !== ')' && last.text !== ']';
      return {
        began,
        goesOn: !began || isSign || (last.kind !== 'unit' && value !== 'expression'),
        // A bare number may be all: the unit is then asked for by a finding. Its equivalent ends with a parenthesis.
        done: began && !isSign && !isInParentheses(pieces),
      };
    }
    case 'note':
      return { began, goesOn: false, done: false };
    default:
      return { began, goesOn: !began, done: began };
  }
}

/** Whether a parenthesis is open at the end: that of an equivalent, behind a value. */
export function isInParentheses(pieces: readonly Piece[]): boolean {
  const last = (sign: string) => pieces.findLastIndex(({ kind, text }) => kind === 'sign' && text === sign);
  return last('(') > last(')');
}

/** One path from its start, with blanks only between parentheses, as far as it is written. */
const pathBegun = /^\s*(?:[^\s()]|\([^()]*\))*(?:\([^()]*)?$/u;

/** What of a path is being written at the end of a text: all of it, or a segment of one that has parentheses. */
function begunAt(text: string, offset: number) {
  const path = /(?:\([^()]*(?:\)|$)|[^\s,()])*$/u.exec(text)?.[0] ?? '';
  const written = (pattern: RegExp) => offset - (pattern.exec(path)?.[0].length ?? 0);
  if (!path.includes('(')) return { start: written(/[\p{L}\p{M}\p{N}_/.-]*$/u) };
  const start = written(/[\p{L}\p{M}\p{N}_.-]*$/u);
  return {
    start,
    segment: path.replace(/\([^()]*\)?/g, '').split('/').length - 1,
    beside: (/\(([^()]*)$/.exec(path)?.[1] ?? '').split(/[\s,]+/).slice(0, -1),
  };
}

/** The bracket or place that the cursor stands in. */
function pathUnderCursor(
  text: string,
  before: readonly Piece[],
  offset: number,
  since: number,
): StatementCursor['path'] {
  const at = before.findLastIndex(({ text }) => text === '[' || text === ']' || text === '@' || text === '=');
  const sign = at > since ? before[at] : undefined;
  if (sign?.text === '[') {
    const name = before[at - 1];
    if (name?.kind === 'word')
      return { of: name.text, in: 'items', ...begunAt(text.slice(sign.end, offset), offset) };
  }
  if (sign?.text === '@' && pathBegun.test(text.slice(sign.end, offset))) {
    const bracket = before.slice(0, at).findLastIndex((piece) => piece.text === '[');
    const name = before[(bracket < 0 ? at : bracket) - 1];
    if (name?.kind === 'word')
      return { of: name.text, in: 'place', ...begunAt(text.slice(sign.end, offset), offset) };
  }
  return undefined;
}
