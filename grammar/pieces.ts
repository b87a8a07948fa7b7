/**
 * The canonical words of a statement, one piece a token, each with the place in the block where it was written.
 *
 * The layout and the text of a mark are both made of them, so that no layout can change what is marked. `written`
 * keeps numbers, names and threads letter for letter; `plain` gives each its one plain form.
 */
import { parseCell, parsePath } from './cells.ts';
import { type ClauseName, type ClauseSpec, type FixedSpec, statementSpec } from './statements.ts';
import type {
  Block,
  ClauseNode,
  ExpressionNode,
  NameNode,
  OrderNode,
  PathNode,
  QuantityNode,
  RowNode,
  SegmentNode,
  Span,
  SpreadNode,
  StatementNode,
  StringNode,
  TargetGradeNode,
  TargetNode,
  UnitClauseNode,
  UnitNode,
  ValueNode,
  WhenNode,
} from './syntax-tree.ts';
import { afterBlanks, afterLineBreak, continuationSign, isLineBreak, isQuote } from './tokens.ts';

export type Spelling = 'written' | 'plain';

/** A token in canonical spelling. */
export interface Piece {
  readonly text: string;
  /** Where it was written, from the block's start; a comma that was added stands with the piece before it. */
  readonly at: number;
  /** No blank stands before it. */
  readonly glued: boolean;
}

/** The pieces of a clause. */
export interface ClausePieces {
  readonly name: ClauseName;
  /** Its place in the canonical order of its statement. */
  readonly rank: number;
  readonly pieces: readonly Piece[];
}

export interface StatementPieces {
  /** The keyword and the fixed part. */
  readonly head: readonly Piece[];
  /** The clauses in the order in which they were written. */
  readonly clauses: readonly ClausePieces[];
}

/** Whether all of a statement was read, so that its tree holds everything that its text says. */
export function isWhole(block: Block): boolean {
  const { statement, faults } = block;
  return statement !== undefined && statement.kind !== 'unknown' && !statement.broken && faults.length === 0;
}

/** Pieces with one blank between them, or none where they are glued. */
export function joinPieces(pieces: readonly Piece[]): string {
  let text = '';
  for (const piece of pieces) text += text === '' || piece.glued ? piece.text : ` ${piece.text}`;
  return text;
}

/** The pieces of a statement that was read whole (see `isWhole`); a note has none but its keyword. */
export function statementPieces(block: Block, statement: StatementNode, spelling: Spelling): StatementPieces {
  const { text } = block;
  const writer = newWriter(text, block.comments, spelling);
  word(writer, statement.keyword);
  const spec = statementSpec(statement.kind);
  if (spec === undefined || spec.keyword === 'note') return { head: writer.pieces, clauses: [] };
  let texts = 0;
  for (const fixed of spec.fixed) {
    const name = fixed.name === 'text' && texts++ > 0 ? 'text2' : fixed.name;
    const value = (statement as unknown as Readonly<Record<string, Value | undefined>>)[name];
    if (value === undefined) continue;
    if (fixed.after !== undefined || fixed.value === 'tolerance')
      sign(writer, fixed.after === undefined ? '±' : fixed.after);
    fixedValue(writer, fixed, value);
  }
  const head = writer.pieces;
  const clauses = statement.clauses.map((clause) => {
    const index = spec.clauses.findIndex(({ name }) => name === clause.name);
    const own = spec.clauses[index];
    writer.pieces = [];
    if (own !== undefined) writeClause(writer, own, clause);
    const keyword = text.slice(clause.keyword.start, clause.keyword.end);
    const among = own === undefined ? 0 : Math.max(0, own.words.indexOf(keyword));
    return { name: clause.name, rank: index + among / 10, pieces: writer.pieces };
  });
  return { head, clauses };
}

/** The canonical text of a cell: a reading, or else a heading; what is neither stays as it stands. */
export function cellText(cell: NameNode, spelling: Spelling): string {
  const { text } = cell;
  const { value, faults } = parseCell(text, 0);
  const writer = newWriter(text, [], spelling);
  if (value !== undefined && faults.length === 0) {
    writeReading(writer, value);
    return joinPieces(writer.pieces);
  }
  const heading = parsePath(text, 0);
  if (heading.path === undefined || heading.faults.length > 0) return text;
  writePath(writer, heading.path);
  return joinPieces(writer.pieces);
}

/** Whether a row only rules a line under the headings. */
export function isDashes({ cells }: RowNode): boolean {
  return cells.length > 0 && cells.every(({ text }) => /^:?-+:?$/.test(text));
}

/** A text in plain quotes. */
export function quotedText(text: string): string {
  return `"${text.replace(/[\\"]/g, '\\$&')}"`;
}

interface Writer {
  readonly text: string;
  readonly comments: readonly Span[];
  readonly plain: boolean;
  pieces: Piece[];
  /** Where what was written last ends in the text. */
  at: number;
  /** The next piece follows without a blank. */
  glueNext: boolean;
}

function newWriter(text: string, comments: readonly Span[], spelling: Spelling): Writer {
  return { text, comments, plain: spelling === 'plain', pieces: [], at: 0, glueNext: false };
}

function put(writer: Writer, text: string, at: number, end: number, glued = false): void {
  writer.pieces.push({ text, at, glued: glued || writer.glueNext });
  writer.glueNext = false;
  writer.at = end;
}

/** Where the next token stands: after blanks, comments and the beginnings of continuation lines. */
function nextToken({ text, comments, at: from }: Writer): number {
  let at = from;
  for (;;) {
    const next = afterBlanks(text, at);
    const comment = comments.find(({ start }) => start === next);
    if (comment !== undefined) at = comment.end;
    else if (isLineBreak(text.charCodeAt(next))) {
      at = afterBlanks(text, afterLineBreak(text, next));
      at += continuationSign(text, at);
    } else return next;
  }
}

/** What each sign may be written as, where that is not itself. */
const otherSigns: Readonly<Record<string, readonly string[]>> = {
  '±': ['±', '+/-', '+/−'],
  '<=': ['<=', '≤'],
  '>=': ['>=', '≥'],
  '-': ['-', '−'],
  '*': ['*', '×', '·', '⋅'],
};

/** Writes a sign that stands next in the text. */
function sign(writer: Writer, canonical: string, glued = false): void {
  const at = nextToken(writer);
  const written = (otherSigns[canonical] ?? [canonical]).find((one) => writer.text.startsWith(one, at));
  put(writer, canonical, at, at + (written?.length ?? 0), glued);
}

/** Writes a comma between two of a list, whether or not one is written in the text. */
function comma(writer: Writer): void {
  const last = writer.pieces.at(-1)?.at ?? writer.at;
  put(writer, ',', last, writer.at, true);
}

function word(writer: Writer, { start, end, text }: Span & { readonly text?: string }): void {
  put(writer, writer.plain && text !== undefined ? text : writer.text.slice(start, end), start, end);
}

/** A name, a number or a code; one that stands in quotes is a text. */
function leaf(writer: Writer, node: NameNode): void {
  if (isQuote(writer.text.charCodeAt(node.start))) writeString(writer, node);
  else word(writer, node);
}

function writeString(writer: Writer, { start, end, text }: StringNode | NameNode): void {
  const written = writer.text.slice(start, end);
  const straight = written.startsWith('"');
  const isText = isQuote(written.charCodeAt(0));
  put(writer, isText && (writer.plain || !straight) ? quotedText(text) : written, start, end);
}

/** Any value of the tree. */
type Value =
  | NameNode
  | StringNode
  | QuantityNode
  | SpreadNode
  | ValueNode
  | WhenNode
  | TargetNode
  | ExpressionNode
  | UnitClauseNode
  | OrderNode
  | TargetGradeNode
  | Span
  | readonly Span[];

function fixedValue(writer: Writer, fixed: FixedSpec, value: Value): void {
  if (fixed.value === 'inspection') leaf(writer, value as NameNode);
  else if (fixed.value === 'thread') writeThread(writer, value as NameNode);
  else if (fixed.value === 'limit-value')
    if (Array.isArray(value)) writeList(writer, value as readonly StringNode[], false, writeString);
    else writeReading(writer, value as SpreadNode);
  else writeValue(writer, fixed.value, value, false);
}

function writeThread(writer: Writer, node: NameNode): void {
  const { start, end } = node;
  put(writer, writer.plain ? node.text : writer.text.slice(start, end).replace(/\s+/gu, ' '), start, end);
}

/** Lists whose canonical separator is a comma; quantities always have one. */
const commaLists: ReadonlySet<ClauseName> = new Set(['by', 'stages', 'when']);

function writeClause(writer: Writer, spec: ClauseSpec, clause: ClauseNode): void {
  word(writer, clause.keyword);
  if (clause.value === undefined || spec.value === 'flag' || spec.value === 'word') return;
  writeValue(writer, spec.value, clause.value as Value, commaLists.has(spec.name));
}

function writeValue(writer: Writer, kind: ClauseSpec['value'], value: Value, commas: boolean): void {
  switch (kind) {
    case 'flag':
    case 'word':
    case 'note':
    case 'thread':
    case 'inspection':
    case 'limit-value':
      return;
    case 'choice':
    case 'name':
    case 'mark':
    case 'grade':
    case 'class':
    case 'integer':
      leaf(writer, value as NameNode);
      return;
    case 'names':
      writeList(writer, value as readonly NameNode[], commas, leaf);
      return;
    case 'string':
      writeString(writer, value as StringNode);
      return;
    case 'strings':
      writeList(writer, value as readonly StringNode[], false, writeString);
      return;
    case 'tolerance':
    case 'quantity':
    case 'spread':
    case 'value':
      writeReading(writer, value as ValueNode | QuantityNode);
      return;
    case 'quantities':
    case 'spreads':
      writeList(writer, value as readonly SpreadNode[], true, writeReading);
      return;
    case 'when':
      writeWhen(writer, value as WhenNode);
      return;
    case 'until':
      if ('kind' in value) writeReading(writer, value as QuantityNode);
      else writeWhen(writer, value as WhenNode);
      return;
    case 'target':
      writeTarget(writer, value as TargetNode);
      return;
    case 'targets':
    case 'members':
      writeList(writer, value as readonly TargetNode[], kind === 'members', writeTarget);
      return;
    case 'expression':
      writeExpression(writer, value as ExpressionNode);
      return;
    case 'unit': {
      const { unit, qualifier } = value as UnitClauseNode;
      writeUnit(writer, unit);
      if (qualifier !== undefined) word(writer, qualifier);
      return;
    }
    case 'order':
      writeOrder(writer, value as OrderNode);
      return;
    case 'layout':
      writeLayout(writer, value as Span & { readonly kind: string });
      return;
    case 'adapter': {
      const { length, angle } = value as unknown as { length: QuantityNode; angle: QuantityNode | undefined };
      writeList(writer, angle === undefined ? [length] : [length, angle], true, writeReading);
      return;
    }
    case 'target-grade':
      writeTarget(writer, (value as TargetGradeNode).target);
      leaf(writer, (value as TargetGradeNode).grade);
  }
}

function writeList<T>(
  writer: Writer,
  list: readonly T[],
  commas: boolean,
  write: (writer: Writer, one: T) => void,
): void {
  for (const [index, one] of list.entries()) {
    if (index > 0 && commas) comma(writer);
    write(writer, one);
  }
}

function writeUnit(writer: Writer, { start, end, text, name }: UnitNode): void {
  put(writer, name ?? text, start, end, name?.startsWith(':') === true);
}

function writeQuantity(writer: Writer, node: QuantityNode): void {
  writeAmount(writer, node);
  if (node.unit !== undefined) writeUnit(writer, node.unit);
  if (node.qualifier !== undefined) word(writer, node.qualifier);
  if (node.plus !== undefined) writeQuantity(writer, node.plus);
  if (node.equivalent !== undefined) writeEquivalent(writer, node.equivalent);
}

function writeAmount(writer: Writer, node: QuantityNode): void {
  if (node.number === undefined) sign(writer, '?');
  else word(writer, node.number);
}

function writeEquivalent(writer: Writer, node: QuantityNode | SpreadNode): void {
  sign(writer, '(');
  writer.glueNext = true;
  writeReading(writer, node);
  sign(writer, ')', true);
}

/** A quantity, a spread or a reading. */
function writeReading(writer: Writer, node: QuantityNode | SpreadNode | ValueNode): void {
  switch (node.kind) {
    case 'quantity':
      writeQuantity(writer, node);
      return;
    case 'word':
      writeString(writer, node);
      return;
    case 'placeholder':
      sign(writer, '?');
      break;
    case 'exact':
      writeQuantity(writer, node.value);
      break;
    case 'range':
      writeRange(writer, node.low, node.high);
      break;
    case 'at-most':
    case 'at-least':
      sign(writer, node.kind === 'at-most' ? '<=' : '>=');
      writeQuantity(writer, node.value);
      break;
    case 'plus-minus':
      writeQuantity(writer, node.nominal);
      sign(writer, '±');
      writeQuantity(writer, node.tolerance);
      break;
    case 'deviations':
      writeQuantity(writer, node.nominal);
      word(writer, node.upper);
      sign(writer, '/', true);
      writer.glueNext = true;
      word(writer, node.lower);
      if (node.unit !== undefined) writeUnit(writer, node.unit);
      break;
    case 'iso-class': {
      const { nominal, isoClass } = node;
      writeAmount(writer, nominal);
      if (nominal.equivalent !== undefined) writeEquivalent(writer, nominal.equivalent);
      word(writer, isoClass);
      if (nominal.unit !== undefined) writeUnit(writer, nominal.unit);
      break;
    }
  }
  if (node.equivalent !== undefined) writeEquivalent(writer, node.equivalent);
}

/** `0.1..0.2 mm`, and with blanks where the lower end carries more than its number: `0.1 mm .. 0.2 mm`. */
function writeRange(writer: Writer, low: QuantityNode, high: QuantityNode): void {
  const apart = low.unit !== undefined || low.qualifier !== undefined || low.equivalent !== undefined;
  writeQuantity(writer, low);
  sign(writer, '..', !apart);
  writer.glueNext = !apart;
  writeQuantity(writer, high);
}

function writeWhen(writer: Writer, node: WhenNode): void {
  if (node.placeholder) {
    sign(writer, '?');
    return;
  }
  if (node.date !== undefined) {
    const end = node.start + node.date.length;
    put(writer, node.date, node.start, end);
    if (node.time !== undefined && /^[Tt]\d/.test(writer.text.slice(end, end + 2))) writer.at = end + 1;
  }
  if (node.time === undefined) return;
  const start = node.date === undefined ? node.start : nextToken(writer);
  put(writer, node.time + (node.offset ?? ''), start, node.end);
}

function writeTarget(writer: Writer, { name, items, place }: TargetNode): void {
  word(writer, name);
  if (items !== undefined) {
    sign(writer, '[', true);
    writer.glueNext = true;
    writeList(writer, items, false, writePath);
    sign(writer, ']', true);
  }
  if (place === undefined) return;
  sign(writer, '@');
  writePath(writer, place);
}

function writePath(writer: Writer, { segments }: PathNode): void {
  for (const [index, segment] of segments.entries()) {
    if (index > 0) {
      sign(writer, '/', true);
      writer.glueNext = true;
    }
    writeSegment(writer, segment);
  }
}

function writeSegment(writer: Writer, segment: SegmentNode): void {
  const { start, end } = segment;
  if (segment.kind === 'set') {
    put(writer, '(', start, start + 1);
    writer.glueNext = true;
    writeList(writer, segment.members, false, writeSegment);
    sign(writer, ')', true);
    return;
  }
  let text = writer.text.slice(start, end);
  if (writer.plain) {
    if (segment.kind === 'word') text = segment.text;
    else if (segment.kind === 'number') text = String(segment.value);
    else if (segment.kind === 'run') text = `${segment.from}..${segment.to}`;
  }
  put(writer, text, start, end);
}

function writeOrder(writer: Writer, node: OrderNode): void {
  if (node.kind === 'listed') writeList(writer, node.items, false, writePath);
  else word(writer, { start: node.start, end: node.end });
}

function writeLayout(writer: Writer, { kind, start, end }: Span & { readonly kind: string }): void {
  put(writer, kind, start, start + kind.length);
  if (kind !== 'rows') return;
  const at = nextToken(writer);
  put(writer, writer.text.slice(at, end), at, end);
}

function writeExpression(writer: Writer, node: ExpressionNode): void {
  const open = openParentheses(writer, node);
  for (let count = 0; count < open; count++) {
    sign(writer, '(');
    writer.glueNext = true;
  }
  switch (node.kind) {
    case 'reading':
      writeTarget(writer, node.target);
      break;
    case 'constant':
      writeQuantity(writer, node.quantity);
      break;
    case 'binary':
      writeExpression(writer, node.left);
      sign(writer, node.operator);
      writeExpression(writer, node.right);
      break;
    case 'call': {
      const at = nextToken(writer);
      put(writer, node.name, at, at + node.name.length);
      sign(writer, '(', true);
      writer.glueNext = true;
      for (const [index, argument] of node.arguments.entries()) {
        if (index > 0) sign(writer, ',', true);
        writeExpression(writer, argument);
      }
      sign(writer, ')', true);
    }
  }
  for (let count = 0; count < open; count++) sign(writer, ')', true);
}

/** How many parentheses stand around this expression itself, not around its first term. */
function openParentheses(writer: Writer, node: ExpressionNode): number {
  const until = node.kind === 'binary' ? node.left.start : node.end;
  const ahead: Writer = { ...writer, at: node.start, pieces: [] };
  let count = 0;
  for (;;) {
    const at = nextToken(ahead);
    if (at >= until || ahead.text[at] !== '(') return count;
    count++;
    ahead.at = at + 1;
  }
}
