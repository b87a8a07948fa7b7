// Size and form from readings: least, greatest, mean, range, and taper and out-of-round by place.
import { withoutNoise } from './bounds.ts';
import { type Refusal, refuse } from './refusal.ts';

/** A reading at a place on a part, written `section/direction`: `top/thrust`. All values in one unit. */
export interface PlacedReading {
  readonly place: string;
  readonly value: number;
}

export interface FormOptions {
  /**
   * The places that the limit asks for. Without it the grid is every section seen crossed with every
   * direction seen.
   */
  readonly expected?: readonly string[] | undefined;
  /** Work with the readings there are, though some are missing. Off unless asked for. */
  readonly partial?: boolean | undefined;
}

/** A taper or an out-of-round: how much, and the two readings that make it. */
export interface FormDeviation {
  /** In the unit of the readings. */
  readonly value: number;
  /** The section (out-of-round) or the direction (taper) in which it is largest; '' if places have no direction. */
  readonly where: string;
  readonly greatest: PlacedReading;
  readonly least: PlacedReading;
  /** Places without a reading; empty unless `partial` was asked for. */
  readonly missing: readonly string[];
}

/** `readings-missing`: some places have no reading, named in `missing`. `too-few-places`: there is nothing to compare. */
export interface FormRefusal extends Refusal<'readings-missing' | 'too-few-places'> {
  readonly missing: readonly string[];
}

/** The least of the values; `undefined` if there are none or one is not finite. */
export function minimum(values: readonly number[]): number | undefined {
  return areUsable(values) ? values.reduce((a, b) => Math.min(a, b)) : undefined;
}

/** The greatest of the values; `undefined` if there are none or one is not finite. */
export function maximum(values: readonly number[]): number | undefined {
  return areUsable(values) ? values.reduce((a, b) => Math.max(a, b)) : undefined;
}

/** The arithmetic mean; `undefined` if there are no values or one is not finite. */
export function mean(values: readonly number[]): number | undefined {
  return areUsable(values) ? values.reduce((a, b) => a + b) / values.length : undefined;
}

/**
 * Greatest less least, over everything: what a dial indicator's full movement is (TM 5-3810-305-23: readings
 * 0, +.003, −.002, +.003 are a run-out of .005). `undefined` if there are no values or one is not finite.
 */
export function range(values: readonly number[]): number | undefined {
  const least = minimum(values);
  const greatest = maximum(values);
  if (least === undefined || greatest === undefined) return undefined;
  return withoutNoise(greatest - least, Math.max(Math.abs(least), Math.abs(greatest)));
}

/**
 * The largest, over the sections, of greatest less least over the directions (trade practice: the difference
 * of diameters across each other at one level). Readings are diameters; two-point measuring does not see three
 * lobes. A place without a direction gives no out-of-round: for one level, `range` says the same.
 *
 * A value that is not finite counts as not taken. Several readings of one place are all used, so that the
 * result is the largest that they allow.
 */
export function outOfRound(
  readings: readonly PlacedReading[],
  options: FormOptions = {},
): FormDeviation | FormRefusal {
  return largestSpread(readings, options, 'section');
}

/**
 * The largest, over the directions, of greatest less least over the sections (trade practice: the difference
 * of diameters along the bore). Places without a direction all lie in one direction.
 *
 * A value that is not finite counts as not taken. Several readings of one place are all used, so that the
 * result is the largest that they allow.
 */
export function taper(
  readings: readonly PlacedReading[],
  options: FormOptions = {},
): FormDeviation | FormRefusal {
  return largestSpread(readings, options, 'direction');
}

function areUsable(values: readonly number[]): boolean {
  return values.length > 0 && values.every(Number.isFinite);
}

interface Place {
  readonly section: string;
  readonly direction: string;
}

/** The last segment is the direction; a place of one segment is a section with no direction. */
function splitPlace(place: string): Place {
  const slash = place.lastIndexOf('/');
  return slash < 0
    ? { section: place, direction: '' }
    : { section: place.slice(0, slash), direction: place.slice(slash + 1) };
}

function joinPlace({ section, direction }: Place): string {
  return direction === '' ? section : `${section}/${direction}`;
}

function largestSpread(
  readings: readonly PlacedReading[],
  { expected, partial }: FormOptions,
  groupBy: 'section' | 'direction',
): FormDeviation | FormRefusal {
  const taken = readings.filter((reading) => Number.isFinite(reading.value));
  const wanted = expected ?? fullGrid(readings.map((reading) => splitPlace(reading.place)));
  const have = new Set(taken.map((reading) => reading.place));
  const missing = wanted.filter((place) => !have.has(place));
  if (missing.length > 0 && !partial) {
    return { ...refuse('readings-missing', `no reading at ${missing.join(', ')}`), missing };
  }

  let largest: FormDeviation | undefined;
  for (const [where, group] of groupedBy(taken, groupBy)) {
    if (new Set(group.map((reading) => reading.place)).size < 2) continue;
    const greatest = group.reduce((a, b) => (b.value > a.value ? b : a));
    const least = group.reduce((a, b) => (b.value < a.value ? b : a));
    const scale = Math.max(Math.abs(greatest.value), Math.abs(least.value));
    const value = withoutNoise(greatest.value - least.value, scale);
    if (!largest || value > largest.value) largest = { value, where, greatest, least, missing };
  }
  if (largest) return largest;
  const explanation =
    groupBy === 'section'
      ? 'no section has readings in two directions'
      : 'no direction has readings in two sections';
  return { ...refuse('too-few-places', explanation), missing };
}

function fullGrid(places: readonly Place[]): string[] {
  const sections = [...new Set(places.map((place) => place.section))];
  const directions = [...new Set(places.map((place) => place.direction))];
  return sections.flatMap((section) => directions.map((direction) => joinPlace({ section, direction })));
}

function groupedBy(
  readings: readonly PlacedReading[],
  key: 'section' | 'direction',
): Map<string, PlacedReading[]> {
  const groups = new Map<string, PlacedReading[]>();
  for (const reading of readings) {
    const name = splitPlace(reading.place)[key];
    const group = groups.get(name);
    if (group) group.push(reading);
    else groups.set(name, [reading]);
  }
  return groups;
}
