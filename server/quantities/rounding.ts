/**
 * How many digits a value is shown with, and writing it so.
 *
 * The rule for converted values is that of NIST SP 811 (2008), section B.7.2: the converted value is rounded to the
 * digits that are consistent with the largest rounding error the written digits can hold. 36 ft stands for anything
 * from 35.5 ft to 36.5 ft; its last place is worth 0.3048 m; so the converted value keeps the largest decimal place
 * that is not coarser than that, 0.1 m: 11.0 m, for `11 m` would lose what `36 ft` knows and `10.97 m` invent what it
 * does not. Three things the section leaves to judgement:
 * - Above the units a rounded-off zero cannot be told from a digit. There three significant digits are kept at least
 *   (10 bar is 145 psi, not 150; 88 ft·lbf, which may be six inch-pounds more or less, is 1060 in·lbf, not 1056).
 * - A fraction is exact. It is shown to a ten-thousandth of its unit, without zeros that say nothing: 1-3/8 in is
 *   34.925 mm, 1/2 turn is 180 °.
 * - An exact half of the last place goes to the even digit (section B.7.1).
 *
 * What follows from it, and is tested: a converted value, converted back and rounded to the written place, is the
 * written value again.
 */
import { convert, convertDifference } from './conversion.ts';
import type { Quantity } from './quantity.ts';

const mostDecimals = 15;

/** The decimals of the largest power of ten that is not above `place`: 0.3048 gives 1, 1.36 gives 0, 12 gives -1. */
export function decimalsOfPlace(place: number): number {
  if (!(place > 0)) return mostDecimals;
  return Math.min(mostDecimals, Math.ceil(-Math.log10(place) - 1e-9)) + 0;
}

/** The value rounded to a number of decimals (-2 for hundreds); an exact half goes to the even digit. */
export function roundTo(value: number, decimals: number): number {
  const digits = Math.min(mostDecimals, decimals);
  const scaled = digits >= 0 ? value * 10 ** digits : value / 10 ** -digits;
  if (!Number.isFinite(scaled) || Math.abs(scaled) >= 2 ** 52) return value;
  const below = Math.floor(scaled);
  const rest = scaled - below;
  const isTie = Math.abs(rest - 0.5) < 1e-9 * Math.max(1, Math.abs(scaled) * 1e-6);
  const nearest = isTie ? below + Math.abs(below % 2) : Math.round(scaled);
  return (digits >= 0 ? nearest / 10 ** digits : nearest * 10 ** -digits) + 0;
}

/** The number with exactly that many decimals (rounded whole when negative); ASCII minus, never `-0` or an exponent. */
export function formatNumber(value: number, decimals: number): string {
  // From here on every double is whole, and `toFixed` writes an exponent.
  if (Math.abs(value) >= 1e21 && Number.isFinite(value)) return String(BigInt(value));
  return roundTo(value, decimals).toFixed(Math.max(0, Math.min(mostDecimals, decimals)));
}

/** `0.132 mm`: the number with that many decimals and the unit's canonical spelling. */
export function formatAmount(value: number, unit: string, decimals: number): string {
  return withUnit(formatNumber(value, decimals), unit);
}

/** A quantity as it was written, with the canonical spelling of its unit. */
export function formatQuantity(quantity: Quantity): string {
  return withUnit(quantity.written, quantity.unit);
}

/** A number's text and a unit: one blank between them, but none in a mixture such as `50:1`. */
export function withUnit(number: string, unit: string): string {
  return unit.startsWith(':') ? number + unit : `${number} ${unit}`;
}

/** A value in a unit that is yet to be written: `? mm`, and `?` of a mixture, whose `:1` is part of its number. */
export function unwritten(unit: string | undefined): string {
  return unit === undefined || unit === '' || unit.startsWith(':') ? '?' : `? ${unit}`;
}

/**
 * With how many decimals a written quantity is shown in another unit (negative: rounded to tens, hundreds …).
 * Undefined when it does not convert.
 */
export function convertedDecimals(quantity: Quantity, unit: string): number | undefined {
  if (unit === quantity.unit) return quantity.decimals;
  const value = convert(quantity.value, quantity.unit, unit);
  const place = convertDifference(10 ** -quantity.decimals, quantity.unit, unit);
  if (value === undefined || place === undefined) return undefined;
  return decimalsToKeep(value, place);
}

/** The same for a difference, such as a tolerance or a rise of temperature. */
export function convertedDifferenceDecimals(difference: Quantity, unit: string): number | undefined {
  if (unit === difference.unit) return difference.decimals;
  const value = convertDifference(difference.value, difference.unit, unit);
  const place = convertDifference(10 ** -difference.decimals, difference.unit, unit);
  if (value === undefined || place === undefined) return undefined;
  return decimalsToKeep(value, place);
}

function decimalsToKeep(value: number, place: number): number {
  const decimals = decimalsOfPlace(place);
  if (decimals >= 0) return loses(value, place, decimals) ? decimals + 1 : decimals;
  const wholeDigits = value === 0 ? 1 : Math.floor(Math.log10(Math.abs(value))) + 1;
  return Math.min(0, Math.max(decimals, 3 - wholeDigits));
}

/** In kelvins every tenth of a °C ends in a 5 one place further on: rounded there, two readings would look alike. */
function loses(value: number, place: number, decimals: number): boolean {
  const unit = 10 ** -decimals;
  const isSameUnit = Math.abs(place / unit - 1) < 1e-9;
  return isSameUnit && Math.abs(Math.abs(roundTo(value, decimals) - value) / unit - 0.5) < 1e-6;
}

/** The quantity as another unit shows it: `24 N·m` as `212 in·lbf`. Undefined when it does not convert. */
export function convertQuantity(quantity: Quantity, unit: string): Quantity | undefined {
  if (unit === quantity.unit) return quantity;
  return shown(
    convert(quantity.value, quantity.unit, unit),
    convertedDecimals(quantity, unit),
    quantity,
    unit,
  );
}

/** The same for a difference: a rise of 18 °F is one of 10 °C. */
export function convertQuantityDifference(difference: Quantity, unit: string): Quantity | undefined {
  if (unit === difference.unit) return difference;
  const value = convertDifference(difference.value, difference.unit, unit);
  return shown(value, convertedDifferenceDecimals(difference, unit), difference, unit);
}

/** `value` stays exact; only `written` is rounded. */
function shown(
  value: number | undefined,
  decimals: number | undefined,
  from: Quantity,
  unit: string,
): Quantity | undefined {
  if (value === undefined || decimals === undefined) return undefined;
  const written = formatNumber(value, decimals);
  if (!from.fraction) return { written, value, decimals, fraction: false, unit };
  const trimmed = written.includes('.') ? written.replace(/\.?0+$/, '') : written;
  return { written: trimmed, value, decimals: trimmed.split('.')[1]?.length ?? 0, fraction: true, unit };
}
