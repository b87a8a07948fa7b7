/** Where a value stands against a limit: inside, past the range for new parts, or past what is allowed. */
import { wearUsed } from '../calculations/index.ts';
import {
  type Amount,
  contains,
  convert,
  convertedDecimals,
  decimalsOfPlace,
  formatAmount,
  formatQuantity,
  fromBase,
  kindOf,
  type Quantity,
  type Spread,
  sameKind,
  standing,
} from '../quantities/index.ts';
import type { Instance } from './characteristics.ts';
import type { LimitDeclaration } from './declarations.ts';
import type { Entry, Reading } from './entries.ts';

/** A value to judge: both ends of what was read or worked out, in one unit, with the decimals to show. */
export interface Value {
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly unit: string;
  readonly decimals: number;
  /** As the builder wrote it, or as it is worked out. */
  readonly text: string;
  /** Worked out, so it has more digits than are shown. */
  readonly worked?: true;
}

export interface Judgement {
  readonly verdict: 'inside' | 'past-new' | 'outside';
  /** The limit that decided: the wear limit where there is one on that side. */
  readonly limit: 'new' | 'wear';
  readonly side: 'above' | 'below' | undefined;
  /** The end that was passed, and by how much, in the limit's unit. */
  readonly bound: Amount | undefined;
  readonly by: number;
  readonly decimals: number;
  /** The value in the limit's unit, at the end that decided. */
  readonly value: number;
  /** Share of the way from the new range to the wear limit that is used, where there is such a way. */
  readonly used: number | undefined;
}

/** The value of a reading; undefined for words, placeholders and numbers without a unit. */
export function readingValue(reading: Reading): Value | undefined {
  const shown: Quantity | undefined = reading.high ?? reading.low;
  if (shown === undefined) return undefined;
  const { low, high } = reading;
  const lowIn = low === undefined ? undefined : convert(low.value, low.unit, shown.unit);
  const text =
    reading.node.kind === 'range' && low !== undefined && high !== undefined
      ? `${low.written}..${formatQuantity(high)}`
      : reading.node.kind === 'at-most'
        ? `<= ${formatQuantity(shown)}`
        : reading.node.kind === 'at-least'
          ? `>= ${formatQuantity(shown)}`
          : formatQuantity(shown);
  return { low: lowIn, high: high?.value, unit: shown.unit, decimals: shown.decimals, text };
}

/** The value of a derived limit as worked out from its readings. */
export function workedValue(instance: Instance): Value | undefined {
  const { worked } = instance;
  if (worked?.value === undefined || worked.unit === undefined) return undefined;
  if (kindOf(worked.unit) !== worked.value.kind) return undefined;
  const { unit, decimals } = worked;
  const low = fromBase(worked.value.low, unit);
  const high = fromBase(worked.value.high, unit);
  return { low, high, unit, decimals, text: writeEnds(low, high, unit, decimals), worked: true };
}

function writeEnds(low: number, high: number, unit: string, decimals: number): string {
  const [first, last] = [formatAmount(low, unit, decimals), formatAmount(high, unit, decimals)];
  return first === last ? last : `${first.slice(0, first.lastIndexOf(' '))}..${last}`;
}

/**
 * Judges a value against a limit. `asNew`: the part is new, so the range for new parts holds even where a wear
 * limit is given. Undefined when the limit has no range or its unit measures something else.
 */
export function judgeValue(
  value: Value,
  declaration: LimitDeclaration,
  asNew: boolean,
): Judgement | undefined {
  const fresh = declaration.limit;
  const wear = declaration.wear;
  const spread = fresh ?? wear;
  if (spread === undefined || !sameKind(spread.unit, value.unit)) return undefined;
  const { low, high, unit, decimals } = value;
  const ofHigh =
    high === undefined ? undefined : judgeEnd({ value: high, unit }, decimals, fresh, wear, asNew);
  if (low === undefined || low === high) return ofHigh;
  const ofLow = judgeEnd({ value: low, unit }, decimals, fresh, wear, asNew);
  if (ofHigh === undefined || ofLow === undefined) return ofHigh ?? ofLow;
  const [a, b] = [severityOf[ofLow.verdict], severityOf[ofHigh.verdict]];
  return a > b || (a === b && ofLow.by > ofHigh.by) ? ofLow : ofHigh;
}

const severityOf = { outside: 2, 'past-new': 1, inside: 0 } as const;

/** A reading with its value and where that stands. */
export interface JudgedValue {
  readonly value: Value;
  readonly judgement: Judgement;
}

interface Kept {
  readonly declaration: LimitDeclaration;
  readonly asNew: boolean;
  readonly judged: JudgedValue | undefined;
}

/** What each reading came to; a reading is the same object until its line changes. */
const judgements = new WeakMap<Reading, Kept>();

/** Whether both ends of a reading lie inside the range for new parts and the wear limit, as most do. */
export function liesInside({ low, high }: Reading, { limit, wear }: LimitDeclaration): boolean {
  const inside = (end: Quantity | undefined) =>
    end === undefined ||
    ((limit === undefined || contains(limit, end) === true) &&
      (wear === undefined || contains(wear, end) === true));
  return inside(high) && (low === high || inside(low));
}

/** `judgeValue` of a reading's value, kept for as long as the reading and its limit are the same objects. */
export function judgeReading(
  reading: Reading,
  declaration: LimitDeclaration,
  asNew: boolean,
): JudgedValue | undefined {
  const kept = judgements.get(reading);
  if (kept !== undefined && kept.declaration === declaration && kept.asNew === asNew) return kept.judged;
  const value = readingValue(reading);
  const judgement = value === undefined ? undefined : judgeValue(value, declaration, asNew);
  const judged = value === undefined || judgement === undefined ? undefined : { value, judgement };
  judgements.set(reading, { declaration, asNew, judged });
  return judged;
}

/**
 * The value that a place had when a concession of the same log accepted it, where this reading, taken since, is further
 * past the limit: the concession was for what was known then.
 */
export function valueOutgrown(
  { readings, declaration, fittedNew }: Instance,
  reading: Reading,
  concession: Entry,
): string | undefined {
  const { entry, place } = reading;
  if (concession.path !== entry.path || concession.index > entry.index) return undefined;
  const asNew = fittedNew !== undefined;
  const before = readings.findLast(
    (one) =>
      one.reading.place === place &&
      one.reading.entry.index < concession.index &&
      one.history !== 'corrected',
  );
  const was = before === undefined ? undefined : judgeReading(before.reading, declaration, asNew);
  const is = judgeReading(reading, declaration, asNew);
  if (was === undefined || is?.judgement.verdict !== 'outside') return undefined;
  const { judgement, value } = was;
  if (is.judgement.side === judgement.side && is.judgement.by <= judgement.by) return undefined;
  return writeValue(value, judgement, judgement.bound?.unit ?? value.unit);
}

function judgeEnd(
  amount: Amount,
  decimals: number,
  fresh: Spread | undefined,
  wear: Spread | undefined,
  asNew: boolean,
): Judgement | undefined {
  const spread = fresh ?? wear;
  if (spread === undefined) return undefined;
  const shown = (one: Spread) =>
    Math.max(
      one.decimals,
      convertedDecimals(
        { written: '', value: amount.value, decimals, fraction: false, unit: amount.unit },
        one.unit,
      ) ?? 0,
    );
  const value = convert(amount.value, amount.unit, spread.unit) ?? Number.NaN;
  const used =
    fresh === undefined || wear === undefined || fresh.unit !== wear.unit
      ? undefined
      : wearUsed(
          value,
          { lower: fresh.lower?.value, upper: fresh.upper?.value },
          { lower: wear.lower?.value, upper: wear.upper?.value },
        );
  const pastNew = fresh === undefined ? undefined : standing(fresh, amount);
  const pastWear = wear === undefined ? undefined : standing(wear, amount);
  const base = { value, used, decimals: shown(spread) };
  // What is past a limit is past it by something: a mean of 0.803 mm is not 0.00 mm over 0.80 mm.
  const told = (by: number) =>
    by < 10 ** -base.decimals / 2 ? Math.max(base.decimals, decimalsOfPlace(by)) : base.decimals;
  if (
    pastWear !== undefined &&
    wear !== undefined &&
    (pastWear.where === 'above' || pastWear.where === 'below')
  )
    return {
      ...base,
      verdict: 'outside',
      limit: 'wear',
      side: pastWear.where,
      bound: { value: pastWear.bound, unit: wear.unit },
      by: pastWear.by,
      decimals: told(pastWear.by),
    };
  if (
    pastNew !== undefined &&
    fresh !== undefined &&
    (pastNew.where === 'above' || pastNew.where === 'below')
  ) {
    const allowed =
      !asNew && wear !== undefined && (pastNew.where === 'above' ? wear.upper : wear.lower) !== undefined;
    return {
      ...base,
      verdict: allowed ? 'past-new' : 'outside',
      limit: 'new',
      side: pastNew.where,
      bound: { value: pastNew.bound, unit: fresh.unit },
      by: pastNew.by,
      decimals: told(pastNew.by),
    };
  }
  return {
    ...base,
    verdict: 'inside',
    limit: fresh === undefined ? 'wear' : 'new',
    side: undefined,
    bound: undefined,
    by: 0,
  };
}

/**
 * `67.571 mm`, or `2.6603 in (67.571 mm)` when the limit is in another unit. What is worked out has as many digits as
 * what it misses its limit by.
 */
export function writeValue(value: Value, judgement: Judgement, limitUnit: string): string {
  const { low, high, unit, worked } = value;
  if (worked && unit === limitUnit && judgement.decimals > value.decimals)
    return writeEnds(low ?? Number.NaN, high ?? Number.NaN, unit, judgement.decimals);
  return unit === limitUnit
    ? value.text
    : `${value.text} (${formatAmount(judgement.value, limitUnit, judgement.decimals)})`;
}
