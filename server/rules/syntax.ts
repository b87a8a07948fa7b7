/** A line that does not parse, or a spread that is none. */
import type { QuantityNode, SpreadNode } from '../../grammar/index.ts';
import { convert } from '../quantities/index.ts';
import { type Declaration, type Fix, locate, type Refusal, type Report } from '../rebuild/index.ts';
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
