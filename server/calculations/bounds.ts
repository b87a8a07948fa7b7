// The ends of a range as the calculations pass them, and comparison that binary floating point cannot upset.

/** A range that may be open at either end; both ends belong to it. All in one unit, the caller's. */
export interface Bounds {
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
}

/** A range with both ends; both belong to it. */
export interface Interval {
  readonly lower: number;
  readonly upper: number;
}

/**
 * Takes away what binary floating point adds to a sum or difference of decimal numbers, so that
 * 67.541 − 67.527 is 0.014 and meets a limit of 0.014. `scale` is the size of the largest number that went
 * in; the result keeps twelve significant digits of that. Numbers that are not finite come back unchanged.
 */
export function withoutNoise(value: number, scale: number): number {
  if (!Number.isFinite(value) || !Number.isFinite(scale) || scale === 0) return value;
  const decimals = 12 - Math.ceil(Math.log10(Math.abs(scale)));
  if (decimals < 0 || decimals > 100) return value;
  return Number(value.toFixed(decimals));
}

/** Whether `a` is greater than `b` by more than a billionth of `scale`. */
export function clearlyGreater(a: number, b: number, scale: number): boolean {
  return a - b > 1e-9 * Math.abs(scale);
}

/** Where a value lies against a range whose ends belong to it; `undefined` if the value is not a number. */
export function whereIn(value: number, bounds: Bounds): 'below' | 'within' | 'above' | undefined {
  if (Number.isNaN(value)) return undefined;
  const scale = Math.max(Math.abs(value), Math.abs(bounds.lower ?? 0), Math.abs(bounds.upper ?? 0));
  if (bounds.lower !== undefined && clearlyGreater(bounds.lower, value, scale)) return 'below';
  if (bounds.upper !== undefined && clearlyGreater(value, bounds.upper, scale)) return 'above';
  return 'within';
}
