/** A number as it was written, and a quantity: such a number with its unit. */
import type { Amount } from './conversion.ts';
import { convertDifference } from './conversion.ts';
import { findUnit } from './units.ts';

export interface WrittenNumber {
  /** The digits as written, in plain form: `24.0`, `-0.02`, `1-3/8`. */
  readonly written: string;
  readonly value: number;
  /**
   * How many decimals were written: 1 for `24.0`, 0 for `212` (a whole number's zeros count as written). A
   * fraction is exact and has `fractionDecimals`.
   */
  readonly decimals: number;
  /** `3/8` or `1-3/8`: names a size exactly, so no half of a last place is uncertain. */
  readonly fraction: boolean;
}

export interface Quantity extends WrittenNumber, Amount {}

/**
 * A fraction is taken to a ten-thousandth of its unit: finer than a thou, coarser than any claim. It only limits
 * how many digits a converted fraction is shown with; in comparisons a fraction is exact.
 */
export const fractionDecimals = 4;

const vulgarFractions: Readonly<Record<string, string>> = {
  '¼': '1/4',
  '½': '1/2',
  '¾': '3/4',
  '⅓': '1/3',
  '⅔': '2/3',
  '⅕': '1/5',
  '⅖': '2/5',
  '⅗': '3/5',
  '⅘': '4/5',
  '⅙': '1/6',
  '⅚': '5/6',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
  '⅐': '1/7',
  '⅑': '1/9',
  '⅒': '1/10',
};

/** A number's plain form: `−0.5` as `-0.5`, `1⅜` as `1-3/8`. Other text is returned as it is. */
export function plainNumber(text: string): string {
  return text
    .replace(/^−/, '-')
    .replace(
      /(\d?)([¼½¾⅐-⅞])$/,
      (_, whole: string, sign: string) => (whole === '' ? '' : `${whole}-`) + (vulgarFractions[sign] ?? sign),
    );
}

const decimalNumber = /^-?(?:\d+(?:\.\d+)?|\.\d+)$/;
const fractionNumber = /^(-?)(?:(\d+)-)?(\d+)\/(\d+)$/;

/** Reads a number as the language writes them; undefined for any other text (`67,53`, `1e3`, `5.`, `3/0`). */
export function readNumber(text: string): WrittenNumber | undefined {
  if (decimalNumber.test(text)) return decimalOf(text);
  const written = plainNumber(text);
  if (decimalNumber.test(written)) return decimalOf(written);
  const fraction = fractionNumber.exec(written);
  if (fraction === null) return undefined;
  const [, sign, whole, above, below] = fraction;
  const denominator = Number(below);
  if (denominator === 0) return undefined;
  const size = (Number(whole ?? 0) * denominator + Number(above)) / denominator;
  return { written, value: sign === '-' ? -size : size, decimals: fractionDecimals, fraction: true };
}

function decimalOf(written: string): WrittenNumber {
  const point = written.indexOf('.');
  return {
    written,
    value: Number(written) + 0,
    decimals: point < 0 ? 0 : written.length - point - 1,
    fraction: false,
  };
}

/**
 * A quantity from a number's text and a canonical unit name. Undefined when the text is no number or the unit is
 * not known.
 */
export function quantity(number: string, unit: string): Quantity | undefined {
  const read = readNumber(number);
  if (read === undefined || findUnit(unit) === undefined) return undefined;
  const { written, value, decimals, fraction } = read;
  return { written, value, decimals, fraction, unit };
}

/** The most decimals that `Number.prototype.toFixed` takes; a user may have typed more. */
const mostFixedDecimals = 100;

/**
 * A quantity of a worked-out value, as if it had been written with that many decimals (a hundred at most).
 */
export function computedQuantity(value: number, decimals: number, unit: string): Quantity {
  const kept = Math.min(mostFixedDecimals, decimals);
  return { written: value.toFixed(Math.max(0, kept)), value, decimals: kept, fraction: false, unit };
}

/** The size of the last written place, in the quantity's own unit: 0.1 for `24.0`, 0 for a fraction. */
export function lastPlace(number: WrittenNumber): number {
  return number.fraction ? 0 : 10 ** -number.decimals;
}

/**
 * One quantity from the parts of a compound one, in the unit of the last: `1 h 20 min` is 80 min. Undefined when
 * there are no parts or their units measure different things.
 */
export function compoundQuantity(parts: readonly Quantity[]): Quantity | undefined {
  const last = parts.at(-1);
  if (last === undefined) return undefined;
  if (parts.length === 1) return last;
  let value = 0;
  for (const part of parts) {
    const converted = convertDifference(part.value, part.unit, last.unit);
    if (converted === undefined) return undefined;
    value += converted;
  }
  return { ...computedQuantity(value, last.decimals, last.unit), fraction: last.fraction };
}
