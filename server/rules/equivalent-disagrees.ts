/** A value and the equivalent in parentheses after it that are not the same. */
import type { Block, QuantityNode, SpreadNode, StatementNode } from '../../grammar/index.ts';
import {
  atLeast,
  atMost,
  bareSpread,
  contains,
  type EquivalentResult,
  type EquivalentSlip,
  formatQuantity,
  formatSpread,
  isSpread,
  kindOf,
  kindPhrase,
  type Quantity,
  quantityAndEquivalent,
  quantityOf,
  rangeSpread,
  type Spread,
  type SpreadResult,
  spreadAndEquivalent,
  spreadOf,
} from '../quantities/index.ts';
import { type Entry, type Fix, locate, type Reading, type Report, type Scope } from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { corrected, putRight } from './standing.ts';

const SPREADS = new Set(['exact', 'range', 'at-most', 'at-least', 'plus-minus', 'deviations', 'iso-class']);

/** Values of a statement or a cell with an equivalent: quantities, and spreads whose equivalent belongs to the whole. */
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

function judge(
  node: QuantityNode | SpreadNode,
  wanted: readonly Spread[],
  path: string,
  block: Block,
  read?: Reading,
): Report | undefined {
  const { equivalent } = node;
  if (equivalent === undefined) return undefined;
  const at = locate(path, block, equivalent);
  let result: EquivalentResult;
  let value: Quantity | Spread;
  let other: Quantity | Spread;
  if (node.kind === 'quantity') {
    const [a, b] = [
      read?.high ?? quantityOf({ ...node, equivalent: undefined }),
      quantityOf(equivalent as QuantityNode),
    ];
    if (a === undefined || b === undefined) return undefined;
    [value, other] = [a, b];
    result = quantityAndEquivalent(a, b);
  } else {
    const [a, b] = [
      spreadRead(read) ?? spreadOf({ ...node, equivalent: undefined }),
      spreadOf(equivalent as SpreadNode),
    ];
    if (a === undefined || b === undefined || !isSpread(a) || !isSpread(b)) return undefined;
    [value, other] = [a, b];
    result = spreadAndEquivalent(a, b);
  }
  if (result.agrees) return undefined;
  const written = block.text.slice(node.start, startOfParenthesis(block, node, equivalent.start));
  const write = (one: Quantity | Spread) =>
    'written' in one
      ? formatQuantity(one)
      : one === value && read === undefined
        ? written
        : formatSpread(one);
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
  const { slips } = result;
  const meets = (one: Quantity | Spread) =>
    'written' in one && wanted.find((spread) => contains(spread, one) === true);
  const [valueMeets, otherMeets] = [meets(value), meets(other)];
  // The side that meets the limit is right, so the other one slipped.
  const decided = !valueMeets === !otherMeets ? undefined : valueMeets ? 'equivalent' : 'value';
  const slip = slips.find(({ side }) => side === decided) ?? slips[0];
  if (slip === undefined)
    return { at, message: `${write(value)} is ${result.expected}, not ${write(other)}.` };
  const place = (side: EquivalentSlip['side']) =>
    locate(
      path,
      block,
      side === 'equivalent'
        ? equivalent
        : { start: node.start, end: startOfParenthesis(block, node, equivalent.start) },
    );
  const fixOf = (one: EquivalentSlip): Fix => ({
    title: `Write ${one.text}`,
    edits: [{ ...place(one.side), text: one.text }],
  });
  const doubt = slips.find((one) => one.side !== slip.side && one.slip === slip.slip);
  if (doubt !== undefined && slip.side !== decided) {
    const choices = [doubt, slip].sort((a, b) => b.side.localeCompare(a.side));
    return {
      at: locate(path, block, { start: node.start, end: equivalent.end }),
      message: `${write(value)} is ${result.expected}, not ${write(other)}; either ${choices.map(({ text }) => text).join(' or ')} was probably meant.`,
      fixes: choices.map(fixOf),
    };
  }
  const [right, wrong] = slip.side === 'equivalent' ? [value, other] : [other, value];
  const limit = doubt === undefined ? undefined : slip.side === 'value' ? otherMeets : valueMeets;
  const because = limit ? `, since ${write(right)} meets ${formatSpread(limit)}` : '';
  return {
    at: place(slip.side),
    message: `${write(right)} is ${slip.expected}, not ${write(wrong)}; ${slip.text} was probably meant${because}.`,
    fixes: [fixOf(slip)],
  };
}

/** Both ends, or the one end, of what was read. */
function spreadRead(read: Reading | undefined): SpreadResult | undefined {
  const { low, high } = read ?? {};
  if (low !== undefined && high !== undefined) return rangeSpread(low, high);
  if (high !== undefined) return atMost(high);
  return low === undefined ? undefined : atLeast(low);
}

/** The spreads that a statement's value may be meant to meet. */
function spreadsWanted(statement: StatementNode, scope: Scope): readonly Spread[] {
  const name = statement.target?.name.text ?? '';
  if (statement.kind === 'measure')
    return (scope.limits.get(name) ?? []).flatMap(({ limit, wear }) => [limit, wear].filter(isPresent));
  const fastener = statement.kind === 'torque' ? scope.fasteners.get(name) : undefined;
  if (fastener === undefined) return [];
  const stages = fastener.stages.map((stage) => bareSpread(stage)).filter(isSpread);
  return [fastener.torque, ...stages].filter(isPresent);
}

function isPresent(spread: Spread | undefined): spread is Spread {
  return spread !== undefined;
}

/** Where the value before a parenthesis ends: before the blanks and the opening parenthesis. */
function startOfParenthesis(block: Block, node: { start: number }, equivalentStart: number): number {
  return node.start + block.text.slice(node.start, equivalentStart).replace(/\s*\(\s*$/, '').length;
}

function* judgeCells({ statement, readings, path, block }: Entry, scope: Scope): Iterable<Report> {
  const seen = new Set<QuantityNode | SpreadNode>();
  for (const reading of readings)
    for (const value of valuesWithEquivalent(reading.node)) {
      if (seen.has(value)) continue;
      seen.add(value);
      const report = judge(value, spreadsWanted(statement, scope), path, block, reading);
      const own = readings.filter(({ node }) => node === reading.node);
      if (report !== undefined) yield { ...report, mended: corrected({ readings: own }) };
    }
}

/** Reports every value of the file that its own equivalent contradicts. */
export const equivalentDisagrees = rule({
  id: 'equivalent-disagrees',
  severity: 'error',
  title: 'value and its equivalent disagree',
  subject: 'statement',
  *check({ block, statement, entry }, { path, scope }) {
    for (const node of valuesWithEquivalent(statement)) {
      const report = judge(node, spreadsWanted(statement, scope), path, block);
      if (report === undefined) continue;
      yield entry === undefined ? report : { ...report, mended: putRight(entry) };
    }
  },
  kinds: ['measure'],
  also: {
    // The cells of a table are read with what stands above them: their unit may be said there.
    entry: (entry, { scope }) => {
      const [row] = entry.statement.rows;
      return row !== undefined && entry.block.text.includes('(', row.start)
        ? judgeCells(entry, scope)
        : nothing;
    },
  },
});
