/** A value so near its limit that its uncertainty leaves open on which side it lies. */
import { judge } from '../calculations/index.ts';
import { convert, convertDifference, formatAmount, kindOf } from '../quantities/index.ts';
import {
  acceptedAt,
  awayFrom20,
  type Characteristic,
  type DecidingEnd,
  type DecidingLimits,
  decidingLimits,
  type EndsUncertainty,
  type Instance,
  isSize,
  type Location,
  type Reading,
  readingUncertainty,
  readingValue,
  type Value,
  workedUncertainty,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';
import { takeAgain } from './insertion.ts';
import { placeOfWorked, relatedReadings } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { temperaturesOf } from './temperature-matters.ts';
import { andList, andMore, refOf, twoDigits } from './wording.ts';

/** A value that neither conforms nor fails to, at one end of its limit. */
interface Doubt {
  readonly subject: string;
  readonly at: Location;
  readonly value: Value;
  readonly readings: readonly Reading[];
  readonly end: DecidingEnd;
  /** How far inside the end; negative: past it. In the limit's unit, as are the next two. */
  readonly margin: number;
  readonly standardUncertainty: number;
}

interface Candidate extends Pick<Doubt, 'subject' | 'at' | 'value' | 'readings'> {
  readonly u: EndsUncertainty;
}

function* candidates(characteristic: Characteristic, instance: Instance): Iterable<Candidate> {
  const { name } = characteristic;
  for (const reading of instance.standing) {
    if (reading.entry.tool?.uncertainty === undefined) continue;
    const value = readingValue(reading);
    if (value === undefined || acceptedAt(instance, reading.place) !== undefined) continue;
    const subject = writeTarget(name, reading.item, reading.place);
    yield { subject, at: reading.at, value, readings: [reading], u: readingUncertainty(reading, instance) };
  }
  if (acceptedAt(instance) !== undefined) return;
  const readings = instance.worked?.readings ?? [];
  if (readings.some(({ entry }) => entry.tool?.uncertainty === undefined)) return;
  const value = workedValue(instance);
  const at = placeOfWorked(instance);
  if (value === undefined || at === undefined) return;
  const subject = writeTarget(name, instance.item);
  yield { subject, at, value, readings, u: workedUncertainty(characteristic, instance) };
}

/** The doubts about a member's values, by the end of the limit that they are about. */
function doubtsOf(
  characteristic: Characteristic,
  instance: Instance,
  limits: DecidingLimits,
  guard: number,
): readonly Doubt[] {
  const { lower, upper, unit } = limits;
  const doubts: Doubt[] = [];
  for (const candidate of candidates(characteristic, instance)) {
    const { value, u } = candidate;
    const judgeEnd = (end: DecidingEnd | undefined, side: 'lower' | 'upper') => {
      const [ends, uncertainty] = side === 'upper' ? [value.high, u.high] : [value.low, u.low];
      if (end === undefined || ends === undefined || uncertainty === undefined) return;
      const amount = convert(ends, value.unit, unit);
      const standardUncertainty = convertDifference(uncertainty, value.unit, unit);
      if (amount === undefined || standardUncertainty === undefined) return;
      const judged = judge(amount, { [side]: end.value }, { standardUncertainty, guard });
      if (judged?.verdict === 'not-proved')
        doubts.push({ ...candidate, end, margin: judged.margin, standardUncertainty });
    };
    const before = doubts.length;
    // A run-out of 0..0.05 mm cannot fall short of nothing.
    if (lower?.value !== 0 || kindOf(unit) === 'temperature') judgeEnd(lower, 'lower');
    judgeEnd(upper, 'upper');
    const [first, second] = doubts.slice(before);
    if (first === undefined || second === undefined) continue;
    // Both ends at once: the tool could prove nothing wherever the value lay. Of a size `tool-too-coarse` says so.
    doubts.splice(before);
    if (!isSize(limits) || candidate.readings.length > 1)
      doubts.push(first.margin < second.margin ? first : second);
  }
  return doubts;
}

/**
 * Reports values whose uncertainty straddles the limit (ISO 14253-1: 95 % probability of conformity, one-sided, so a
 * guard of 1.65 u unless it is set). The uncertainty is that which the tools state; where one states none, nothing is said.
 */
export const tooCloseToCall = rule({
  id: 'too-close-to-call',
  severity: 'varies',
  worst: 'warning',
  title: 'too close to the limit to tell',
  subject: 'characteristic',
  *check(characteristic, { guard }) {
    for (const instance of characteristic.instances) {
      const limits = decidingLimits(instance.declaration, instance.fittedNew !== undefined);
      if (limits === undefined) continue;
      const doubts = doubtsOf(characteristic, instance, limits, guard);
      for (const end of new Set(doubts.map((doubt) => doubt.end))) {
        const about = doubts.filter((doubt) => doubt.end === end);
        // The one furthest past, or nearest to, the limit speaks for the member.
        const [worst] = [...about].sort((a, b) => a.margin - b.margin);
        if (worst === undefined) continue;
        const { value, readings, margin, standardUncertainty, subject, at } = worst;
        const { unit } = limits;
        const single = readings.length === 1 ? readings[0] : undefined;
        const decimals = Math.max(limits.decimals, value.unit === unit ? value.decimals : 0);
        const tools = new Set(readings.map((reading) => reading.entry.tool?.name ?? ''));
        const warm = readings.filter((reading) => awayFrom20(reading) !== undefined);
        const inside = margin >= 0;
        const which = end.limit === 'wear' ? 'the wear limit of' : 'the limit of';
        const where =
          Math.abs(margin) < 10 ** -decimals / 2
            ? `on ${which}`
            : `${formatAmount(Math.abs(margin), unit, decimals)} ${inside ? 'inside' : 'past'} ${which}`;
        yield {
          at,
          severity: end.limit === 'wear' ? 'warning' : 'information',
          message: `${subject} is ${value.text}, give or take ${twoDigits(2 * standardUncertainty, unit)} (U of ${andList([...tools])}${warm.length === 0 ? '' : `, and what ${temperaturesOf(warm)} may do`}): ${where} ${formatAmount(end.value, unit, decimals)}${refOf(instance.declaration)}, and it takes ${twoDigits(guard * standardUncertainty, unit)} to be sure of either side.${andMore(about.length - 1)} ${inside ? 'Measure with a finer tool, or count it as past the limit.' : 'Measure with a finer tool before it is condemned.'}`,
          ...(single === undefined ? {} : { fixes: [takeAgain(single, 'taken with a finer tool')] }),
          related: [
            { at: instance.declaration.at, message: 'the limit stands here' },
            ...(readings.length > 1 ? relatedReadings(instance) : []),
          ],
        };
      }
    }
  },
});
