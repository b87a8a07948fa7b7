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
