/** Repeats of one reading that differ by more than the tool can explain. */
import {
  compareQuantities,
  convert,
  convertDifference,
  convertedDecimals,
  formatAmount,
  lastPlace,
  type Quantity,
} from '../quantities/index.ts';
import {
  expandedUncertaintyOf,
  isUnderConditions,
  type Reading,
  readingValue,
  writeTarget,
} from '../rebuild/index.ts';
import { takeAgain } from './insertion.ts';
import { rule } from './rule.ts';

/** What two readings with one tool may differ by: its uncertainty, else its smallest step; undefined when unknown. */
function explained({ entry: { tool }, high }: Reading, unit: string): number | undefined {
  const expanded = high === undefined ? undefined : expandedUncertaintyOf(tool, high);
  if (high !== undefined && expanded !== undefined) return convertDifference(expanded, high.unit, unit);
  const step = tool?.resolution;
  return step === undefined ? undefined : convertDifference(step.value, step.unit, unit);
}

/** What two readings in different units may differ by because both were written to so many digits. */
function roundedAway(one: Quantity, other: Quantity): number {
  if (one.unit === other.unit) return 0;
  return (convertDifference(lastPlace(one), one.unit, other.unit) ?? 0) / 2 + lastPlace(other) / 2;
}

/** What explains a part of the difference: the tools, that both were rounded to a unit of their own, or both. */
function causes(tools: number, rounding: number): string {
  if (rounding === 0) return 'the tools explain';
  return tools === 0 ? 'their rounding explains' : 'the tools and their rounding explain';
}

function isLess(a: Reading, b: Reading | undefined): boolean {
  return (compareQuantities(a.high as Quantity, b?.high as Quantity) ?? 0) < 0;
}

/** Reports repeats of one member and place, none of them history, that disagree; the worst stands. */
export const readingsDisagree = rule({
  id: 'readings-disagree',
  severity: 'warning',
  title: 'repeated readings disagree',
  subject: 'characteristic',
  *check({ name, instances }, { scope }) {
    for (const { standing, declaration } of instances) {
      const byPlace = new Map<string, Reading[]>();
      for (const reading of standing) {
        if (reading.node.kind !== 'exact' || reading.high === undefined) continue;
        // One under other conditions is told as such, and is no repeat of those that were not.
        if (!isUnderConditions(reading, declaration)) continue;
        const list = byPlace.get(reading.place);
        if (list === undefined) byPlace.set(reading.place, [reading]);
        else list.push(reading);
      }
      for (const repeats of byPlace.values()) {
        if (repeats.length < 2) continue;
        let [least, greatest] = [repeats[0], repeats[0]];
        for (const one of repeats) {
          if (isLess(one, least)) least = one;
          if (!isLess(one, greatest)) greatest = one;
        }
        const last = repeats.at(-1);
        if (least?.high === undefined || greatest?.high === undefined || last === undefined) continue;
        const unit = greatest.high.unit;
        const low = convert(least.high.value, least.high.unit, unit);
        if (low === undefined) continue;
        const apart = greatest.high.value - low;
        const [first, second] = [explained(least, unit) ?? 0, explained(greatest, unit) ?? 0];
        const [tools, rounding] = [Math.hypot(first, second), roundedAway(least.high, greatest.high)];
        const allowed = tools + rounding;
        if (apart <= allowed * (1 + 1e-9) || apart === 0) continue;
        const decimals = Math.max(convertedDecimals(least.high, unit) ?? 0, greatest.high.decimals);
        const because =
          allowed === 0
            ? ''
            : `, and ${causes(tools, rounding)} ${formatAmount(allowed, unit, decimals + 1)}`;
        const of = declaration.of?.name;
        // Work that changes a reading is told by the line that records the work.
        const work =
          of !== undefined && scope.parts.has(of)
            ? `; if it was worked on in between, write \`fit ${of} … reworked\` there`
            : '';
        yield {
          at: last.at,
          message: `${writeTarget(name, last.item, last.place)} was read as ${readingValue(least)?.text} and as ${readingValue(greatest)?.text}: they are ${formatAmount(apart, unit, decimals)} apart${because}. The worst stands; if one was a slip, take it again \`as corrected\` and say why${work}.`,
          fixes: [takeAgain(last, 'read again')],
          // The two that are furthest apart: a place that is read often would bury them in the rest.
          related: [least, greatest]
            .filter((one) => one !== last)
            .map((one) => ({ at: one.at, message: `it was read as ${readingValue(one)?.text} here` })),
        };
      }
    }
  },
});
