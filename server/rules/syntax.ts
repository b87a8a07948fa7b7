/** A line that does not parse, or a spread that is none. */
import { clauseNode, clauseValue, type QuantityNode, type SpreadNode } from '../../grammar/index.ts';
import { convert } from '../quantities/index.ts';
import {
  type Declaration,
  type FastenerDeclaration,
  type Fix,
  listItems,
  locate,
  type Refusal,
  type Report,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';

type Place = Pick<Declaration, 'path' | 'block'>;

/** Deviations the wrong way round are seen by the parser already. */
function isToldByParser({ span, refusal }: Refusal): boolean {
  return refusal.refused === 'reversed' && (span as SpreadNode).kind === 'deviations';
}

/** Puts the smaller end first: the numbers change places, or the whole quantities where each has its unit. */
function turnRound({ path, block }: Place, low: QuantityNode, high: QuantityNode): Fix | undefined {
  const bothHaveUnits = low.unit !== undefined && high.unit !== undefined;
  const [first, second] = bothHaveUnits ? [low, high] : [low.number, high.number];
  if (first === undefined || second === undefined) return undefined;
  const text = (span: { start: number; end: number }) => block.text.slice(span.start, span.end);
  return {
    title: `Write ${text(second)}..${text(first)}`,
    edits: [
      { ...locate(path, block, first), text: text(second) },
      { ...locate(path, block, second), text: text(first) },
    ],
  };
}

/** What a declaration states as a spread and what is none: the wrong way round, or no class of ISO 286. */
function refused({ span, refusal }: Refusal, place: Place): Report {
  const node = span as SpreadNode;
  const remedy =
    refusal.refused === 'no-class' ? ' Write its limits out; until then nothing is judged by this line.' : '';
  const sentence = /[.!?]$/.test(refusal.explanation) ? refusal.explanation : `${refusal.explanation}.`;
  const fix =
    refusal.refused === 'reversed' && node.kind === 'range'
      ? turnRound(place, node.low, node.high)
      : undefined;
  return {
    at: locate(place.path, place.block, span),
    message: `${sentence}${remedy}`,
    ...(fix === undefined ? {} : { fixes: [fix] }),
  };
}

/** An order that no pass can keep: it does not list each fastener once, or does not go with how they lie. */
function refusedOrder({
  name,
  orderRefusal,
  path,
  block,
  statement,
  space,
}: FastenerDeclaration): Report | undefined {
  const clause = clauseNode(statement, 'order');
  if (orderRefusal === undefined || clause === undefined) return undefined;
  const at = locate(path, block, clause);
  const until = 'Until then any order will do.';
  if (orderRefusal.refused === 'layout') {
    const layout = clauseValue(statement, 'layout');
    if (layout?.kind === 'rows' && layout.rows > space.items.length)
      return {
        at,
        message: `${name} has ${space.items.length} fasteners, too few for ${layout.rows} rows. ${until}`,
      };
    const wanted =
      clause.value?.kind === 'cross'
        ? '`order cross` is worked out for `layout circle` and `layout rows 2`'
        : '`order centre-out` is worked out for rows, such as `layout rows 2`';
    return { at, message: `${wanted}; for another layout write the order out. ${until}` };
  }
  const { unknown, missing, twice } = orderRefusal;
  const faults = [
    unknown.length === 0 ? '' : `names ${listItems(unknown, 8)}, which ${name} has not`,
    missing.length === 0 ? '' : `leaves out ${listItems(missing, 8)}`,
    twice.length === 0 ? '' : `names ${listItems(twice)} twice`,
  ].filter((fault) => fault !== '');
  return {
    at,
    message: `An order names each fastener once, and this one ${faults.join(unknown.length === 0 ? ' and ' : ', and ')}. ${until}`,
  };
}

/** Reports what the parser could not read (it has the words), and spreads that say nothing. */
export const syntax = rule({
  id: 'syntax',
  severity: 'error',
  title: 'line not understood',
  subject: 'fault',
  check: () => [],
  also: {
    *declaration(declaration) {
      for (const refusal of declaration.refusals)
        if (refusal.refusal.refused !== 'unit-mismatch' && !isToldByParser(refusal))
          yield refused(refusal, declaration);
      const order = declaration.kind === 'fastener' ? refusedOrder(declaration) : undefined;
      if (order !== undefined) yield order;
    },
    *characteristic({ instances }) {
      for (const { readings } of instances)
        for (const { reading } of readings) {
          const { node, low, high, entry, at } = reading;
          if (node.kind !== 'range' || low === undefined || high === undefined) continue;
          const greatest = convert(high.value, high.unit, low.unit);
          if (greatest === undefined || low.value <= greatest) continue;
          const fix = turnRound(entry, node.low, node.high);
          yield {
            at,
            message: `A range gives its smaller end first: ${high.written}..${low.written}.`,
            ...(fix === undefined ? {} : { fixes: [fix] }),
          };
        }
    },
  },
});
