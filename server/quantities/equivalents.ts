/**
 * Whether a value and the equivalent in parentheses after it state the same thing.
 *
 * Each written number stands for everything that rounds to it: half a unit of its last place either way (a fraction is
 * exact). The two agree when these intervals meet after conversion. So 24 N·m agrees with 212 in·lbf and with
 * 210 in·lbf, and 10 N·m does not with 88 ft·lbf.
 */
import { convert, convertDifference } from './conversion.ts';
import type { Quantity } from './quantity.ts';
import { formatAmount, formatQuantity, roundTo, withUnit } from './rounding.ts';
import { areEasilyConfused, costOfUnit, decimalSlips, shiftPoint, unitsTakenFor } from './slips.ts';
import { type Bound, exactSpread, formatSpread, type Spread, spreadIn } from './spreads.ts';
import { sameKind } from './units.ts';

/** What would make the two agree. */
export interface EquivalentSlip {
  readonly slip: 'unit' | 'decimal-place';
  /** Which of the two is probably wrong. */
  readonly side: 'value' | 'equivalent';
  /** The unit that was probably meant on that side; the written one when the decimal place slipped. */
  readonly unit: string;
  /** What that side's numbers have to be multiplied by; 1 when only the unit is wrong. */
  readonly factor: number;
  /** That side as it was probably meant: `88 in·lbf`. */
  readonly text: string;
  /** The other side in the unit that was probably meant: `89 in·lbf` for 10 N·m. */
  readonly expected: string;
}

export type EquivalentResult =
  | { readonly agrees: true }
  | { readonly agrees: false; readonly reason: 'kinds-differ' }
  /** One has an end that the other lacks, such as a range beside a single value. */
  | { readonly agrees: false; readonly reason: 'ends-differ' }
  | {
      readonly agrees: false;
      readonly reason: 'values-differ';
      /** The part that differs; `nominal` for single values. */
      readonly end: 'nominal' | 'lower' | 'upper';
      /** What the value comes to in the equivalent's unit: `7.4 ft·lbf`. */
      readonly expected: string;
      /**
       * What a swapped unit or a slipped decimal place would explain, likeliest first: of each side the likeliest, and
       * only what people are known to do.
       */
      readonly slips: readonly EquivalentSlip[];
    };

type End = 'nominal' | 'lower' | 'upper';

/** Compares a single value with its single equivalent. */
export function quantityAndEquivalent(value: Quantity, equivalent: Quantity): EquivalentResult {
  return spreadAndEquivalent(exactSpread(value), exactSpread(equivalent));
}

/**
 * Compares a spread with its equivalent, end by end. Where either is a bare value, the nominal values are compared
 * (`24 ± 2 N·m (212 in·lbf)`); behind a bound it is that of the bound (`<= 0.5 mm (0.02 in)`).
 */
export function spreadAndEquivalent(value: Spread, written: Spread): EquivalentResult {
  if (!sameKind(value.unit, written.unit)) return { agrees: false, reason: 'kinds-differ' };
  const equivalent = asBound(written, value);
  const ends = endsToCompare(value, equivalent);
  if (ends === undefined) return { agrees: false, reason: 'ends-differ' };
  const end = firstDifference(value, equivalent, ends);
  if (end === undefined) return { agrees: true };
  return {
    agrees: false,
    reason: 'values-differ',
    end,
    expected: shownIn(value, equivalent.unit, ends),
    slips: likelySlipsOf(value, equivalent, ends),
  };
}

/** A bare value behind a bound, as a bound of that kind. */
function asBound(equivalent: Spread, { lower, upper, nominal }: Spread): Spread {
  const end = equivalent.bare === undefined ? undefined : equivalent.nominal;
  if (end === undefined || nominal !== undefined || (lower === undefined) === (upper === undefined))
    return equivalent;
  const bound = upper === undefined ? 'lower' : 'upper';
  return {
    ...equivalent,
    shape: bound === 'upper' ? 'at-most' : 'at-least',
    bare: undefined,
    nominal: undefined,
    lower: undefined,
    upper: undefined,
    [bound]: end,
  };
}

/** The parts that both must have; undefined when one lacks what the other has. */
function endsToCompare(value: Spread, equivalent: Spread): readonly End[] | undefined {
  if (value.bare !== undefined || equivalent.bare !== undefined)
    return value.nominal !== undefined && equivalent.nominal !== undefined ? ['nominal'] : undefined;
  const ends = (['lower', 'upper'] as const).filter((end) => value[end] !== undefined);
  const others = (['lower', 'upper'] as const).filter((end) => equivalent[end] !== undefined);
  if (ends.join() !== others.join()) return undefined;
  return value.nominal !== undefined && equivalent.nominal !== undefined ? ['nominal', ...ends] : ends;
}

function firstDifference(value: Spread, equivalent: Spread, ends: readonly End[]): End | undefined {
  return ends.find((end) => {
    const [a, b] = [value[end], equivalent[end]];
    return a === undefined || b === undefined || !overlap(a, value.unit, b, equivalent.unit);
  });
}

function overlap(a: Bound, aUnit: string, b: Bound, bUnit: string): boolean {
  const value = convert(a.value, aUnit, bUnit);
  const place = convertDifference(a.place, aUnit, bUnit);
  if (value === undefined || place === undefined) return false;
  const distance = Math.abs(value - b.value);
  // Two exact statements (fractions) still have to agree to what a conversion leaves of a double's digits.
  const guard = 1e-9 * Math.max(Math.abs(value), Math.abs(b.value));
  return distance <= (place + b.place) / 2 + guard;
}

/** A side in another unit, with the digits it carries. */
function shownIn(spread: Spread, unit: string, ends: readonly End[]): string {
  const converted = spreadIn(spread, unit);
  if (converted === undefined) return '';
  if (converted.bare !== undefined) return formatQuantity(converted.bare);
  const { nominal } = converted;
  if (ends.length === 1 && ends[0] === 'nominal' && nominal !== undefined)
    return formatAmount(nominal.value, unit, converted.decimals);
  return formatSpread(converted);
}

function likelySlipsOf(value: Spread, equivalent: Spread, ends: readonly End[]): readonly EquivalentSlip[] {
  const candidates: { slip: EquivalentSlip; cost: number }[] = [];
  const sides = [
    { side: 'equivalent', wrong: equivalent, right: value, cost: 0 },
    { side: 'value', wrong: value, right: equivalent, cost: 0.1 },
  ] as const;
  for (const { side, wrong, right, cost } of sides) {
    const written = wrong.unit;
    for (const unit of unitsTakenFor(written)) {
      if (!areEasilyConfused(written, unit)) continue;
      // Nobody gives an equivalent in the unit of the value itself: the digits were copied, not the unit slipped.
      if (unit === right.unit) continue;
      const meant = { ...wrong, unit };
      if (firstDifference(meant, right, ends) !== undefined) continue;
      const text = wrong.bare === undefined ? writeSpread(meant) : withUnit(wrong.bare.written, unit);
      const expected = shownIn(right, unit, ends);
      const unlikely = costOfUnit(written, unit);
      candidates.push({
        slip: { slip: 'unit', side, unit, factor: 1, text, expected },
        cost: cost + unlikely,
      });
    }
    for (const { factor, cost: costOfPoint } of decimalSlips) {
      const meant = scaled(wrong, factor);
      if (firstDifference(meant, right, ends) !== undefined) continue;
      const text =
        wrong.bare === undefined ? writeSpread(meant) : withUnit(shiftPoint(wrong.bare, factor), written);
      const expected = shownIn(right, written, ends);
      candidates.push({
        slip: { slip: 'decimal-place', side, unit: written, factor, text, expected },
        cost: cost + costOfPoint,
      });
    }
  }
  const ranked = candidates.sort((a, b) => a.cost - b.cost).map(({ slip }) => slip);
  return [...new Set(ranked.map(({ side }) => side))]
    .map((side) => ranked.find((slip) => slip.side === side))
    .filter((slip) => slip !== undefined);
}

/** A spread in the form in which it was written: `24 ± 2 N·m`, else by its ends. */
function writeSpread(spread: Spread): string {
  const { shape, nominal, upper, decimals, unit } = spread;
  if (shape !== 'plus-minus' || nominal === undefined || upper === undefined) return formatSpread(spread);
  const [middle, tolerance] = [nominal.value, upper.value - nominal.value];
  return withUnit(`${roundTo(middle, decimals)} ± ${roundTo(tolerance, decimals)}`, unit);
}

/** The spread as if its decimal point stood elsewhere. */
function scaled(spread: Spread, factor: number): Spread {
  const bound = (end: Bound | undefined): Bound | undefined =>
    end === undefined ? undefined : { value: end.value * factor, place: end.place * factor };
  return {
    ...spread,
    decimals: Math.max(0, spread.decimals - Math.round(Math.log10(factor))),
    lower: bound(spread.lower),
    upper: bound(spread.upper),
    nominal: bound(spread.nominal),
  };
}
