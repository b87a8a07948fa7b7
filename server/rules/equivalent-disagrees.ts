/** A value and the equivalent in parentheses after it that are not the same. */
import type { Block, QuantityNode, SpreadNode } from '../../grammar/index.ts';
import {
  areEasilyConfused,
  type EquivalentResult,
  formatQuantity,
  formatSpread,
  isSpread,
  kindOf,
  kindPhrase,
  type Quantity,
  quantityAndEquivalent,
  quantityOf,
  type Spread,
  spreadAndEquivalent,
  spreadOf,
} from '../quantities/index.ts';
import { type Fix, locate, type Report } from '../rebuild/index.ts';
import { rule } from './rule.ts';

const SPREADS = new Set(['exact', 'range', 'at-most', 'at-least', 'plus-minus', 'deviations', 'iso-class']);

/** Values of a statement with an equivalent: quantities, and spreads whose equivalent belongs to the whole. */
function* valuesWithEquivalent(node: unknown): Iterable<QuantityNode | SpreadNode> {
  if (typeof node !== 'object' || node === null) return;
  if (Array.isArray(node)) {
    for (const one of node) yield* valuesWithEquivalent(one);
    return;
  }
  const { kind, equivalent } = node as { kind?: unknown; equivalent?: unknown };
  if (equivalent !== undefined && (kind === 'quantity' || SPREADS.has(String(kind))))
    yield node as QuantityNode | SpreadNode;
  for (const [name, value] of Object.entries(node))
    if (name !== 'equivalent') yield* valuesWithEquivalent(value);
}

function judge(node: QuantityNode | SpreadNode, path: string, block: Block): Report | undefined {
  const { equivalent } = node;
  if (equivalent === undefined) return undefined;
  const at = locate(path, block, equivalent);
  let result: EquivalentResult;
  let value: Quantity | Spread;
  let other: Quantity | Spread;
  if (node.kind === 'quantity') {
    const [a, b] = [quantityOf({ ...node, equivalent: undefined }), quantityOf(equivalent as QuantityNode)];
    if (a === undefined || b === undefined) return undefined;
    [value, other] = [a, b];
    result = quantityAndEquivalent(a, b);
  } else {
    const [a, b] = [spreadOf({ ...node, equivalent: undefined }), spreadOf(equivalent as SpreadNode)];
    if (a === undefined || b === undefined || !isSpread(a) || !isSpread(b)) return undefined;
    [value, other] = [a, b];
    result = spreadAndEquivalent(a, b);
  }
  if (result.agrees) return undefined;
  const write = (one: Quantity | Spread) => ('written' in one ? formatQuantity(one) : formatSpread(one));
  if (result.reason === 'kinds-differ')
    return {
      at,
      message: `${write(value)} and ${write(other)} measure different things: ${kindPhrase(kindOf(value.unit) ?? 'count')} and ${kindPhrase(kindOf(other.unit) ?? 'count')}.`,
    };
  if (result.reason === 'ends-differ')
    return {
      at,
      message: `${write(value)} and ${write(other)} are not the same spread: one has an end that the other lacks.`,
    };
  // Only a swap that people are known to make is worth naming.
  const { slip } = result;
  const plausible =
    slip !== undefined &&
    (slip.slip === 'decimal-place' ||
      areEasilyConfused((slip.side === 'value' ? value : other).unit, slip.unit));
  if (slip === undefined || !plausible)
    return { at, message: `${write(value)} is ${result.expected}, not ${write(other)}.` };
  const meant = slip.side === 'equivalent' ? equivalent : node;
  const fixes: Fix[] = [];
  const span =
    meant === node
      ? { start: node.start, end: startOfParenthesis(block, node, equivalent.start) }
      : equivalent;
  fixes.push({ title: `Write ${slip.text}`, edits: [{ ...locate(path, block, span), text: slip.text }] });
  return {
    at: locate(path, block, span),
    message: `${write(slip.side === 'equivalent' ? value : other)} is ${slip.expected}, not ${write(slip.side === 'equivalent' ? other : value)}; ${slip.text} was probably meant.`,
    fixes,
  };
}

/** Where the value before a parenthesis ends: before the blanks and the opening parenthesis. */
function startOfParenthesis(block: Block, node: { start: number }, equivalentStart: number): number {
  return node.start + block.text.slice(node.start, equivalentStart).replace(/\s*\(\s*$/, '').length;
}

/** Reports every value of the file that its own equivalent contradicts. */
export const equivalentDisagrees = rule({
  id: 'equivalent-disagrees',
  severity: 'error',
  title: 'value and its equivalent disagree',
  subject: 'statement',
  *check({ block, statement }, { path }) {
    for (const node of valuesWithEquivalent(statement)) {
      const report = judge(node, path, block);
      if (report !== undefined) yield report;
    }
  },
});
