/** How sure a reading, or what is worked out from readings, is: from the U that its tool states (k = 2) and the temperature. */
import {
  convert,
  convertDifference,
  difference,
  expandedUncertainty,
  fromBase,
  kindOf,
  lastPlace,
  type Quantity,
  standardUncertainty,
  standardUncertaintyOf,
  toBase,
  toolReading,
} from '../quantities/index.ts';
import type { Characteristic, Instance } from './characteristics.ts';
import type { LimitDeclaration, ToolDeclaration } from './declarations.ts';
import type { Reading } from './entries.ts';
import { asRead, type Contributions, evaluate, type Take, type Worked } from './expressions.ts';
import { writeTarget } from './items.ts';
import { uncertaintyOfTemperature } from './temperature.ts';

/** The size of a difference in the base unit of its kind. */
function inBase(difference: number, unit: string): number {
  return Math.abs(toBase({ value: difference, unit }) - toBase({ value: 0, unit }));
}

/** The size of a difference that is in the base unit of its kind, in a unit of that kind. */
export function fromBaseDifference(difference: number, unit: string): number {
  return fromBase(difference, unit) - fromBase(0, unit);
}

/** What a tool states, as a difference in the unit of a quantity; in % it is of the quantity. */
function stated(figure: Quantity | undefined, of: Quantity): number | undefined {
  if (figure === undefined || figure.value < 0) return undefined;
  if (figure.unit === '%') return (Math.abs(of.value) * figure.value) / 100;
  return convertDifference(figure.value, figure.unit, of.unit);
}

/** U of a tool at a reading (k = 2), in the reading's unit; undefined when it states none of that kind. */
export function expandedUncertaintyOf(tool: ToolDeclaration | undefined, of: Quantity): number | undefined {
  return stated(tool?.uncertainty, of);
}

function nameOf({ name, item, place, entry, at }: Reading): string {
  return `${writeTarget(name, item, place)} ${entry.index}:${at.start}`;
}

/** One end of a reading with its sources of error, those of its temperature among them, in base units. */
function contributionsOf(
  reading: Reading,
  { declaration }: Pick<Instance, 'declaration'>,
  quantity: Quantity,
): Contributions {
  const { tool } = reading.entry;
  const expanded = expandedUncertaintyOf(tool, quantity);
  if (tool === undefined || expanded === undefined) return undefined;
  const step = stated(tool.resolution, quantity);
  const { contributions } = toolReading({
    value: quantity.value,
    tool: tool.name,
    reading: nameOf(reading),
    u: inBase(standardUncertaintyOf(expanded), quantity.unit),
    resolution: step === undefined ? undefined : inBase(step, quantity.unit),
  });
  const warm = uncertaintyOfTemperature(reading, declaration, quantity);
  if (warm.length === 0) return contributions;
  return new Map([
    ...contributions,
    ...warm.map(([source, u]) => [source, Math.sign(u) * inBase(Math.abs(u), quantity.unit)] as const),
  ]);
}

/** A reading with the uncertainty that its tool states; without one its uncertainty is not known. */
const withUncertainty: Take = (reading, instance) => {
  const plain = asRead(reading, instance);
  const { low, high } = reading;
  if (plain === undefined || low === undefined || high === undefined) return plain;
  const highFrom = contributionsOf(reading, instance, high);
  return { ...plain, highFrom, lowFrom: low === high ? highFrom : contributionsOf(reading, instance, low) };
};

/**
 * The same, but a tool that states no uncertainty is taken to be right within a division, and a reading without a tool
 * within one of its last digit (k = 2; common practice). That only serves to say that two values contradict each other,
 * never that a limit is met.
 */
const withLeastUncertainty: Take = (reading, instance) => {
  const plain = withUncertainty(reading, instance);
  const { high } = reading;
  if (plain === undefined || high === undefined || plain.highFrom !== undefined) return plain;
  const step = Math.max(stated(reading.entry.tool?.resolution, high) ?? 0, lastPlace(high));
  const from: Contributions = new Map([
    [`reading ${nameOf(reading)}`, inBase(standardUncertaintyOf(step), high.unit)],
  ]);
  return { ...plain, lowFrom: from, highFrom: from };
};

/** Standard uncertainty of both ends of a value, in its unit; undefined where it is not known. */
export interface EndsUncertainty {
  readonly low: number | undefined;
  readonly high: number | undefined;
}

/**
 * Standard uncertainty of a reading's ends, in the unit of the reading: that of its tool and, where its temperature is
 * known, of what expansion does.
 */
export function readingUncertainty(
  reading: Reading,
  { declaration }: Pick<Instance, 'declaration'>,
): EndsUncertainty {
  const end = (quantity: Quantity | undefined) => {
    if (quantity === undefined) return undefined;
    const expanded = expandedUncertaintyOf(reading.entry.tool, quantity);
    if (expanded === undefined) return undefined;
    const warm = uncertaintyOfTemperature(reading, declaration, quantity).map(([, u]) => u);
    return Math.hypot(standardUncertaintyOf(expanded), ...warm);
  };
  return { low: end(reading.low), high: end(reading.high) };
}

/** What a derived limit comes to when its readings are taken in another way than as read. */
export function workedAgain(
  { sources }: Pick<Characteristic, 'sources'>,
  { declaration, item }: Pick<Instance, 'declaration' | 'item'>,
  take: Take,
): Worked | undefined {
  const { expression } = declaration;
  return expression === undefined ? undefined : evaluate(expression, declaration, { item, sources, take });
}

/** u of contributions, in a unit. */
function sizeOf(from: Contributions, unit: string): number | undefined {
  return from === undefined
    ? undefined
    : fromBaseDifference(standardUncertainty({ value: 0, contributions: from }), unit);
}

/** Standard uncertainty of what a derived limit comes to, by the law of propagation, in the unit it is shown in. */
export function workedUncertainty(characteristic: Characteristic, instance: Instance): EndsUncertainty {
  const { worked } = instance;
  const isKnown = worked?.readings.every((reading) => reading.entry.tool?.uncertainty !== undefined);
  const again = isKnown === true ? workedAgain(characteristic, instance, withUncertainty) : undefined;
  if (again?.value === undefined || again.unit === undefined || kindOf(again.unit) !== again.value.kind)
    return { low: undefined, high: undefined };
  return { low: sizeOf(again.value.lowFrom, again.unit), high: sizeOf(again.value.highFrom, again.unit) };
}

/** How far a value that was measured lies from what its parts give. */
export interface Disagreement {
  /** The gap between the two, in the unit of the reading; more than nothing. */
  readonly apart: number;
  /** What their uncertainty (k = 2) explains, in the same unit. */
  readonly explained: number;
}

/**
 * Compares a reading of a derived limit with what is worked out from its parts. What one tool's bias adds to both
 * cancels. Undefined while they meet, or cannot be compared.
 */
export function disagreementWith(
  reading: Reading,
  characteristic: Characteristic,
  instance: Instance,
): Disagreement | undefined {
  const unit = reading.high?.unit;
  const measured = withLeastUncertainty(reading, instance);
  const worked = workedAgain(characteristic, instance, withLeastUncertainty)?.value;
  if (unit === undefined || measured === undefined || worked === undefined) return undefined;
  if (measured.kind !== worked.kind) return undefined;
  const above = measured.low > worked.high;
  if (!above && measured.high >= worked.low) return undefined;
  const [greater, lesser] = above ? [measured, worked] : [worked, measured];
  if (greater.lowFrom === undefined || lesser.highFrom === undefined) return undefined;
  const gap = difference(
    { value: greater.low, contributions: greater.lowFrom },
    { value: lesser.high, contributions: lesser.highFrom },
  );
  return {
    apart: fromBaseDifference(gap.value, unit),
    explained: fromBaseDifference(expandedUncertainty(gap), unit),
  };
}

/** One end of what is allowed, and which line of the limit it comes from. */
export interface DecidingEnd {
  readonly value: number;
  readonly limit: 'new' | 'wear';
}

/** The ends that decide whether a value is allowed, in one unit. */
export interface DecidingLimits {
  readonly unit: string;
  readonly decimals: number;
  readonly lower: DecidingEnd | undefined;
  readonly upper: DecidingEnd | undefined;
}

/**
 * The ends that decide: on each side the wear limit where there is one and the part is not new, else the end of the
 * range for new parts. The same that `judgeValue` goes by. Undefined for words.
 */
export function decidingLimits(declaration: LimitDeclaration, asNew: boolean): DecidingLimits | undefined {
  const { limit: fresh, wear } = declaration;
  const unit = (fresh ?? wear)?.unit;
  if (unit === undefined) return undefined;
  const inUnit = (value: number | undefined, from: string | undefined) =>
    value === undefined || from === undefined ? undefined : convert(value, from, unit);
  const end = (side: 'lower' | 'upper'): DecidingEnd | undefined => {
    const worn = asNew && fresh?.[side] !== undefined ? undefined : inUnit(wear?.[side]?.value, wear?.unit);
    if (worn !== undefined) return { value: worn, limit: 'wear' };
    const value = fresh?.[side]?.value;
    return value === undefined ? undefined : { value, limit: 'new' };
  };
  const decimals = Math.max(fresh?.decimals ?? 0, wear?.unit === unit ? wear.decimals : 0);
  return { unit, decimals, lower: end('lower'), upper: end('upper') };
}

/** A length with two ends above nothing: a size, and not a run-out, a taper or a gap that may close. */
export function isSize({ unit, lower, upper }: DecidingLimits): boolean {
  return kindOf(unit) === 'length' && lower !== undefined && upper !== undefined && lower.value > 0;
}
