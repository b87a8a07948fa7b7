/** Likely slips of the pen: the unit or the decimal place in which a value that is wrong would have been right. */
import { convert } from './conversion.ts';
import type { Quantity } from './quantity.ts';
import { formatNumber, withUnit } from './rounding.ts';
import { contains, type Spread, standing } from './spreads.ts';
import { everydayUnits, kindOf } from './units.ts';

/** Units that are taken for one another at the bench, likeliest company first (common practice, no source). */
const confusions: Readonly<Record<string, readonly string[]>> = {
  N·m: ['ft·lbf', 'in·lbf', 'cN·m', 'kgf·m', 'kgf·cm', 'dN·m', 'daN·m', 'N·mm'],
  ft·lbf: ['in·lbf', 'N·m', 'kgf·m'],
  in·lbf: ['ft·lbf', 'N·m', 'in·ozf', 'kgf·cm'],
  in·ozf: ['in·lbf', 'cN·m'],
  kgf·m: ['N·m', 'kgf·cm', 'ft·lbf'],
  kgf·cm: ['kgf·m', 'N·m', 'cN·m'],
  mm: ['in', 'thou', 'µm', 'cm'],
  in: ['mm', 'thou', 'cm'],
  thou: ['mm', 'µm', 'in'],
  µm: ['mm', 'thou', 'µin'],
  psi: ['kPa', 'bar'],
  kPa: ['psi', 'bar', 'MPa'],
  bar: ['psi', 'kPa', 'mbar', 'MPa'],
  mbar: ['bar', 'kPa', 'inH2O', 'mmHg'],
  inHg: ['mmHg', 'inH2O', 'kPa', 'psi'],
  mmHg: ['inHg', 'mbar'],
  '°C': ['°F', 'K'],
  g: ['oz', 'kg'],
  lb: ['kg', 'oz'],
  N: ['lbf', 'kgf', 'kN'],
  lbf: ['N', 'kgf'],
  L: ['gal', 'cm³', 'imp_gal'],
  'cm³': ['in³', 'L', 'fl_oz', 'mm³'],
  gal: ['L', 'imp_gal'],
  fl_oz: ['cm³', 'imp_fl_oz'],
  'cm²': ['in²', 'mm²'],
  min: ['s', 'h'],
  '°': ['rad', 'turn'],
  Ω: ['kΩ'],
};

/** Units in which a value below one is hardly ever written. */
const wholeUnits: ReadonlySet<string> = new Set(['thou', 'µm', 'in·ozf', 'Pa', 'mbar', 'mm³']);

const decimalFactors = [10, 0.1, 100, 0.01, 1000, 0.001];
/** How unlikely it is that the point slipped by one, two, three places, on the scale of `costOfUnit`. */
const costOfPlaces = [0, 0.25, 0.6, 1];

/** The ways a decimal point slips, each with its cost. */
export const decimalSlips: readonly { readonly factor: number; readonly cost: number }[] = decimalFactors.map(
  (factor) => ({ factor, cost: costOfPlaces[Math.round(Math.abs(Math.log10(factor)))] ?? 1 }),
);

/** Whether the two units are known to be taken for one another. */
export function areEasilyConfused(a: string, b: string): boolean {
  return (confusions[a]?.includes(b) ?? false) || (confusions[b]?.includes(a) ?? false);
}

/** How unlikely it is that `written` stands for `meant`: 0 for the commonest confusion, 1 for one not known. */
export function costOfUnit(written: string, meant: string): number {
  const rank = confusions[written]?.indexOf(meant) ?? -1;
  const reverse = confusions[meant]?.indexOf(written) ?? -1;
  if (rank >= 0) return rank * 0.1;
  return reverse >= 0 ? reverse * 0.1 : 1;
}

/** Units of the same kind that may have been meant instead of this one, the easily confused ones first. */
export function unitsTakenFor(unit: string): readonly string[] {
  const kind = kindOf(unit);
  if (kind === undefined) return [];
  const others = everydayUnits(kind).map(({ name }) => name);
  const confused = Object.entries(confusions)
    .filter(([name, partners]) => name !== unit && partners.includes(unit))
    .map(([name]) => name);
  const all = new Set([...(confusions[unit] ?? []), ...confused, ...others]);
  all.delete(unit);
  return [...all];
}

export interface Slip {
  readonly slip: 'unit' | 'decimal-place';
  /** The unit that was probably meant; the written one when the decimal place slipped. */
  readonly unit: string;
  /** What the written number has to be multiplied by: 1 when only the unit is wrong, 0.1 for 0.3 instead of 0.03. */
  readonly factor: number;
  /** What was probably meant, in the spread's unit. */
  readonly value: number;
  /** What was probably meant, as it would have been written: `24 in·lbf`, `0.03 mm`. */
  readonly text: string;
}

/**
 * A written number multiplied by a power of ten, its digits kept: `0.30` by 0.1 is `0.030`. The zeros that end a whole
 * number may be no more than its size: `240` by 0.1 is `24`.
 */
export function shiftPoint(quantity: Quantity, factor: number): string {
  const shifted = formatNumber(
    quantity.value * factor,
    Math.max(0, quantity.decimals - Math.round(Math.log10(factor))),
  );
  return quantity.decimals === 0 && shifted.includes('.') ? shifted.replace(/\.?0+$/, '') : shifted;
}

/** A one-sided spread tells little: the value must be this many times past its end before a slip is suspected … */
const grossMiss = 3;
/** … and what was meant must come this close to the end. */
const nearEnough = 10;

/**
 * The slips that would explain why a value misses its spread, likeliest first; none when it meets it, when they are
 * not comparable, or when nothing but a wrong value explains it.
 *
 * A slip is only named where the coincidence says something. In a spread with two ends, both above zero, the slip must
 * be larger than the spread is wide (22..26 N·m is met by 18 ft·lbf, and nobody misses it so by accident; 10..40 N·m
 * proves nothing). In one with a single end, or from zero, the value must be three times past the end and what was
 * meant within a tenth of it: 0.3 mm for a limit of 0.05 mm may be 0.03 mm, but 0.06 mm is just too much.
 * Ranking: commonly confused units and the spread's own, a decimal place, less common ones; among equals the nearer to
 * the middle.
 */
export function likelySlips(quantity: Quantity, spread: Spread): Slip[] {
  const { where } = standing(spread, quantity);
  if (where === 'inside' || where === 'not-comparable') return [];
  const written = convert(quantity.value, quantity.unit, spread.unit);
  if (written === undefined || written === 0) return [];
  const ranked: { slip: Slip; cost: number }[] = [];
  const consider = (slip: Slip, cost: number): void => {
    if (contains(spread, { value: slip.value, unit: spread.unit }) !== true) return;
    const doubt = doubtAbout(spread, written, slip.value);
    if (doubt !== undefined) ranked.push({ slip, cost: cost + doubt });
  };
  for (const unit of unitsTakenFor(quantity.unit)) {
    const value = convert(quantity.value, unit, spread.unit);
    if (value === undefined) continue;
    const text = withUnit(quantity.written, unit);
    const unusual = wholeUnits.has(unit) && Math.abs(quantity.value) < 1 ? 0.5 : 0;
    // The manual's own unit is seldom far from a writer's mind.
    const known = costOfUnit(quantity.unit, unit);
    const cost = (unit === spread.unit ? Math.min(known, 0.1) : known) + unusual;
    consider({ slip: 'unit', unit, factor: 1, value, text }, cost);
  }
  for (const { factor, cost } of decimalSlips) {
    const value = convert(quantity.value * factor, quantity.unit, spread.unit);
    if (value === undefined) continue;
    const text = withUnit(shiftPoint(quantity, factor), quantity.unit);
    consider({ slip: 'decimal-place', unit: quantity.unit, factor, value, text }, cost);
  }
  return ranked.sort((a, b) => a.cost - b.cost).map(({ slip }) => slip);
}

/** How weak the case is that `meant` was written as `written`: 0 to about 1; undefined when there is none. */
function doubtAbout(spread: Spread, written: number, meant: number): number | undefined {
  const low = spread.lower?.value;
  const high = spread.upper?.value;
  const factor = Math.abs(Math.log(Math.abs(written / meant)));
  if (low !== undefined && high !== undefined && low > 0) {
    if (factor <= Math.log(high / low)) return undefined;
    const middle = spread.nominal?.value ?? (low + high) / 2;
    const half = Math.max(high - middle, middle - low);
    return half === 0 ? 0 : (0.3 * Math.abs(meant - middle)) / half;
  }
  const end = Math.abs((written > 0 ? high : low) ?? low ?? high ?? 0);
  if (end === 0 || Math.sign(meant) !== Math.sign(written)) return undefined;
  const miss = Math.abs(Math.log(Math.abs(written) / end));
  const distance = Math.abs(Math.log(Math.abs(meant) / end));
  if (miss < Math.log(grossMiss) || distance > Math.log(nearEnough)) return undefined;
  return 0.3 * distance;
}
