/** One reading of a set that stands apart, and that one changed or swapped digit would bring home. */
import { convertDifference, type Quantity, readNumber, withUnit } from '../quantities/index.ts';
import {
  type Instance,
  listItems,
  type Reading,
  type Report,
  readingValue,
  writeTarget,
} from '../rebuild/index.ts';
import { takeAgain } from './insertion.ts';
import { rule } from './rule.ts';
import { isSlipOfUnit } from './unit-slip.ts';

/** A set of fewer tells nothing. */
const LEAST_OTHERS = 3;
/** How many times the others' spread the gap to the next reading must be. */
const CLEAR_GAP = 5;

/** A reading of one value, with the number that was written. */
interface Single {
  readonly reading: Reading;
  readonly quantity: Quantity;
}

function singlesOf(readings: readonly Reading[]): readonly Single[] {
  const singles: Single[] = [];
  for (const reading of readings) {
    const { high: quantity, node } = reading;
    if (node.kind === 'exact' && quantity !== undefined && !quantity.fraction)
      singles.push({ reading, quantity });
  }
  return singles;
}

/** Readings that should be alike: of one member, or where that has few, of all members under one limit. */
function setsOf(instances: readonly Instance[]): readonly (readonly Single[])[] {
  const sets: (readonly Single[])[] = [];
  const small = new Map<unknown, Single[]>();
  for (const { standing, declaration } of instances) {
    const singles = singlesOf(standing);
    if (singles.length > LEAST_OTHERS) sets.push(singles);
    else {
      const list = small.get(declaration);
      if (list === undefined) small.set(declaration, [...singles]);
      else list.push(...singles);
    }
  }
  return [...sets, ...small.values()].filter((set) => set.length > LEAST_OTHERS);
}

interface Odd {
  readonly odd: Single;
  readonly others: readonly Single[];
  /** What the others span, in their unit. */
  readonly low: number;
  readonly high: number;
  /** Their spread, one step of the readings at least. */
  readonly spread: number;
}

/** The least by which two readings can differ: a division of the tool, or a last written place. */
function stepOf({ reading, quantity }: Single): number {
  const division = reading.entry.tool?.resolution;
  const step =
    division === undefined ? 0 : (convertDifference(division.value, division.unit, quantity.unit) ?? 0);
  return Math.max(step, 10 ** -quantity.decimals);
}

/** The one reading that lies apart from all others, which lie together. */
function oddOneOf(set: readonly Single[]): Odd | undefined {
  const unit = set[0]?.quantity.unit;
  let [least, next, beforeLast, greatest]: (Single | undefined)[] = [];
  for (const one of set) {
    const { value } = one.quantity;
    if (one.quantity.unit !== unit) return undefined;
    if (least === undefined || value < least.quantity.value) [least, next] = [one, least];
    else if (next === undefined || value < next.quantity.value) next = one;
    if (greatest === undefined || value > greatest.quantity.value) [greatest, beforeLast] = [one, greatest];
    else if (beforeLast === undefined || value > beforeLast.quantity.value) beforeLast = one;
  }
  if (least === undefined || next === undefined || beforeLast === undefined || greatest === undefined)
    return undefined;
  const gap = Math.max(
    greatest.quantity.value - beforeLast.quantity.value,
    next.quantity.value - least.quantity.value,
  );
  // Most sets end here: the rest of it is only looked at where there is a gap at all.
  if (gap < (greatest.quantity.value - least.quantity.value) / 2) return undefined;
  const place = set.reduce((most, one) => Math.max(most, stepOf(one)), 0);
  const apart = (odd: Single, from: Single, to: Single, gap: number): Odd | undefined => {
    const [low, high] = [from.quantity.value, to.quantity.value];
    const spread = Math.max(high - low, place);
    return gap >= CLEAR_GAP * spread * (1 - 1e-9)
      ? { odd, others: set.filter((one) => one !== odd), low, high, spread }
      : undefined;
  };
  return (
    apart(greatest, least, beforeLast, greatest.quantity.value - beforeLast.quantity.value) ??
    apart(least, next, greatest, next.quantity.value - least.quantity.value)
  );
}

/** Every number that one swap of neighbouring digits, or one other digit, makes of the written one; swaps first. */
function* slipsOf(written: string): Iterable<{ text: string; swapped: boolean }> {
  const isDigit = (char: string | undefined) => char !== undefined && char >= '0' && char <= '9';
  const places = [...written].map((_, i) => i).filter((i) => isDigit(written[i]));
  for (const [i, at] of places.entries()) {
    const next = places[i + 1];
    if (next === undefined || written[at] === written[next]) continue;
    const chars = [...written];
    [chars[at], chars[next]] = [written[next] ?? '', written[at] ?? ''];
    yield { text: chars.join(''), swapped: true };
  }
  for (const at of places)
    for (let digit = 0; digit <= 9; digit++)
      if (String(digit) !== written[at])
        yield { text: `${written.slice(0, at)}${digit}${written.slice(at + 1)}`, swapped: false };
}

/** The slip that brings the reading among the others: a swap before a changed digit, the nearest to their middle. */
function likelyMeant({ odd, low, high, spread }: Odd): { text: string; swapped: boolean } | undefined {
  const middle = (low + high) / 2;
  let best: { text: string; swapped: boolean; cost: number } | undefined;
  for (const slip of slipsOf(odd.quantity.written)) {
    const value = readNumber(slip.text)?.value;
    if (value === undefined || value < low - spread || value > high + spread) continue;
    const cost = Math.abs(value - middle) + (slip.swapped ? 0 : 1e6 * spread);
    if (best === undefined || cost < best.cost) best = { ...slip, cost };
  }
  return best;
}

function describe(set: Odd): Report | undefined {
  const meant = likelyMeant(set);
  if (meant === undefined) return undefined;
  const { odd, others } = set;
  const { reading, quantity } = odd;
  const { name, item, place } = reading;
  const written = (value: number) => others.find((one) => one.quantity.value === value)?.quantity.written;
  const [low, high] = [written(set.low) ?? '', written(set.high) ?? ''];
  const span = withUnit(low === high ? low : `${low}..${high}`, quantity.unit);
  const shown = withUnit(meant.text, quantity.unit);
  return {
    at: reading.at,
    message: `${writeTarget(name, item, place)} is ${readingValue(reading)?.text}, and the other ${others.length} are ${span}: with ${meant.swapped ? 'two digits swapped' : 'one other digit'} it would be ${shown}. If it was a slip of the pen, take it again \`as corrected\` and say why.`,
    related: others.slice(0, 3).map((one) => ({
      at: one.reading.at,
      message: `${where(one.reading)} is ${readingValue(one.reading)?.text}`,
    })),
    fixes: [takeAgain(reading, 'read again')],
  };
}

function where({ item, place, name }: Reading): string {
  return place === '' ? writeTarget(name, item) : listItems([place]);
}

/** Reports the one reading of four or more that stands far apart, where a likely slip of the pen explains it. */
export const oddReading = rule({
  id: 'odd-reading',
  severity: 'information',
  title: 'probably a slip of the pen',
  subject: 'characteristic',
  *check({ instances }) {
    for (const set of setsOf(instances)) {
      const odd = oddOneOf(set);
      if (odd === undefined) continue;
      const { reading, quantity } = odd.odd;
      const declaration = instances.find(({ item }) => item === reading.item)?.declaration;
      // Of a point that slipped unit-slip tells.
      if (declaration !== undefined && isSlipOfUnit(quantity, declaration)) continue;
      const report = describe(odd);
      if (report !== undefined) yield report;
    }
  },
});
