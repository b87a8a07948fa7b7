/** Converting a value from one unit to another of the same kind. */
import { exactFactor, findUnit, type Unit } from './units.ts';

/** A number in a unit: all that converting and comparing need. */
export interface Amount {
  readonly value: number;
  /** Canonical name. */
  readonly unit: string;
}

interface Ratio {
  readonly multiplier: number;
  readonly divisor: number;
}

/** Ratios already worked out, by both names; it only saves work. */
const knownRatios = new Map<string, Ratio>();

/**
 * How many of `to` go into one `from`, as two whole numbers wherever they are exact in a double: a value times one
 * over the other is then right to the last digit or two (1 in is 25.4 mm, not 25.400000000000002).
 */
function ratioBetween(from: Unit, to: Unit): Ratio {
  const key = `${from.name} ${to.name}`;
  let ratio = knownRatios.get(key);
  if (ratio === undefined) {
    const exact = exactFactor(
      from.exact.numerator * to.exact.denominator,
      from.exact.denominator * to.exact.numerator,
      from.exact.pi - to.exact.pi,
    );
    ratio = {
      multiplier: Number(exact.numerator) * Math.PI ** Math.max(exact.pi, 0),
      divisor: Number(exact.denominator) * Math.PI ** Math.max(-exact.pi, 0),
    };
    knownRatios.set(key, ratio);
  }
  return ratio;
}

/**
 * The value in another unit. Undefined when either unit is unknown or they measure different kinds of things: a
 * torque is never an energy, a mass never a force, months and years never a number of days. Temperatures convert
 * as thermometer readings; for a rise or a tolerance use `convertDifference`.
 */
export function convert(value: number, from: string, to: string): number | undefined {
  if (from === to) return value;
  const [source, target] = [findUnit(from), findUnit(to)];
  if (source === undefined || target === undefined || source.kind !== target.kind) return undefined;
  const { multiplier, divisor } = ratioBetween(source, target);
  if (source.offset === undefined || target.offset === undefined) return (value * multiplier) / divisor;
  return ((value - source.offset) * multiplier) / divisor + target.offset;
}

/** The same for a difference (a tolerance, a drop, a rise): a temperature's zero point plays no part. */
export function convertDifference(value: number, from: string, to: string): number | undefined {
  if (from === to) return value;
  const [source, target] = [findUnit(from), findUnit(to)];
  if (source === undefined || target === undefined || source.kind !== target.kind) return undefined;
  const { multiplier, divisor } = ratioBetween(source, target);
  return (value * multiplier) / divisor;
}

/**
 * The value in the base unit of its kind: the SI unit without prefix, °C for temperatures, months for `calendar`, 1
 * for ratios and counts. NaN for an unknown unit, which no `Quantity` has.
 */
export function toBase({ value, unit }: Amount): number {
  const source = findUnit(unit);
  if (source === undefined) return Number.NaN;
  const { numerator, denominator, pi } = source.exact;
  return (((value - (source.offset ?? 0)) * Number(numerator)) / Number(denominator)) * Math.PI ** pi;
}

/** The reverse of `toBase`: a value in the base unit of a kind, in that unit. NaN for an unknown unit. */
export function fromBase(base: number, unit: string): number {
  const target = findUnit(unit);
  if (target === undefined) return Number.NaN;
  const { numerator, denominator, pi } = target.exact;
  return (base * Number(denominator)) / Number(numerator) / Math.PI ** pi + (target.offset ?? 0);
}

/**
 * Less than 0 when `a` is smaller, more than 0 when it is larger, 0 when they are the same to one part in 10⁹.
 * Undefined when they measure different kinds of things.
 */
export function compareQuantities(a: Amount, b: Amount): number | undefined {
  const value = convert(b.value, b.unit, a.unit);
  if (value === undefined) return undefined;
  const difference = a.value - value;
  return Math.abs(difference) <= 1e-9 * Math.max(Math.abs(a.value), Math.abs(value)) ? 0 : difference;
}

/** Whether an amount lies within that many percent of another; false when they are not comparable. */
export function withinPercent(amount: Amount, wanted: Amount, percent: number): boolean {
  const value = convert(amount.value, amount.unit, wanted.unit);
  if (value === undefined) return false;
  return Math.abs(value - wanted.value) <= Math.abs(wanted.value) * (percent / 100 + 1e-9);
}
