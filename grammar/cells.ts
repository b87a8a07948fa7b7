/** Reads what stands alone: the cells of a table, and the quantities of the command line. */

import { lexPath } from './lex-targets.ts';
import { lexValue } from './lex-values.ts';
import { type StatementParser, statementParser } from './parser.ts';
import { fault } from './syntax-errors.ts';
import type { PathNode, QuantityNode, SyntaxFault, ValueNode } from './syntax-tree.ts';
import { beginScan } from './tokens.ts';

/**
 * Reads a reading in a cell: a number with or without its unit, a range, a bound, a word in quotes, `?`. `offset` is
 * where the cell's text stands in its block; spans count from the block's start. An empty cell has no value.
 */
export function parseCell(
  text: string,
  offset: number,
): { value: ValueNode | undefined; faults: readonly SyntaxFault[] } {
  // Nearly every cell is a plain number, and its tree is known without a parser.
  if (/^\d+(?:\.\d+)?$/.test(text)) return { value: plainCell(text, offset), faults: noFaults };
  if (text.trim() === '') return { value: undefined, faults: [] };
  if (/^(?:[-–—]+|n\/?a|N\/?A)$/.test(text.trim())) {
    const start = offset;
    const end = offset + text.length;
    return {
      value: undefined,
      faults: [
        fault(start, end, 'A reading that was not taken is an empty cell.', [
          { title: 'Empty the cell', edits: [{ start, end, text: ' '.repeat(text.length) }] },
        ]),
      ],
    };
  }
  const { value, faults } = readAlone(text, offset, (parser) => {
    lexValue(parser.scan, 'value');
    return () => parser.reading();
  });
  return { value, faults };
}

const noFaults: readonly SyntaxFault[] = [];

function plainCell(text: string, start: number): ValueNode {
  const end = start + text.length;
  const value: QuantityNode = {
    kind: 'quantity',
    start,
    end,
    number: { start, end, text, value: Number(text) },
    unit: undefined,
    qualifier: undefined,
    equivalent: undefined,
    plus: undefined,
  };
  return { kind: 'exact', start, end, value, equivalent: undefined };
}

/** Reads a heading: a path of items or a place. An empty heading has none. */
export function parsePath(
  text: string,
  offset: number,
): { path: PathNode | undefined; faults: readonly SyntaxFault[] } {
  if (text.trim() === '') return { path: undefined, faults: [] };
  const { value, faults } = readAlone(text, offset, (parser) => {
    lexPath(parser.scan);
    return () => parser.path();
  });
  return { path: value, faults };
}

/** Reads a quantity by itself: `88 ft·lbf`. */
export function parseQuantity(text: string): {
  quantity: QuantityNode | undefined;
  faults: readonly SyntaxFault[];
} {
  if (text.trim() === '')
    return {
      quantity: undefined,
      faults: [fault(0, text.length, 'A quantity is written as in `88 ft·lbf`.')],
    };
  const { value, faults } = readAlone(text, 0, (parser) => {
    lexValue(parser.scan, 'quantity');
    return () => parser.quantity();
  });
  return { quantity: value, faults };
}

/** Reads a text that is one value; the spans of what is read are moved by `offset`. */
function readAlone<T>(
  text: string,
  offset: number,
  lex: (parser: StatementParser) => () => T,
): { value: T | undefined; faults: readonly SyntaxFault[] } {
  const parser = statementParser();
  const { scan } = parser;
  scan.faults.length = 0;
  scan.comments.length = 0;
  beginScan(scan, text, '', 0, text.length);
  const value = parser.readAll(lex(parser));
  const faults = scan.faults.slice();
  if (offset !== 0) {
    move(value, offset);
    move(faults, offset);
  }
  return { value, faults };
}

/** Moves every span of a fresh tree. */
function move(node: unknown, offset: number): void {
  if (typeof node !== 'object' || node === null) return;
  const span = node as { start?: unknown; end?: unknown };
  if (typeof span.start === 'number' && typeof span.end === 'number') {
    span.start += offset;
    span.end += offset;
  }
  for (const value of Object.values(node)) move(value, offset);
}
