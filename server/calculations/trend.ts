// Straight lines through readings: fit, scatter, prediction, and when a limit will be reached.
import type { Interval } from './bounds.ts';
import { type Refusal, refuse } from './refusal.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * A least-squares line y = intercept + slope·x. Deviations are standard deviations of the estimates; they and
 * `residual` are `undefined` when no degree of freedom is left, since two points always lie on a line.
 */
export interface LineFit {
  readonly slope: number;
  readonly intercept: number;
  readonly slopeDeviation: number | undefined;
  readonly interceptDeviation: number | undefined;
  /** Residual standard deviation, s. */
  readonly residual: number | undefined;
  /** R², over the spread about the mean (through the origin: about nothing). `undefined` if there is no spread. */
  readonly rSquared: number | undefined;
  readonly count: number;
  readonly degreesOfFreedom: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Sum of squares of x about its mean (through the origin: about nothing). */
  readonly sumOfSquares: number;
}

/**
 * `too-few`: one point or none. `same-x`: every x is the same, so there is no slope to find. `not-finite`: a
 * coordinate is not a finite number, or so large that its square is not.
 */
export type TrendRefusal = Refusal<'too-few' | 'same-x' | 'not-finite'>;

/**
 * Fits a line by least squares, on sums about the means. Checked against NIST StRD Norris and the Walpole
 * example of the GTC library.
 */
export function fitLine(points: readonly Point[]): LineFit | TrendRefusal {
  const count = points.length;
  if (count < 2) return refuse('too-few', 'a line needs two readings at least');
  if (!areFinite(points)) return refuse('not-finite', 'a reading is not a number');
  const meanX = sum(points.map(({ x }) => x)) / count;
  const meanY = sum(points.map(({ y }) => y)) / count;
  const sumOfSquares = sum(points.map(({ x }) => (x - meanX) ** 2));
  if (points.every(({ x }) => x === points[0]?.x) || !(sumOfSquares > 0)) {
    return refuse('same-x', 'the readings all lie at one place, so nothing shows how they change');
  }
  const slope = sum(points.map(({ x, y }) => (x - meanX) * (y - meanY))) / sumOfSquares;
  if (!Number.isFinite(slope + sumOfSquares))
    return refuse('not-finite', 'the readings are too large to work with');
  const intercept = meanY - slope * meanX;
  const residuals = points.map(({ x, y }) => y - meanY - slope * (x - meanX));
  const degreesOfFreedom = count - 2;
  const residual = residualDeviation(residuals, degreesOfFreedom);
  const spread = sum(points.map(({ y }) => (y - meanY) ** 2));
  return {
    slope,
    intercept,
    slopeDeviation: times(residual, 1 / Math.sqrt(sumOfSquares)),
    interceptDeviation: times(residual, Math.sqrt(1 / count + meanX ** 2 / sumOfSquares)),
    residual,
    rSquared: spread > 0 ? 1 - sumOfSquaresOf(residuals) / spread : undefined,
    count,
    degreesOfFreedom,
    meanX,
    meanY,
    sumOfSquares,
  };
}

/**
 * Fits a line through the origin. R² is over the sum of squares of y itself, not about its mean, as NIST does
 * for its sets NoInt1 and NoInt2.
 */
export function fitLineThroughOrigin(points: readonly Point[]): LineFit | TrendRefusal {
  const count = points.length;
  if (count < 1) return refuse('too-few', 'a line through the origin needs a reading');
  if (!areFinite(points)) return refuse('not-finite', 'a reading is not a number');
  const sumOfSquares = sumOfSquaresOf(points.map(({ x }) => x));
  if (!(sumOfSquares > 0)) return refuse('same-x', 'the readings all lie at the origin');
  const slope = sum(points.map(({ x, y }) => x * y)) / sumOfSquares;
  if (!Number.isFinite(slope + sumOfSquares))
    return refuse('not-finite', 'the readings are too large to work with');
  const residuals = points.map(({ x, y }) => y - slope * x);
  const degreesOfFreedom = count - 1;
  const residual = residualDeviation(residuals, degreesOfFreedom);
  const spread = sumOfSquaresOf(points.map(({ y }) => y));
  return {
    slope,
    intercept: 0,
    slopeDeviation: times(residual, 1 / Math.sqrt(sumOfSquares)),
    interceptDeviation: undefined,
    residual,
    rSquared: spread > 0 ? 1 - sumOfSquaresOf(residuals) / spread : undefined,
    count,
    degreesOfFreedom,
    meanX: sum(points.map(({ x }) => x)) / count,
    meanY: sum(points.map(({ y }) => y)) / count,
    sumOfSquares,
  };
}

/** What a line with an intercept foretells at one x. Deviations and bands `undefined` without a degree of freedom. */
export interface Prediction {
  readonly value: number;
  /** Standard uncertainty of the line there, and of a single further reading. */
  readonly lineDeviation: number | undefined;
  readonly readingDeviation: number | undefined;
  /** Within which the line, and a single further reading, lies at the confidence asked for. */
  readonly lineBand: Interval | undefined;
  readonly readingBand: Interval | undefined;
}

/**
 * The value of a line from `fitLine` at x, with its bands: u² = s²·(1/n + (x − x̄)²/Sxx), and s² more for a
 * single reading; the bands are Student's t with n − 2 degrees of freedom times that.
 */
export function predict(line: LineFit, x: number, confidence = 0.95): Prediction {
  const value = line.meanY + line.slope * (x - line.meanX);
  const leverage = 1 / line.count + (x - line.meanX) ** 2 / line.sumOfSquares;
  const lineDeviation = times(line.residual, Math.sqrt(leverage));
  const readingDeviation = times(line.residual, Math.sqrt(1 + leverage));
  const t = studentQuantile(line.degreesOfFreedom, confidence);
  return {
    value,
    lineDeviation,
    readingDeviation,
    lineBand: band(value, times(lineDeviation, t)),
    readingBand: band(value, times(readingDeviation, t)),
  };
}

/** When a line reaches a value. */
export interface Crossing {
  readonly x: number;
  /** Standard uncertainty of x, to first order; `undefined` without a degree of freedom. */
  readonly deviation: number | undefined;
  /**
   * Where x lies at the confidence asked for (Fieller). `undefined` without a degree of freedom, and where the
   * slope could as well be nothing, so that no finite interval holds x.
   */
  readonly interval: Interval | undefined;
}

/** `no-slope`: the line is level and never gets there. */
export type CrossingRefusal = Refusal<'no-slope'>;

/**
 * When a line from `fitLine` reaches y. `readings` is how many readings the y is the mean of: with it their own
 * scatter counts, as in calibration; without it y is exact, as a limit is.
 *
 * u² = s²/b²·(1/p + 1/n + (y − ȳ)²/(b²·Sxx)), as in the GTC library's inverse prediction (the GUM law); the
 * interval is Fieller's: all x for which (ȳ + b(x − x̄) − y)² ≤ t²·s²·(1/p + 1/n + (x − x̄)²/Sxx).
 */
export function whenReached(
  line: LineFit,
  y: number,
  { readings, confidence = 0.95 }: { readings?: number | undefined; confidence?: number } = {},
): Crossing | CrossingRefusal {
  if (line.slope === 0) return refuse('no-slope', 'the readings do not change, so they never reach it');
  const { slope, count, sumOfSquares, meanX, residual } = line;
  const away = (y - line.meanY) / slope;
  const constant = (readings === undefined ? 0 : 1 / readings) + 1 / count;
  const deviation = times(residual, Math.sqrt(constant + away ** 2 / sumOfSquares) / Math.abs(slope));
  const t = studentQuantile(line.degreesOfFreedom, confidence);
  return { x: meanX + away, deviation, interval: fieller() };

  /** With g = t²s²/(b²Sxx): the roots of (1 − g)·d² − 2·away·d + away² − g·Sxx·constant, d = x − x̄. */
  function fieller(): Interval | undefined {
    if (residual === undefined || t === undefined) return undefined;
    const g = (t * residual) ** 2 / (slope ** 2 * sumOfSquares);
    if (g >= 1) return undefined;
    const half = Math.sqrt(g * (away ** 2 + (1 - g) * sumOfSquares * constant));
    return { lower: meanX + (away - half) / (1 - g), upper: meanX + (away + half) / (1 - g) };
  }
}

/**
 * The t within ±which Student's distribution holds the share `confidence`. Degrees of freedom that are not whole
 * are rounded down (GUM, G.4.1), and more than a million count as a million. `undefined` below 1 degree of freedom, and for a share not between 0 and 1.
 *
 * Inverts the finite sums for whole degrees of freedom (Abramowitz and Stegun, 26.7.3 and 26.7.4) in the angle
 * whose tangent is t/√ν, by bisection.
 */
export function studentQuantile(degreesOfFreedom: number, confidence: number): number | undefined {
  const freedom = Math.min(Math.floor(degreesOfFreedom), 1_000_000);
  if (!(freedom >= 1) || !(confidence > 0 && confidence < 1)) return undefined;
  let low = 0;
  let high = Math.PI / 2;
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return Math.tan(middle) * Math.sqrt(freedom);
    if (shareWithin(middle, freedom) < confidence) low = middle;
    else high = middle;
  }
}

/** A(t|ν) by the angle θ = atan(t/√ν). */
function shareWithin(angle: number, freedom: number): number {
  const cosine = Math.cos(angle);
  const square = cosine ** 2;
  const odd = freedom % 2 === 1;
  let term = odd ? cosine : 1;
  let total = freedom === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= freedom - 2; k += 2) {
    term *= (square * (k - 1)) / k;
    total += term;
  }
  const product = Math.sin(angle) * total;
  return odd ? (2 / Math.PI) * (angle + product) : product;
}

function residualDeviation(residuals: readonly number[], degreesOfFreedom: number): number | undefined {
  return degreesOfFreedom > 0 ? Math.sqrt(sumOfSquaresOf(residuals) / degreesOfFreedom) : undefined;
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}

function sumOfSquaresOf(values: readonly number[]): number {
  return values.reduce((total, value) => total + value ** 2, 0);
}

function times(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? undefined : a * b;
}

function band(value: number, half: number | undefined): Interval | undefined {
  return half === undefined ? undefined : { lower: value - half, upper: value + half };
}

function areFinite(points: readonly Point[]): boolean {
  return points.every(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
}
