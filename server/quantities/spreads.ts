/**
 * Spreads: how far a value may go, down and up, in one unit and with the digits it was written in.
 *
 * Ends are included. Values are compared with a guard of one part in 10⁹, so that an end is met by a value that is
 * the same on paper; without conversion when the units are the same.
 */
import { type Amount, convert, convertDifference } from './conversion.ts';
import { lastPlace, type Quantity, type WrittenNumber } from './quantity.ts';
import {
  convertedDecimals,
  convertQuantity,
  decimalsOfPlace,
  formatNumber,
  roundTo,
  withUnit,
} from './rounding.ts';
import { sameKind } from './units.ts';

/** How the spread was written; the syntax tree uses the same names. */
export type SpreadShape =
  | 'exact'
  | 'range'
  | 'at-most'
  | 'at-least'
  | 'plus-minus'
  | 'deviations'
  | 'iso-class';

/** One end (or the nominal value) of a spread. */
export interface Bound {
  /** In the spread's unit. */
  readonly value: number;
  /** Size of the last place it was written to, in the spread's unit; 0 when exact. */
  readonly place: number;
}

export interface Spread {
  readonly shape: SpreadShape;
  /** Canonical name; every number here is in it. */
  readonly unit: string;
  /** Decimals that show both ends without loss. */
  readonly decimals: number;
  readonly lower: Bound | undefined;
  readonly upper: Bound | undefined;
  readonly nominal: Bound | undefined;
  /** The quantity, where a bare value was written. */
  readonly bare: Quantity | undefined;
}

/** Why no spread could be made of what was written, in a sentence for the builder. */
export interface SpreadRefusal {
  readonly refused: 'unit-mismatch' | 'reversed' | 'negative-tolerance' | 'no-class';
  readonly explanation: string;
}

export type SpreadResult = Spread | SpreadRefusal;

export function isSpread(result: SpreadResult): result is Spread {
  return !('refused' in result);
}

/** Common practice where a manual gives a bare torque: it is met within 5 %. */
export const bareTorqueTolerance: Quantity = {
  written: '5',
  value: 5,
  decimals: 0,
  fraction: false,
  unit: '%',
};

function boundOf(quantity: Quantity): Bound {
  return { value: quantity.value, place: lastPlace(quantity) };
}

/** Decimals that show the quantity's own digits; a fraction's are those of its decimal form, four at most. */
function shownDecimals(number: WrittenNumber): number {
  return number.fraction ? decimalsThatShow([number.value], 0, number.decimals) : number.decimals;
}

/** The fewest decimals, from `least` to `most`, that show every value without loss. */
function decimalsThatShow(values: readonly number[], least: number, most: number): number {
  for (let decimals = least; decimals < most; decimals += 1) {
    if (values.every((value) => Math.abs(roundTo(value, decimals) - value) <= 1e-9 * Math.abs(value)))
      return decimals;
  }
  return most;
}

function mismatch(a: string, b: string): SpreadRefusal {
  return {
    refused: 'unit-mismatch',
    explanation: `${a} and ${b} measure different things, so they cannot be the two parts of one value.`,
  };
}

/** `A..B`: the unit is that of the first end. */
export function rangeSpread(low: Quantity, high: Quantity): SpreadResult {
  const value = convert(high.value, high.unit, low.unit);
  const decimals = convertedDecimals(high, low.unit);
  const place = convertDifference(lastPlace(high), high.unit, low.unit);
  if (value === undefined || decimals === undefined || place === undefined)
    return mismatch(low.unit, high.unit);
  if (value < low.value - guard(low.value, value, place)) {
    return {
      refused: 'reversed',
      explanation: `A range gives its smaller end first: ${high.written}..${low.written}.`,
    };
  }
  // A converted end is shown one place finer than its digits carry, so that no reading past it looks inside.
  const highDecimals = high.unit === low.unit ? shownDecimals(high) : decimals + 1;
  return {
    shape: 'range',
    unit: low.unit,
    decimals: Math.max(shownDecimals(low), highDecimals, 0),
    lower: boundOf(low),
    upper: { value, place },
    nominal: undefined,
    bare: undefined,
  };
}

/** `<= X` */
export function atMost(quantity: Quantity): Spread {
  return oneSided('at-most', quantity);
}

/** `>= X` */
export function atLeast(quantity: Quantity): Spread {
  return oneSided('at-least', quantity);
}

function oneSided(shape: 'at-most' | 'at-least', quantity: Quantity): Spread {
  const bound = boundOf(quantity);
  return {
    shape,
    unit: quantity.unit,
    decimals: shownDecimals(quantity),
    lower: shape === 'at-least' ? bound : undefined,
    upper: shape === 'at-most' ? bound : undefined,
    nominal: undefined,
    bare: undefined,
  };
}

/** A bare value: both ends and the nominal are that value. */
export function exactSpread(quantity: Quantity): Spread {
  const bound = boundOf(quantity);
  return {
    shape: 'exact',
    unit: quantity.unit,
    decimals: shownDecimals(quantity),
    lower: bound,
    upper: bound,
    nominal: bound,
    bare: quantity,
  };
}

/**
 * A bare value and how closely it is to be met: `± 5 %` unless told otherwise (a bare torque). The shape stays
 * `exact`, since the tolerance was not written there.
 */
export function bareSpread(nominal: Quantity, tolerance: Quantity = bareTorqueTolerance): SpreadResult {
  const spread = plusMinus(nominal, tolerance);
  return isSpread(spread) ? { ...spread, shape: 'exact', bare: nominal } : spread;
}

/**
 * `X ± t`: t in X's unit, in another unit of the kind, or in % of X (of the size of X, when X is negative). A
 * tolerance on a percentage is in points; on a temperature it is a difference.
 */
export function plusMinus(nominal: Quantity, tolerance: Quantity): SpreadResult {
  if (tolerance.value < 0)
    return { refused: 'negative-tolerance', explanation: 'A tolerance after ± carries no sign of its own.' };
  const relative = tolerance.unit === '%' && nominal.unit !== '%';
  const size = relative
    ? (Math.abs(nominal.value) * tolerance.value) / 100
    : convertDifference(tolerance.value, tolerance.unit, nominal.unit);
  if (size === undefined) return mismatch(nominal.unit, tolerance.unit);
  const place = relative
    ? lastPlace(nominal)
    : Math.max(
        lastPlace(nominal),
        convertDifference(lastPlace(tolerance), tolerance.unit, nominal.unit) ?? 0,
      );
  return around(nominal, { shape: 'plus-minus', upper: size, lower: -size, place });
}

/**
 * `X +a/-b`: the upper deviation first, either sign (`+0.04/+0.02`). The deviations are in `unit`, X's own when it
 * is left out.
 */
export function deviationSpread(
  nominal: Quantity,
  upper: WrittenNumber,
  lower: WrittenNumber,
  unit: string = nominal.unit,
): SpreadResult {
  const up = convertDifference(upper.value, unit, nominal.unit);
  const down = convertDifference(lower.value, unit, nominal.unit);
  if (up === undefined || down === undefined) return mismatch(nominal.unit, unit);
  if (up < down) {
    return {
      refused: 'reversed',
      explanation: `The upper deviation stands first: ${signed(lower)}/${signed(upper)}.`,
    };
  }
  const coarser = Math.max(lastPlace(upper), lastPlace(lower));
  const place = Math.max(lastPlace(nominal), convertDifference(coarser, unit, nominal.unit) ?? 0);
  return around(nominal, { shape: 'deviations', upper: up, lower: down, place });
}

function signed(number: WrittenNumber): string {
  return number.value < 0 ? number.written : `+${number.written.replace(/^\+/, '')}`;
}

/**
 * A nominal size with worked-out deviations, such as those of an ISO 286 class: `upper` and `lower` are in `unit`
 * (µm, say), and both the nominal size and they are exact.
 */
export function spreadFromDeviations(
  nominal: Quantity,
  upper: number,
  lower: number,
  unit: string = nominal.unit,
): SpreadResult {
  const up = convertDifference(upper, unit, nominal.unit);
  const down = convertDifference(lower, unit, nominal.unit);
  if (up === undefined || down === undefined) return mismatch(nominal.unit, unit);
  if (up < down) return { refused: 'reversed', explanation: 'The upper deviation is below the lower one.' };
  return around(nominal, { shape: 'iso-class', upper: up, lower: down, place: 0 });
}

interface Deviations {
  readonly shape: SpreadShape;
  readonly upper: number;
  readonly lower: number;
  readonly place: number;
}

function around(nominal: Quantity, { shape, upper, lower, place }: Deviations): Spread {
  const most = shownDecimals(nominal) + 12;
  // The sums are those of decimals: 67.5 + 0.02 is 67.52, whatever the last bit of a double says.
  const high = roundTo(nominal.value + upper, most);
  const low = roundTo(nominal.value + lower, most);
  return {
    shape,
    unit: nominal.unit,
    decimals: decimalsThatShow(
      [high, low, nominal.value],
      shownDecimals(nominal),
      shownDecimals(nominal) + 4,
    ),
    lower: { value: low, place },
    upper: { value: high, place },
    nominal: boundOf(nominal),
    bare: undefined,
  };
}

/** A spread of worked-out ends, either of which may be absent. */
export function computedSpread(
  lower: number | undefined,
  upper: number | undefined,
  unit: string,
  decimals: number,
): Spread {
  const bound = (value: number | undefined): Bound | undefined =>
    value === undefined ? undefined : { value, place: 0 };
  const shape = lower === undefined ? 'at-most' : upper === undefined ? 'at-least' : 'range';
  return {
    shape,
    unit,
    decimals,
    lower: bound(lower),
    upper: bound(upper),
    nominal: undefined,
    bare: undefined,
  };
}

/** How far apart two values may be and still be the same on paper. */
function guard(a: number, b: number, place: number): number {
  return 1e-9 * Math.max(Math.abs(a), Math.abs(b), Math.abs(place));
}

function guardOf({ lower, upper }: Spread): number {
  const ofLower = lower === undefined ? 0 : guard(lower.value, 0, lower.place);
  const ofUpper = upper === undefined ? 0 : guard(upper.value, 0, upper.place);
  return Math.max(ofLower, ofUpper);
}

/** Where an amount stands against a spread. */
export type Standing =
  | { readonly where: 'inside' }
  | {
      readonly where: 'above' | 'below';
      /** The end that was passed, in the spread's unit. */
      readonly bound: number;
      /** By how much, in the spread's unit, more than 0. */
      readonly by: number;
    }
  | { readonly where: 'not-comparable' };

const inside: Standing = { where: 'inside' };

/** Where an amount stands against a spread; `not-comparable` when they measure different kinds of things. */
export function standing(spread: Spread, amount: Amount): Standing {
  const value = convert(amount.value, amount.unit, spread.unit);
  if (value === undefined) return { where: 'not-comparable' };
  const { lower, upper } = spread;
  const slack = guardOf(spread);
  if (upper !== undefined && value > upper.value + slack)
    return { where: 'above', bound: upper.value, by: value - upper.value };
  if (lower !== undefined && value < lower.value - slack)
    return { where: 'below', bound: lower.value, by: lower.value - value };
  return inside;
}

/** Whether the amount lies in the spread, ends included. Undefined when they are not comparable. */
export function contains(spread: Spread, amount: Amount): boolean | undefined {
  const { where } = standing(spread, amount);
  return where === 'not-comparable' ? undefined : where === 'inside';
}

/** Whether all of `inner` lies in `outer`. Undefined when they are not comparable. */
export function containsSpread(outer: Spread, inner: Spread): boolean | undefined {
  if (!sameKind(outer.unit, inner.unit)) return undefined;
  const ends = [
    [outer.lower, inner.lower],
    [outer.upper, inner.upper],
  ] as const;
  return ends.every(
    ([limit, end]) =>
      limit === undefined ||
      (end !== undefined && contains(outer, { value: end.value, unit: inner.unit }) === true),
  );
}

/** Upper end less lower end, in the spread's unit; undefined when an end is absent. */
export function width(spread: Spread): number | undefined {
  const { lower, upper } = spread;
  return lower === undefined || upper === undefined ? undefined : upper.value - lower.value;
}

/** The spread in another unit of the kind; its decimals follow the rounding rule. Undefined when it is another kind. */
export function spreadIn(spread: Spread, unit: string): Spread | undefined {
  if (unit === spread.unit) return spread;
  if (!sameKind(unit, spread.unit)) return undefined;
  const bound = (end: Bound | undefined): Bound | undefined => {
    if (end === undefined) return undefined;
    const value = convert(end.value, spread.unit, unit);
    const place = convertDifference(end.place, spread.unit, unit);
    return value === undefined || place === undefined ? undefined : { value, place };
  };
  const ends = [spread.lower, spread.upper, spread.nominal].filter((end) => end !== undefined);
  const decimals = ends.map(
    ({ value }) =>
      convertedDecimals(
        { written: '', value, decimals: spread.decimals, fraction: false, unit: spread.unit },
        unit,
      ) ?? 0,
  );
  return {
    shape: spread.shape,
    unit,
    decimals: Math.max(0, ...decimals),
    lower: bound(spread.lower),
    upper: bound(spread.upper),
    nominal: bound(spread.nominal),
    bare: spread.bare === undefined ? undefined : convertQuantity(spread.bare, unit),
  };
}

/**
 * The spread by its ends: `67.500..67.520 mm`, `<= 0.05 mm`, `>= 1.5 bar`, `15 N·m`. Without `decimals` each end of a
 * range has those that it was written with: `0..0.8 mm`.
 */
export function formatSpread(spread: Spread, decimals?: number): string {
  const { lower, upper, unit } = spread;
  const written = (end: Bound) => formatNumber(end.value, decimals ?? decimalsOf(end, spread));
  if (lower !== undefined && upper !== undefined) {
    const [low, high] = [written(lower), written(upper)];
    // The `:1` of a mixture belongs to each of its numbers.
    const first = unit.startsWith(':') ? withUnit(low, unit) : low;
    return withUnit(low === high ? low : `${first}..${high}`, unit);
  }
  if (upper !== undefined) return `<= ${withUnit(written(upper), unit)}`;
  if (lower !== undefined) return `>= ${withUnit(written(lower), unit)}`;
  return withUnit('?', unit);
}

/** The decimals of one end of a range as it was written; of a converted or worked-out end those of the spread. */
function decimalsOf({ value, place }: Bound, { shape, decimals }: Spread): number {
  const own = decimalsOfPlace(place);
  const isWritten = shape === 'range' && own < decimals && Math.abs(place * 10 ** own - 1) < 1e-9;
  return isWritten && Math.abs(roundTo(value, own) - value) <= 1e-9 * place ? Math.max(0, own) : decimals;
}
