/**
 * Uncertainty: from what a tool's certificate states to the standard uncertainty of a worked-out value.
 *
 * A value keeps, source by source, what each source of error adds to it: sensitivity × standard uncertainty, with its
 * sign. Contributions of one source add up before they are squared, those of different sources after. This is the law
 * of propagation of uncertainty (JCGM 100:2008, equation 13) with correlations of 1 within a source and 0 between
 * sources (5.2.2, note 1), so what one tool's bias adds to two readings cancels in their difference.
 *
 * Values are plain numbers in units that the caller keeps alike; relations are taken to first order.
 */

export interface Uncertain {
  readonly value: number;
  /** Signed sensitivity × standard uncertainty, by the name of the source of error. */
  readonly contributions: ReadonlyMap<string, number>;
}

/** u = U ÷ k. The coverage factor is 2 where a certificate does not say (95 %, JCGM 100:2008, 6.3.3). */
export function standardUncertaintyOf(expanded: number, coverageFactor = 2): number {
  return expanded / coverageFactor;
}

/** Standard uncertainty of an even chance within ± `halfWidth`: halfWidth ÷ √3 (JCGM 100:2008, 4.3.7). */
export function evenlySpread(halfWidth: number): number {
  return halfWidth / Math.sqrt(3);
}

/** A value that nothing makes uncertain. */
export function certain(value: number): Uncertain {
  return { value, contributions: new Map() };
}

/** A value with its sources of error and the standard uncertainty that each gives it. */
export function uncertain(value: number, sources: Iterable<readonly [source: string, u: number]>): Uncertain {
  const contributions = new Map<string, number>();
  for (const [source, u] of sources) contributions.set(source, (contributions.get(source) ?? 0) + u);
  return { value, contributions };
}

export interface ToolReading {
  readonly value: number;
  /** Name of the tool: its bias is one source for all its readings. */
  readonly tool: string;
  /** Name of this reading among all: what it reads to is its own source. */
  readonly reading: string;
  /** Standard uncertainty of a reading with that tool, its resolution included; in the value's unit. */
  readonly u: number;
  /** The tool's resolution, in the value's unit; undefined when not stated. */
  readonly resolution: number | undefined;
}

/**
 * A reading with one tool. The part that comes from reading to the nearest division (half a division either way, evenly
 * spread; JCGM 100:2008, F.2.2.1) is the reading's own; the rest is the tool's bias, shared by all its readings. Where
 * no resolution is stated nothing says how much is shared, and the whole counts as the reading's own, which never
 * makes a difference look more certain than it is.
 */
export function toolReading({ value, tool, reading, u, resolution }: ToolReading): Uncertain {
  const ownSource = `reading ${reading}`;
  if (resolution === undefined) return uncertain(value, [[ownSource, u]]);
  const own = Math.min(u, evenlySpread(resolution / 2));
  const bias = Math.sqrt(Math.max(0, u ** 2 - own ** 2));
  return uncertain(value, [
    [`tool ${tool}`, bias],
    [ownSource, own],
  ]);
}

/** The standard uncertainty: root of the sum of squares over the sources. */
export function standardUncertainty({ contributions }: Uncertain): number {
  return Math.hypot(...contributions.values());
}

/** U = k u, with k = 2 unless given. */
export function expandedUncertainty(x: Uncertain, coverageFactor = 2): number {
  return standardUncertainty(x) * coverageFactor;
}

export interface Term {
  readonly x: Uncertain;
  /** How much the result changes for a change of one in `x`. */
  readonly sensitivity: number;
}

/** A value worked out from others, by the sensitivities at their values. */
export function workedOut(value: number, terms: readonly Term[]): Uncertain {
  const contributions = new Map<string, number>();
  for (const { x, sensitivity } of terms)
    for (const [source, contribution] of x.contributions)
      contributions.set(source, (contributions.get(source) ?? 0) + sensitivity * contribution);
  return { value, contributions };
}

export function sum(...xs: readonly Uncertain[]): Uncertain {
  const value = xs.reduce((total, x) => total + x.value, 0);
  return workedOut(
    value,
    xs.map((x) => ({ x, sensitivity: 1 })),
  );
}

export function difference(a: Uncertain, b: Uncertain): Uncertain {
  return workedOut(a.value - b.value, [
    { x: a, sensitivity: 1 },
    { x: b, sensitivity: -1 },
  ]);
}

export function product(a: Uncertain, b: Uncertain): Uncertain {
  return workedOut(a.value * b.value, [
    { x: a, sensitivity: b.value },
    { x: b, sensitivity: a.value },
  ]);
}

/** Undefined when the divisor is 0. */
export function quotient(a: Uncertain, b: Uncertain): Uncertain | undefined {
  if (b.value === 0) return undefined;
  return workedOut(a.value / b.value, [
    { x: a, sensitivity: 1 / b.value },
    { x: b, sensitivity: -a.value / b.value ** 2 },
  ]);
}

export function scaled(x: Uncertain, factor: number): Uncertain {
  return workedOut(x.value * factor, [{ x, sensitivity: factor }]);
}

/** The mean; undefined of none. */
export function meanOf(xs: readonly Uncertain[]): Uncertain | undefined {
  return xs.length === 0 ? undefined : scaled(sum(...xs), 1 / xs.length);
}

/** The one with the largest value, with its own uncertainty; undefined of none. */
export function largest(xs: readonly Uncertain[]): Uncertain | undefined {
  return xs.reduce<Uncertain | undefined>(
    (most, x) => (most === undefined || x.value > most.value ? x : most),
    undefined,
  );
}

/** The one with the smallest value, with its own uncertainty; undefined of none. */
export function smallest(xs: readonly Uncertain[]): Uncertain | undefined {
  return xs.reduce<Uncertain | undefined>(
    (least, x) => (least === undefined || x.value < least.value ? x : least),
    undefined,
  );
}

/** Largest less smallest (taper, out-of-round, runout): a bias shared by both cancels. Undefined of none. */
export function rangeOf(xs: readonly Uncertain[]): Uncertain | undefined {
  const [most, least] = [largest(xs), smallest(xs)];
  return most === undefined || least === undefined ? undefined : difference(most, least);
}
