// Whether a reading meets its limits, how sure that is, and how much of the wear allowance it has used.
import { type Bounds, clearlyGreater, type Interval } from './bounds.ts';

/** 95 % probability of conformity, one-sided: the default decision rule of ISO 14253-1 (secondary text). */
export const defaultGuard = 1.65;

export type Verdict = 'conforms' | 'does-not-conform' | 'not-proved';

export interface Judgement {
  readonly verdict: Verdict;
  /** The limit that the value lies nearest to or furthest past; `undefined` where there is no limit at all. */
  readonly limit: 'lower' | 'upper' | undefined;
  /** How far inside that limit the value lies; negative: how far past it. In the unit of the value. */
  readonly margin: number;
}

/**
 * Judges a value against limits, all in one unit. `standardUncertainty` is u, not U; the guard is the multiple
 * of u taken off the limits for conformity and added to them for nonconformity (ISO 14253-1: proved conforming
 * only inside the limits reduced by the guard, proved nonconforming only outside the limits enlarged by it,
 * otherwise neither is proved). A value on the very edge of the reduced limits conforms; on the edge of the
 * enlarged ones nothing is proved. Without an uncertainty, or with one that is not a positive finite number,
 * the limits are taken as they stand and the answer is never `not-proved`.
 *
 * Returns `undefined` when the value or a limit is not a finite number.
 */
export function judge(
  value: number,
  limits: Bounds,
  {
    standardUncertainty = 0,
    guard = defaultGuard,
  }: { standardUncertainty?: number | undefined; guard?: number } = {},
): Judgement | undefined {
  const { lower, upper } = limits;
  if (![value, lower ?? 0, upper ?? 0].every(Number.isFinite)) return undefined;
  const product = guard * standardUncertainty;
  const band = Number.isFinite(product) ? Math.max(0, product) : 0;
  const scale = Math.max(Math.abs(value), Math.abs(lower ?? 0), Math.abs(upper ?? 0), band);
  const aboveLower = lower === undefined ? Number.POSITIVE_INFINITY : value - lower;
  const belowUpper = upper === undefined ? Number.POSITIVE_INFINITY : upper - value;
  const margin = Math.min(aboveLower, belowUpper);
  return {
    verdict: verdictFor(margin, band, scale),
    limit: margin === Number.POSITIVE_INFINITY ? undefined : aboveLower < belowUpper ? 'lower' : 'upper',
    margin,
  };
}

function verdictFor(margin: number, band: number, scale: number): Verdict {
  if (margin === Number.POSITIVE_INFINITY || !clearlyGreater(band, margin, scale)) return 'conforms';
  return clearlyGreater(-band, margin, scale) ? 'does-not-conform' : 'not-proved';
}

/**
 * Test uncertainty ratio: the width of the limits over 2U, with U the expanded uncertainty at 95 %
 * (ANSI/NCSL Z540.3:2006, as quoted by ASQ). Dimensionless. `undefined` unless the width and U are positive.
 */
export function testUncertaintyRatio(limits: Interval, expandedUncertainty: number): number | undefined {
  const width = limits.upper - limits.lower;
  if (!(width > 0) || !(expandedUncertainty > 0) || !Number.isFinite(width)) return undefined;
  return width / (2 * expandedUncertainty);
}

/**
 * How much of the way from the end of the range for new parts to the wear limit a value has gone: 0 inside the
 * new range, 1 at the wear limit, more past it. Of two sides that both wear, the worse counts. Common practice.
 *
 * `undefined` where no side has both an end for new parts and a wear limit further out, or the value is not finite.
 */
export function wearUsed(value: number, newRange: Bounds, wear: Bounds): number | undefined {
  if (!Number.isFinite(value)) return undefined;
  const shares = [
    shareOfWay(value, newRange.upper, wear.upper),
    shareOfWay(-value, negative(newRange.lower), negative(wear.lower)),
  ].filter((share) => share !== undefined);
  return shares.length === 0 ? undefined : Math.max(0, ...shares);
}

function shareOfWay(value: number, from: number | undefined, to: number | undefined): number | undefined {
  if (from === undefined || to === undefined || !(to > from)) return undefined;
  return (value - from) / (to - from);
}

function negative(value: number | undefined): number | undefined {
  return value === undefined ? undefined : -value;
}
