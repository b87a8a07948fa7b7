/** A length read so far from 20 °C that the expansion of part and tool matters. */
import { materialNames } from '../calculations/index.ts';
import { convertDifference, formatAmount, formatNumber } from '../quantities/index.ts';
import {
  acceptedAt,
  at20,
  awayFrom20,
  type Characteristic,
  correctionOf,
  decidingLimits,
  type EndsUncertainty,
  fromBaseDifference,
  type Instance,
  type Judgement,
  judgeValue,
  type Location,
  materialsOf,
  type Reading,
  type Report,
  readingUncertainty,
  readingValue,
  type Value,
  workedAgain,
  workedUncertainty,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';
import { takeAgain } from './insertion.ts';
import { placeOfWorked, relatedReadings } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { andList, andMore, missedBy, refOf, twoDigits } from './wording.ts';

/** From this share of the limit's width on a correction matters, whatever the verdict. */
const SHARE_OF_WIDTH = 0.1;
/** The expansions of part and tool differ by no more than this (magnesium and carbide), 1/K. */
const GREATEST_DIFFERENCE = 21e-6;

/** A value and what it would be at 20 °C. */
interface Corrected {
  readonly subject: string;
  readonly at: Location;
  readonly readings: readonly Reading[];
  /** Read, not worked out. */
  readonly isRead: boolean;
  readonly value: Value;
  /** What the corrections add to the end that they move most, in the unit of the value. */
  readonly correction: number;
  /** Standard uncertainty of what it is at 20 °C, in the unit of the value; undefined where its tools state none. */
  readonly u: number | undefined;
  readonly before: Judgement;
  readonly after: Judgement;
  readonly corrected: Value;
}

/** The value with its ends moved, one digit finer so that a small correction shows. */
function moved(value: Value, low: number | undefined, high: number | undefined): Value {
  const decimals = value.decimals + 1;
  const [first, last] = [low, high].map((end) =>
    end === undefined ? undefined : formatAmount(end, value.unit, decimals),
  );
  const single = first === undefined || last === undefined || first === last;
  const text = single ? (last ?? first ?? '') : `${formatNumber(low ?? 0, decimals)}..${last}`;
  return { low, high, unit: value.unit, decimals, text };
}

function judged(
  from: Omit<Corrected, 'before' | 'after' | 'corrected'> & { readonly corrected: Value },
  instance: Instance,
): Corrected | undefined {
  const asNew = instance.fittedNew !== undefined;
  const before = judgeValue(from.value, instance.declaration, asNew);
  const after = judgeValue(from.corrected, instance.declaration, asNew);
  return before === undefined || after === undefined ? undefined : { ...from, before, after };
}

function larger({ low, high }: EndsUncertainty): number | undefined {
  return low === undefined || high === undefined ? (low ?? high) : Math.max(low, high);
}

function* correctedValues(characteristic: Characteristic, instance: Instance): Iterable<Corrected> {
  const { name } = characteristic;
  for (const reading of instance.standing) {
    const correction = correctionOf(reading, instance);
    const value = correction === undefined ? undefined : readingValue(reading);
    if (value === undefined || correction === undefined) continue;
    if (acceptedAt(instance, reading.place) !== undefined) continue;
    const add = (end: number | undefined) => (end === undefined ? undefined : end + correction);
    const corrected = moved(value, add(value.low), add(value.high));
    const subject = writeTarget(name, reading.item, reading.place);
    const one = judged(
      {
        subject,
        at: reading.at,
        readings: [reading],
        isRead: true,
        value,
        correction,
        corrected,
        u: larger(readingUncertainty(reading, instance)),
      },
      instance,
    );
    if (one !== undefined) yield one;
  }
  const { worked } = instance;
  const readings = worked?.readings.filter((reading) => awayFrom20(reading) !== undefined) ?? [];
  if (worked === undefined || readings.length === 0 || acceptedAt(instance) !== undefined) return;
  const at = placeOfWorked(instance);
  const value = workedValue(instance);
  if (at === undefined || value === undefined) return;
  const again = workedAgain(characteristic, instance, at20)?.value;
  if (again === undefined || worked.value === undefined) return;
  const shift = (end: 'low' | 'high') =>
    fromBaseDifference((again?.[end] ?? 0) - (worked.value?.[end] ?? 0), value.unit);
  const [low, high] = [shift('low'), shift('high')];
  const correction = Math.abs(low) > Math.abs(high) ? low : high;
  const corrected = moved(value, (value.low ?? 0) + low, (value.high ?? 0) + high);
  const subject = writeTarget(name, instance.item);
  const u = larger(workedUncertainty(characteristic, instance));
  const one = judged({ subject, at, readings, isRead: false, value, correction, corrected, u }, instance);
  if (one !== undefined) yield one;
}

/** The greatest width that a correction is held against, in the unit of the value; undefined for one-sided limits. */
function widthIn(instance: Instance, unit: string): number | undefined {
  const limits = decidingLimits(instance.declaration, instance.fittedNew !== undefined);
  if (limits?.lower === undefined || limits.upper === undefined) return undefined;
  return convertDifference(limits.upper.value - limits.lower.value, limits.unit, unit);
}

/** Whether a correction is more than a tenth of the limit's width. */
function isLarge(correction: number, instance: Instance, unit: string): boolean {
  const width = widthIn(instance, unit);
  return width !== undefined && Math.abs(correction) > SHARE_OF_WIDTH * width * (1 + 1e-9);
}

/** Whether some reading that a value is worked out from is told by itself already. */
function isToldOfParts(
  { sources }: Pick<Characteristic, 'sources'>,
  readings: ReadonlySet<Reading>,
): boolean {
  return sources.some(({ instances, sources: deeper }) =>
    instances.some(
      (instance) =>
        instance.standing.some((reading) => {
          const quantity = reading.high ?? reading.low;
          const correction = readings.has(reading) ? correctionOf(reading, instance) : undefined;
          return (
            quantity !== undefined && correction !== undefined && isLarge(correction, instance, quantity.unit)
          );
        }) || isToldOfParts({ sources: deeper }, readings),
    ),
  );
}

/** `35 °C`, in the unit in which it was written. */
export function temperaturesOf(readings: readonly Reading[]): string {
  const written = readings.map(({ entry }) =>
    entry.temperature === undefined ? '' : `${entry.temperature.written} ${entry.temperature.unit}`,
  );
  return andList([...new Set(written)]);
}

function describe(one: Corrected, instance: Instance, others: number): Report {
  const { value, correction, corrected, readings, before, after, subject, at } = one;
  const size = twoDigits(Math.abs(correction), value.unit);
  const sure = one.u === undefined ? '' : `, give or take ${twoDigits(2 * one.u, value.unit)}`;
  const more = `${size} ${correction > 0 ? 'more' : 'less'}`;
  const changes = before.verdict !== after.verdict;
  const state = {
    inside: 'inside its limit',
    'past-new': `${missedBy(after)} for new parts`,
    outside: missedBy(after),
  }[after.verdict];
  const why = changes
    ? `. That is ${state}${refOf(instance.declaration)}`
    : `, and that is more than a tenth of the width of its limit${refOf(instance.declaration)}`;
  const materials =
    readings.length === 1 && readings[0] !== undefined ? describeMaterials(readings[0], instance) : '';
  const [read] = one.isRead ? readings : [];
  return {
    at,
    ...(read === undefined ? {} : { fixes: [takeAgain(read, 'taken at 20 °C')] }),
    message: `${subject} is ${value.text} as read at ${temperaturesOf(readings)}${materials}; at 20 °C it is ${corrected.text}${sure}, ${more}${why}.${andMore(others)} Let part and tool come to 20 °C and measure again.`,
    related: [
      { at: instance.declaration.at, message: 'the limit stands here' },
      ...(instance.worked === undefined ? [] : relatedReadings(instance)),
    ],
  };
}

function describeMaterials(reading: Reading, { declaration }: Instance): string {
  if (declaration.expression !== undefined) return '';
  const { partName, toolName } = materialsOf(reading, declaration);
  return ` (${partName} part, ${toolName} tool)`;
}

/** A reading whose correction cannot be worked out, although it may well matter. */
function unknownMaterial(instance: Instance): Report | undefined {
  for (const reading of instance.standing) {
    const temperature = awayFrom20(reading);
    const value = readingValue(reading);
    if (temperature === undefined || value === undefined) continue;
    if (acceptedAt(instance, reading.place) !== undefined) continue;
    const { part, tool, partName, toolName } = materialsOf(reading, instance.declaration);
    if (part !== undefined && tool !== undefined) continue;
    const width = widthIn(instance, value.unit);
    const most = Math.abs((value.high ?? value.low ?? 0) * (temperature - 20) * GREATEST_DIFFERENCE);
    if (width === undefined || most <= SHARE_OF_WIDTH * width) continue;
    const unknown = part === undefined ? partName : toolName;
    const where = part === undefined ? instance.declaration : reading.entry.tool;
    return {
      at: reading.at,
      severity: 'information',
      message: `${writeTarget(reading.name, reading.item, reading.place)} was read at ${temperaturesOf([reading])}, and how much ${unknown} expands is not known here, so what it is at 20 °C is not either. Known are ${andList(materialNames())}.`,
      related: where === undefined ? [] : [{ at: where.at, message: `${unknown} is named here` }],
    };
  }
  return undefined;
}

/** Reports values that expansion moves across their limit, or by more than a tenth of its width (ISO 1: 20 °C). */
export const temperatureMatters = rule({
  id: 'temperature-matters',
  severity: 'warning',
  title: 'read too far from 20 °C',
  subject: 'characteristic',
  *check(characteristic) {
    for (const instance of characteristic.instances) {
      const found: Corrected[] = [];
      for (const one of correctedValues(characteristic, instance)) {
        const matters =
          one.before.verdict !== one.after.verdict ||
          (isLarge(one.correction, instance, one.value.unit) &&
            (one.isRead || !isToldOfParts(characteristic, new Set(one.readings))));
        if (matters) found.push(one);
      }
      // One that changes the verdict speaks for the member, else the one that moves most.
      const changes = (one: Corrected) => (one.before.verdict === one.after.verdict ? 0 : 1);
      const [worst] = [...found].sort(
        (a, b) => changes(b) - changes(a) || Math.abs(b.correction) - Math.abs(a.correction),
      );
      if (worst !== undefined) yield describe(worst, instance, found.length - 1);
      const unknown = unknownMaterial(instance);
      if (unknown !== undefined) yield unknown;
    }
  },
});
