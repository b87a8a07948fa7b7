/**
 * What each word of a statement is, for colours: what the tree knows and a pattern cannot tell, such as whose name it is
 * and whether a cell is a heading.
 */
import {
  type Block,
  type ExpressionNode,
  parseCell,
  type QuantityNode,
  type RowNode,
  type Span,
  type StatementNode,
} from '../../grammar/index.ts';
import { type NameSpace, namesOf } from './names.ts';

/** In the order in which the protocol numbers them. */
export const tokenTypes = [
  'keyword',
  'clause',
  'variable',
  'tool',
  'person',
  'sealant',
  'member',
  'number',
  'unit',
  'date',
  'string',
  'word',
  'placeholder',
  'function',
  'comment',
] as const;
export type TokenType = (typeof tokenTypes)[number];

export interface WordToken extends Span {
  readonly type: TokenType;
  /** It is a name that the statement declares. */
  readonly declares: boolean;
}

const namesBySpace: Readonly<Record<NameSpace, TokenType>> = {
  shared: 'variable',
  machine: 'variable',
  'open-item': 'variable',
  tool: 'tool',
  person: 'person',
  sealant: 'sealant',
};

/** The words of a block, in order, none on two lines; spans count from the block's start. */
export function tokensOf(block: Block): readonly WordToken[] {
  const { statement, text } = block;
  const found = new Map<number, WordToken>();
  const add = ({ start, end }: Span, type: TokenType, declares = false) => {
    if (end > start && !found.has(start)) found.set(start, { start, end, type, declares });
  };
  for (const comment of block.comments) add(comment, 'comment');
  if (statement !== undefined && statement.kind !== 'unknown') {
    add(statement.keyword, 'keyword');
    for (const name of namesOf(block)) add(name, namesBySpace[name.space], name.declares);
    for (const clause of statement.clauses) add(clause.keyword, 'clause');
    for (const [part, node] of Object.entries(statement))
      if (part === 'note') add(node, 'string');
      else if (part !== 'keyword' && part !== 'clauses' && part !== 'rows') addNode(node, text, add);
    for (const clause of statement.clauses) addNode(clause.value, text, add);
    addRows(statement, text, add);
  }
  return [...found.values()].sort((a, b) => a.start - b.start).flatMap((token) => onOneLine(token, text));
}

type Add = (span: Span, type: TokenType) => void;

/** Adds the words of any node: what it is shows in what it holds. */
function addNode(node: unknown, text: string, add: Add): void {
  if (typeof node !== 'object' || node === null) return;
  if (Array.isArray(node)) {
    for (const one of node) addNode(one, text, add);
    return;
  }
  if ('kind' in node && node.kind === 'quantity') addQuantity(node as QuantityNode, add);
  else if ('kind' in node && node.kind === 'call') {
    const call = node as Extract<ExpressionNode, { kind: 'call' }>;
    add({ start: call.start, end: call.start + call.name.length }, 'function');
    addNode(call.arguments, text, add);
  } else if ('segments' in node) addMembers(node.segments, add);
  else if ('placeholder' in node && 'date' in node)
    add(node as unknown as Span, node.placeholder ? 'placeholder' : 'date');
  else if ('kind' in node && node.kind === 'placeholder') add(node as unknown as Span, 'placeholder');
  else if ('value' in node && typeof node.value === 'number') add(node as unknown as Span, 'number');
  else if ('text' in node && typeof node.text === 'string') addWord(node as unknown as Span, text, add);
  else
    for (const [part, value] of Object.entries(node))
      if (part === 'qualifier' && value !== undefined) add(value, 'unit');
      else addNode(value, text, add);
}

/** A text in quotes or to the end of the line, a unit by itself, or a word of a closed list. */
function addWord(span: Span & { readonly name?: unknown }, text: string, add: Add): void {
  const first = text[span.start] ?? '';
  if ('name' in span) add(span, 'unit');
  else if (first === '?' && span.end === span.start + 1) add(span, 'placeholder');
  else add(span, /["“„]/.test(first) ? 'string' : 'word');
}

function addQuantity(quantity: QuantityNode, add: Add): void {
  const { number, unit, qualifier, equivalent, plus, start } = quantity;
  if (number === undefined) add({ start, end: start + 1 }, 'placeholder');
  else add(number, 'number');
  if (unit !== undefined) add(unit, 'unit');
  if (qualifier !== undefined) add(qualifier, 'unit');
  if (equivalent !== undefined) addQuantity(equivalent, add);
  if (plus !== undefined) addQuantity(plus, add);
}

function addMembers(segments: unknown, add: Add): void {
  for (const segment of segments as readonly (Span & { readonly members?: unknown })[])
    if (segment.members !== undefined) addMembers(segment.members, add);
    else add(segment, 'member');
}

/** The first row is one of headings where its first cell is empty; the first cell of a row with others is one too. */
function addRows({ rows }: StatementNode, text: string, add: Add): void {
  const headed = rows[0]?.cells[0]?.text === '';
  for (const [index, row] of rows.entries())
    for (const [column, cell] of row.cells.entries())
      if ((headed && index === 0) || (column === 0 && row.cells.length > 1)) add(cell, 'member');
      else addCell(row, column, text, add);
}

function addCell(row: RowNode, column: number, text: string, add: Add): void {
  const cell = row.cells[column];
  if (cell === undefined || cell.text === '') return;
  addNode(parseCell(cell.text, cell.start).value, text, add);
}

/** Editors colour within a line; a note and a comment may go on below. */
function onOneLine(token: WordToken, text: string): readonly WordToken[] {
  const lines: WordToken[] = [];
  for (const match of text.slice(token.start, token.end).matchAll(/[^\r\n]+/g)) {
    const indent = /^[ \t]*/.exec(match[0])?.[0].length ?? 0;
    const start = token.start + match.index + indent;
    const end = token.start + match.index + match[0].length;
    if (end > start) lines.push({ ...token, start, end });
  }
  return lines;
}
