// Limits and fits by ISO 286-1, nominal sizes to 500 mm, from its tables; and the fit of any hole and shaft.
import { type Interval, withoutNoise } from './bounds.ts';
import { deviationSteps, gradeSteps, shaftDeviations, toleranceGrades } from './iso286-tables.ts';
import { type Refusal, refuse } from './refusal.ts';

/** The limits that a tolerance class stands for at one nominal size. Ends in mm. */
export interface IsoLimits extends Interval {
  readonly kind: 'hole' | 'shaft';
  /** EI or ei, µm. */
  readonly lowerDeviation: number;
  /** ES or es, µm. */
  readonly upperDeviation: number;
}

/**
 * `not-a-class`: not letters and a grade that ISO 286-1 knows. `size-not-covered`: over 500 mm, or not a
 * positive number. `not-defined`: the standard gives no value for that class at that size. `not-held`: the
 * standard does, but no source that could be read and cross-checked gives it, so the tool does not guess.
 */
export type IsoRefusal = Refusal<'not-a-class' | 'size-not-covered' | 'not-defined' | 'not-held'>;

const largestSize = 500;
/** The order in which the difference of a grade and the one before it is taken. */
const gradeOrder = ['01', '0', ...Array.from({ length: 18 }, (_, index) => String(index + 1))];
const clearanceLetters = new Set(['a', 'b', 'c', 'cd', 'd', 'e', 'ef', 'f', 'fg', 'g', 'h']);
const letters = new Set([...clearanceLetters, 'j', 'js', 'k', ...Object.keys(shaftDeviations)]);
const classPattern = /^([A-Z]{1,2}|[a-z]{1,2})(01|0|1[0-8]?|[2-9])$/;

/** Whether a text is written as an ISO 286 class: `H7`, `js6`, `ZC11`. It may still be undefined at a size. */
export function isToleranceClass(text: string): boolean {
  const letter = classPattern.exec(text)?.[1];
  return letter !== undefined && letters.has(letter.toLowerCase());
}

/**
 * The limits of a tolerance class such as `H8` (hole) or `g6` (shaft) at a nominal size in mm.
 *
 * Source: the tables of ISO 286-1:2010 as held by three open copies that agree; formulas do not reproduce them.
 * A size belongs to the step "over … up to and including". JS and js are exactly half the grade on each side;
 * the standard allows rounding that half down to a whole micrometre. The restrictions at 1 mm and below and
 * the absence of K above IT8 are from memory.
 */
export function isoLimits(size: number, toleranceClass: string): IsoLimits | IsoRefusal {
  const match = classPattern.exec(toleranceClass);
  const letter = match?.[1]?.toLowerCase();
  const grade = match?.[2];
  if (letter === undefined || grade === undefined || !letters.has(letter)) {
    return refuse('not-a-class', `${toleranceClass} is not a tolerance class of ISO 286-1`);
  }
  if (!(size > 0) || size > largestSize) {
    return refuse(
      'size-not-covered',
      `ISO 286-1 is held here for sizes up to ${largestSize} mm, and this is ${size} mm`,
    );
  }
  const tolerance = gradeWidth(size, grade);
  if (tolerance === undefined) return notDefined(size, toleranceClass);
  const kind = toleranceClass.startsWith(letter) ? 'shaft' : 'hole';
  const deviation =
    kind === 'shaft'
      ? shaftDeviation({ size, letter, grade, tolerance })
      : holeDeviation({ size, letter, grade, tolerance });
  if (deviation === 'not-defined') return notDefined(size, toleranceClass);
  if (deviation === 'not-held') {
    const explanation = `${toleranceClass} at ${size} mm is not among the tables held here`;
    return refuse('not-held', explanation);
  }
  return {
    kind,
    lowerDeviation: deviation.lower,
    upperDeviation: deviation.upper,
    lower: withoutNoise(size + deviation.lower / 1000, largestSize),
    upper: withoutNoise(size + deviation.upper / 1000, largestSize),
  };
}

function notDefined(size: number, toleranceClass: string): IsoRefusal {
  return refuse('not-defined', `ISO 286-1 gives no ${toleranceClass} at ${size} mm`);
}

interface ClassAtSize {
  readonly size: number;
  readonly letter: string;
  readonly grade: string;
  /** Width of the grade, µm. */
  readonly tolerance: number;
}

/** Deviations in µm, or why there are none. */
type Deviations = Interval | 'not-defined' | 'not-held';

function shaftDeviation({ size, letter, grade, tolerance }: ClassAtSize): Deviations {
  if (letter === 'js') return { lower: -tolerance / 2, upper: tolerance / 2 };
  const fundamental = fundamentalDeviation(size, letter, Number(grade));
  if (typeof fundamental !== 'number') return fundamental;
  return clearanceLetters.has(letter)
    ? { lower: fundamental - tolerance, upper: fundamental }
    : { lower: fundamental, upper: fundamental + tolerance };
}

function holeDeviation({ size, letter, grade, tolerance }: ClassAtSize): Deviations {
  if (letter === 'js') return { lower: -tolerance / 2, upper: tolerance / 2 };
  if (clearanceLetters.has(letter)) {
    const fundamental = fundamentalDeviation(size, letter, Number(grade));
    if (typeof fundamental !== 'number') return fundamental;
    return { lower: 0 - fundamental, upper: tolerance - fundamental };
  }
  const upper = upperHoleDeviation({ size, letter, grade, tolerance });
  return typeof upper === 'number' ? { lower: upper - tolerance, upper } : upper;
}

/** ES of holes K to ZC: the shaft's deviation turned over, plus Δ in the finer grades. */
function upperHoleDeviation({ size, letter, grade, tolerance }: ClassAtSize) {
  const number = Number(grade);
  if (letter === 'n' && number > 8 && size > 3) return 0;
  if (letter === 'n' && number > 8 && size <= 1) return 'not-defined';
  if (letter === 'k' && number > 8 && size > 3) return 'not-defined';
  // The one value of M6 that the rule does not give.
  if (letter === 'm' && grade === '6' && size > 250 && size <= 315) return -9;
  // A hole's k deviation is that of the shaft's middle grades, whatever the hole's grade.
  const fundamental = fundamentalDeviation(size, letter, letter === 'k' ? 7 : number);
  if (typeof fundamental !== 'number') return fundamental;
  const finest = letter === 'k' || letter === 'm' || letter === 'n' ? 8 : 7;
  if (size <= 3 || number > finest) return 0 - fundamental;
  if (grade.startsWith('0') || number < 3) return 'not-defined';
  const before = gradeWidth(size, gradeOrder[gradeOrder.indexOf(grade) - 1] ?? '');
  return before === undefined ? 'not-defined' : tolerance - before - fundamental;
}

function gradeWidth(size: number, grade: string): number | undefined {
  if (size <= 1 && Number(grade) >= 14) return undefined;
  return toleranceGrades[`IT${grade}`]?.[stepOf(size, gradeSteps)];
}

/** The shaft's fundamental deviation in µm: es for a to h, ei for k to zc. */
function fundamentalDeviation(
  size: number,
  letter: string,
  grade: number,
): number | 'not-defined' | 'not-held' {
  if (letter === 'j') return 'not-held';
  if ((letter === 'a' || letter === 'b') && size <= 1) return 'not-defined';
  if (letter === 'k' && (grade < 4 || grade > 7)) return 0;
  const value = shaftDeviations[letter]?.[stepOf(size, deviationSteps)];
  if (typeof value === 'number') return value;
  return letter === 'ef' && size > 18 && size <= 30 ? 'not-held' : 'not-defined';
}

/** Steps are "over … up to and including": exactly 50 mm lies in 30 to 50. */
function stepOf(size: number, steps: readonly number[]): number {
  return steps.findIndex((upTo) => size <= upTo);
}

/** What a hole and a shaft make together. All in the unit of the limits. */
export interface Fit {
  readonly kind: 'clearance' | 'transition' | 'interference';
  /** Smallest hole less largest shaft; negative where they interfere. */
  readonly leastClearance: number;
  /** Largest hole less smallest shaft; negative where they always interfere. */
  readonly greatestClearance: number;
}

/**
 * The fit of a hole and a shaft from their limits, in one unit (ISO 286-1: extremes are hole less shaft; a
 * least clearance of exactly nothing is still a clearance fit). `undefined` if a limit is not finite or the
 * ends of one are the wrong way round.
 */
export function fitOf(hole: Interval, shaft: Interval): Fit | undefined {
  const ends = [hole.lower, hole.upper, shaft.lower, shaft.upper];
  if (!ends.every(Number.isFinite) || hole.lower > hole.upper || shaft.lower > shaft.upper) return undefined;
  const scale = Math.max(...ends.map(Math.abs));
  const leastClearance = withoutNoise(hole.lower - shaft.upper, scale);
  const greatestClearance = withoutNoise(hole.upper - shaft.lower, scale);
  const kind = leastClearance >= 0 ? 'clearance' : greatestClearance <= 0 ? 'interference' : 'transition';
  return { kind, leastClearance, greatestClearance };
}
