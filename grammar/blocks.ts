/** Cuts a text into blocks, one a statement, and parses each; an edit parses again only the blocks it touches. */
import { type Building, statementParser } from './parser.ts';
import type { StatementSpec } from './statements.ts';
import { expectations, fault, quoted, unknownStatement } from './syntax-errors.ts';
import type {
  Block,
  NameNode,
  RowNode,
  SourceFile,
  Span,
  StatementNode,
  SyntaxFault,
  TextChange,
} from './syntax-tree.ts';
import {
  afterBlanks,
  afterLineBreak,
  beginScan,
  closesQuote,
  continuationSign,
  isBlank,
  isCommentAt,
  isLetterAt,
  isLineBreak,
  isQuote,
  lineEnd,
  runEnd,
  wordEnd,
} from './tokens.ts';

type LineKind = 'statement' | 'continuation' | 'row' | 'blank' | 'comment';

/** What a line is, by its first characters. */
function lineKind(text: string, at: number): LineKind {
  const first = afterBlanks(text, at);
  const code = text.charCodeAt(first);
  if (Number.isNaN(code) || isLineBreak(code)) return 'blank';
  if (code === 124) return 'row';
  if ((code === 46 || code === 0x2026) && continuationSign(text, first) > 0) return 'continuation';
  if (code === 35 && isCommentAt(text, first)) return 'comment';
  return 'statement';
}

/**
 * Parses a text. Total: any text gives a tree, and what does not parse is a fault of its block.
 *
 * With `previous` only the blocks that the change touches are parsed again; the others are the same objects, their
 * `start` and `line` brought up to date. `change` is found by comparing the texts when it is not given.
 */
export function parse(text: string, previous?: SourceFile, change?: TextChange): SourceFile {
  if (previous === undefined || previous.blocks.length === 0)
    return { text, blocks: parseBlocks(text, 0, text.length, 0, nothing) };
  if (fits(text, previous, change)) return reparse(text, previous, change);
  return previous.text === text ? previous : reparse(text, previous, changeBetween(previous.text, text));
}

function fits(text: string, previous: SourceFile, change: TextChange | undefined): change is TextChange {
  if (change === undefined) return false;
  const { start, oldEnd, newEnd } = change;
  return (
    start >= 0 &&
    start <= oldEnd &&
    start <= newEnd &&
    oldEnd <= previous.text.length &&
    newEnd <= text.length &&
    newEnd - oldEnd === text.length - previous.text.length
  );
}

/** The one stretch in which two texts differ. */
export function changeBetween(before: string, after: string): TextChange {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start < shorter && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  let oldEnd = before.length;
  let newEnd = after.length;
  while (oldEnd > start && newEnd > start && before.charCodeAt(oldEnd - 1) === after.charCodeAt(newEnd - 1)) {
    oldEnd--;
    newEnd--;
  }
  return { start, oldEnd, newEnd };
}

/** The blocks of a text before an edit, and how many at either end of the file are still the same objects. */
export interface KeptEnds {
  readonly blocks: readonly Block[];
  readonly prefix: number;
  readonly suffix: number;
}

const keptEnds = new WeakMap<SourceFile, KeptEnds>();

/** What `parse` kept of the blocks before the edit; undefined for a file that it parsed whole. */
export function keptOf(file: SourceFile): KeptEnds | undefined {
  return keptEnds.get(file);
}

function reparse(text: string, previous: SourceFile, { start, oldEnd, newEnd }: TextChange): SourceFile {
  const { blocks } = previous;
  const delta = newEnd - oldEnd;
  let first = indexAt(blocks, start);
  let from = blocks[first];
  // The first line of the block may have become a row, a comment or a continuation of the one above.
  while (from !== undefined && first > 0 && lineKind(text, from.start) !== 'statement') {
    first--;
    from = blocks[first];
  }
  // A block is kept whose line break before it lies behind the change.
  let after = first + 1;
  while (after < blocks.length && (blocks[after]?.start ?? 0) - 1 < oldEnd) after++;
  const rest = blocks[after];
  const begin = from?.start ?? 0;
  const firstLine = from?.line ?? 0;
  const until = rest === undefined ? text.length : rest.start + delta;
  const fresh = parseBlocks(text, begin, until, firstLine, blocks.slice(first, after));
  const kept = blocks.slice(after);
  let line = firstLine;
  for (const block of fresh) line += block.lineBreaks;
  if (rest !== undefined) {
    const lineDelta = line - rest.line;
    if (delta !== 0 || lineDelta !== 0) {
      for (const block of kept) {
        block.start += delta;
        block.line += lineDelta;
      }
    }
  }
  const file = { text, blocks: blocks.slice(0, first).concat(fresh, kept) };
  keptEnds.set(file, { blocks, prefix: first, suffix: kept.length });
  return file;
}

/** The index of the block that holds an offset; an offset past the end belongs to the last. */
export function indexAt(blocks: readonly Block[], offset: number): number {
  let low = 0;
  let high = blocks.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((blocks[middle]?.start ?? 0) <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
}

/**
 * The blocks of `text` from `begin` to `until`, which stand at lines' beginnings. Of the `replaced` ones that stood
 * there before, those with the same text are used again.
 */
function parseBlocks(
  text: string,
  begin: number,
  until: number,
  firstLine: number,
  replaced: readonly Block[],
): Block[] {
  const reusable = replaced.length === 0 ? undefined : new Map(replaced.map((block) => [block.text, block]));
  const returns = text.indexOf('\r') >= 0;
  const blocks: Block[] = [];
  let line = firstLine;
  for (let at = begin; at < until; ) {
    const start = at;
    const kind = lineKind(text, at);
    let head = start;
    let inHead = kind === 'statement';
    let breaks = 0;
    for (;;) {
      let end = returns ? lineEnd(text, at) : text.indexOf('\n', at);
      if (end < 0) end = until;
      if (inHead) head = end;
      at = returns ? afterLineBreak(text, end) : Math.min(end + 1, until);
      if (at > end) breaks++;
      if (at >= until) break;
      const next = lineKind(text, at);
      if (next === 'statement') break;
      inHead &&= next === 'continuation';
    }
    const own = text.slice(start, at);
    const known = reusable?.get(own);
    if (known === undefined) {
      const read = readOnce(own, head - start, kind === 'statement', reusable !== undefined);
      blocks.push({
        start,
        line,
        text: read.text,
        lineBreaks: breaks,
        statement: read.statement,
        comments: read.comments,
        faults: read.faults,
      });
    } else {
      reusable?.delete(own);
      known.start = start;
      known.line = line;
      blocks.push(known);
    }
    line += breaks;
  }
  return blocks;
}

const noRows: readonly RowNode[] = [];
const nothing: readonly never[] = [];

/** What stands in a block, wherever the block stands: offsets count from its beginning. */
type BlockContent = Pick<Block, 'text' | 'statement' | 'comments' | 'faults'>;

/**
 * What blocks that were read more than once hold, by their text: the logs of a workshop say the same lines over and
 * over. When `recent` is full it takes the place of `older`; what is asked for again comes back from there.
 */
let recent = new Map<string, BlockContent>();
let older: ReadonlyMap<string, BlockContent> = recent;
const MOST_KEPT = 4000;
const LONGEST_KEPT = 200;

/** `parseBlock`, remembered from the second time on; `edited` is the text of a file that had another before. */
function readOnce(text: string, head: number, isStatement: boolean, edited: boolean): BlockContent {
  const mayBeKnown = text.length <= LONGEST_KEPT && wasSeen(text);
  if (!mayBeKnown) return parseBlock(edited ? ownCopy(text) : text, head, isStatement);
  let known = recent.get(text);
  if (known !== undefined) return known;
  known = older.get(text) ?? parseBlock(ownCopy(text), head, isStatement);
  if (recent.size >= MOST_KEPT) {
    older = recent;
    recent = new Map();
  }
  recent.set(known.text, known);
  return known;
}

/** Marks of texts that were read, each by a few of its letters: most lines stand once, and are not worth keeping. */
const seen = new Uint8Array(1 << 16);
const MOST_SEEN = seen.length / 4;
let marks = 0;

/** Whether a text like this was read before; now it was. */
function wasSeen(text: string): boolean {
  let hash = text.length;
  for (let i = text.length - 1; i >= 0; i -= 2) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  const mark = (hash ^ (hash >>> 15)) & (seen.length - 1);
  if (seen[mark] === 1) return true;
  if (marks >= MOST_SEEN) {
    seen.fill(0);
    marks = 0;
  }
  seen[mark] = 1;
  marks++;
  return false;
}

/** The same text, not as a slice, which would hold the whole text of its file in memory: names of properties are not. */
function ownCopy(text: string): string {
  return Object.keys({ [text]: 0 })[0] ?? text;
}

/** Parses one block; its statement, if it begins with one, ends at `head` with its last continuation line. */
function parseBlock(text: string, head: number, isStatement: boolean): BlockContent {
  const parser = statementParser();
  const { scan } = parser;
  const { faults, comments } = scan;
  faults.length = 0;
  comments.length = 0;
  let statement: Building | undefined;
  let spec: StatementSpec | undefined;
  if (isStatement) {
    const first = afterBlanks(text, 0);
    const end = isLetterAt(text, first) ? wordEnd(text, first) : first;
    const word = text.slice(first, end);
    spec = beginScan(scan, text, word, end, head);
    if (spec === undefined) statement = unknown(text, first, head, faults, comments);
    else {
      statement = {
        kind: spec.keyword,
        start: first,
        end,
        keyword: { start: first, end, text: word },
        clauses: nothing,
        rows: noRows,
        broken: false,
      };
      if (spec.keyword === 'note') readNote(statement, text, end, head, faults);
      else parser.read(spec, statement);
    }
  }
  const below = isStatement ? afterLineBreak(text, head) : 0;
  if (below < text.length) readBelow(text, below, statement, spec, faults, comments);
  if (statement !== undefined) finish(statement, text, head, comments, spec, faults);
  if (faults.length > 1) faults.sort((a, b) => a.start - b.start || a.end - b.end);
  return {
    text,
    statement: statement as StatementNode | undefined,
    comments: comments.length === 0 ? nothing : comments.slice(),
    faults: faults.length === 0 ? nothing : faults.slice(),
  };
}

/** A line whose first word begins no statement: one fault, and nothing more is said of it. */
function unknown(
  text: string,
  start: number,
  head: number,
  faults: SyntaxFault[],
  comments: Span[],
): Building {
  const { scan } = statementParser();
  const end = Math.max(isLetterAt(text, start) ? wordEnd(text, start) : runEnd(scan, start), start + 1);
  const word = text.slice(start, end);
  faults.push(unknownStatement(start, end, word));
  // Comments on it are comments still.
  let quote = false;
  for (let at = end; at < head; at++) {
    const code = text.charCodeAt(at);
    if (isLineBreak(code)) quote = false;
    else if (isQuote(code)) quote = !quote;
    else if (!quote && isCommentAt(text, at)) {
      const stop = lineEnd(text, at);
      comments.push({ start: at, end: stop });
      at = stop;
    }
  }
  return {
    kind: 'unknown',
    start,
    end,
    keyword: { start, end, text: word },
    clauses: nothing,
    rows: noRows,
    broken: true,
  };
}

/** The rest of a note's lines, as they stand. */
function readNote(
  statement: Building,
  text: string,
  from: number,
  head: number,
  faults: SyntaxFault[],
): void {
  const parts: string[] = [];
  let start = -1;
  let end = from;
  for (let at = from; at < head; ) {
    let begin = afterBlanks(text, at);
    if (at > from) begin = afterBlanks(text, begin + continuationSign(text, begin));
    const lineStop = lineEnd(text, begin);
    let stop = lineStop;
    while (stop > begin && isBlank(text.charCodeAt(stop - 1))) stop--;
    if (stop > begin) {
      if (start < 0) start = begin;
      end = stop;
      parts.push(text.slice(begin, stop));
    }
    at = afterLineBreak(text, lineStop);
    if (at === lineStop) break;
  }
  if (start < 0) {
    const { keyword } = statement;
    faults.push(fault(keyword.start, keyword.end, `\`note\` lacks ${expectations.note}.`));
    return;
  }
  (statement as { note?: object }).note = { start, end, text: parts.join(' ') };
}

/** The lines below a statement: rows, comments, and continuation lines that continue nothing. */
function readBelow(
  text: string,
  from: number,
  statement: Building | undefined,
  spec: StatementSpec | undefined,
  faults: SyntaxFault[],
  comments: Span[],
): void {
  const rows: RowNode[] = [];
  let refused = statement?.kind === 'unknown';
  for (let at = from; at < text.length; ) {
    const first = afterBlanks(text, at);
    const end = lineEnd(text, first);
    switch (lineKind(text, at)) {
      case 'row': {
        const row = readRow(text, first, end, comments);
        if (statement === undefined || spec?.rows !== true) {
          if (!refused)
            faults.push(
              fault(
                row.start,
                row.end,
                statement === undefined
                  ? 'This row belongs to no table: nothing stands above it.'
                  : `${quoted(statement.keyword.text)} takes no table; rows stand below \`measure\`.`,
              ),
            );
          refused = true;
        } else rows.push(row);
        break;
      }
      case 'continuation': {
        let stop = end;
        while (stop > first && isBlank(text.charCodeAt(stop - 1))) stop--;
        if (statement?.kind !== 'unknown' || rows.length > 0)
          faults.push(
            fault(
              first,
              stop,
              statement === undefined
                ? '`...` continues the line above, and there is none.'
                : rows.length > 0
                  ? '`...` continues a statement, not a table: put it above the rows.'
                  : '`...` continues the line directly above: nothing may stand between.',
            ),
          );
        break;
      }
      case 'comment':
        comments.push({ start: first, end });
        break;
      case 'statement':
      case 'blank':
        break;
    }
    at = afterLineBreak(text, end);
    if (at === end) break;
  }
  if (statement !== undefined && rows.length > 0) statement.rows = rows.slice();
}

const cellBuffer: NameNode[] = [];

/** The cells of a row; the last `|` may be missing. */
function readRow(text: string, start: number, lineStop: number, comments: Span[]): RowNode {
  const cells = cellBuffer;
  cells.length = 0;
  let end = start + 1;
  let cell = start + 1;
  let quote = 0;
  let at = start + 1;
  const close = (to: number) => {
    const from = Math.min(afterBlanks(text, cell), to);
    let stop = to;
    while (stop > from && isBlank(text.charCodeAt(stop - 1))) stop--;
    cells.push({ start: from, end: stop, text: text.slice(from, stop) });
    return stop;
  };
  for (; at < lineStop; at++) {
    const code = text.charCodeAt(at);
    if (quote !== 0) {
      if (code === 92) at++;
      else if (closesQuote(quote, code)) quote = 0;
    } else if (isQuote(code)) quote = code;
    else if (code === 124) {
      close(at);
      cell = at + 1;
      end = cell;
    } else if (isCommentAt(text, at)) {
      comments.push({ start: at, end: lineStop });
      break;
    }
  }
  if (afterBlanks(text, cell) < at) end = close(at);
  return { start, end, cells: cells.slice() };
}

/** What is told last: that something required is not there, where the statement ends, whether it is broken. */
function finish(
  statement: Building,
  text: string,
  head: number,
  comments: readonly Span[],
  spec: StatementSpec | undefined,
  faults: SyntaxFault[],
): void {
  let end = head;
  if (comments.length > 0) end = comments.findLast((comment) => comment.end === head)?.start ?? head;
  while (end > statement.keyword.end && isBlank(text.charCodeAt(end - 1))) end--;
  const lastRow = statement.rows.length === 0 ? undefined : statement.rows[statement.rows.length - 1];
  statement.end = lastRow?.end ?? Math.max(end, statement.keyword.end);
  if (spec?.oneOf !== undefined && faults.length === 0) {
    const written = spec.oneOf.some(
      (name) =>
        (name === 'rows' ? statement.rows.length > 0 : name in statement) ||
        statement.clauses.some((clause) => clause.name === name),
    );
    if (!written) {
      const { keyword } = statement;
      faults.push(
        fault(keyword.start, keyword.end, `${quoted(spec.keyword)} lacks ${spec.oneOfAbout ?? ''}.`),
      );
    }
  }
  statement.broken = faults.length > 0;
}
