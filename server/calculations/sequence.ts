// Tightening orders: across a circle, from the centre out, and the first place at which an order leaves one.

/** The first place at which an order is not the one asked for. */
export interface Departure<Fastener> {
  /** Place in the order, counted from 0. */
  readonly index: number;
  /** What stands there; `undefined` if the order ends before. */
  readonly found: Fastener | undefined;
  /** Any of these would have done; empty if the order should have ended before. */
  readonly wanted: readonly Fastener[];
}

/** The first place at which an order leaves a listed one; `undefined` if they are the same. */
export function firstDeparture<Fastener>(
  order: readonly Fastener[],
  listed: readonly Fastener[],
): Departure<Fastener> | undefined {
  const length = Math.max(order.length, listed.length);
  for (let index = 0; index < length; index++) {
    if (index < order.length && index < listed.length && order[index] === listed[index]) continue;
    return { index, found: order[index], wanted: listed.slice(index, index + 1) };
  }
  return undefined;
}

/** No circle has more than this; the working grows with the cube of the count. */
const mostInCross = 360;

/**
 * A cross order for fasteners 1 to `count` round a circle: 1 3 2 4, 1 3 5 2 4, 1 4 2 5 3 6, 1 5 3 7 2 6 4 8.
 *
 * Fasteners go in pairs. The second of a pair is the one opposite the first (with an odd count, the nearest to
 * opposite that is left). The next pair starts away from the pair just done: not beside it if one further off is
 * left, and then in the widest gap. Common practice; for 4, 8, 12 and 16 it is the legacy order of flange
 * bolting guides (from memory).
 *
 * With `rows` 2 the fasteners stand in two rows, numbered along each, and the circle is taken round both: four
 * at the corners are 1 4 2 3. Empty for other rows, and if `count` is not a whole number from 1 to 360.
 */
export function crossOrder(count: number, rows?: number): number[] {
  const ring = ringOf(count, rows);
  if (ring.length === 0) return [];
  const order = [0];
  const left = new Set(ring.keys());
  left.delete(0);
  while (left.size > 0) {
    const next = nextAcross(order, [...left], count);
    order.push(next);
    left.delete(next);
  }
  return order.flatMap((position) => ring[position] ?? []);
}

/**
 * The first place at which an order of fasteners 1 to `count` is no cross: the second of a pair is not opposite
 * the first, or a pair starts beside the one just done though one further off was left. So an order may start
 * anywhere, run either way round and take its pairs in any turn that keeps them apart. `undefined` if the whole
 * order is a cross, and where `crossOrder` has none.
 */
export function departureFromCross(
  order: readonly number[],
  count: number,
  rows?: number,
): Departure<number> | undefined {
  const ring = ringOf(count, rows);
  if (ring.length === 0) return undefined;
  const position = new Map(ring.map((number, index) => [number, index]));
  const positions = (numbers: readonly number[]) => numbers.flatMap((number) => position.get(number) ?? []);
  return departureFrom(order, ring, (number, done, left) =>
    positions([number]).every((at) => acceptedAcross(positions(done), positions(left), count).includes(at)),
  );
}

/**
 * A centre-out order for fasteners 1 to `count` in `rows` rows, numbered along each row: 10 in one row are
 * 5 6 4 7 3 8 2 9 1 10, 10 in two rows 3 8 2 9 4 7 1 10 5 6. The nearest to the centre first, each followed by
 * the one opposite it through the centre. Rows are as equal as can be, the first ones longer, and share one
 * middle line. Common practice. Empty if a number is not whole, or there are more rows than fasteners.
 */
export function centreOutOrder(count: number, rows: number): number[] {
  const places = rowPlaces(count, rows);
  const at = new Map([...places].map(([number, place]) => [placeKey(place.along, place.across), number]));
  const order = new Set<number>();
  const outwards = [...places].sort(([, a], [, b]) => compareDistance(a, b));
  for (const [number, { along, across }] of outwards) {
    if (order.has(number)) continue;
    order.add(number);
    const opposite = at.get(placeKey(-along, -across));
    if (opposite !== undefined) order.add(opposite);
  }
  return [...order];
}

/**
 * The first place at which an order of fasteners in rows does not go from the centre out: it takes one though
 * another was left that lies further in, along the rows or across them, and no further out the other way. In
 * what turn the fasteners at one distance come is free. `undefined` if the whole order goes outwards, and where
 * `centreOutOrder` has none.
 */
export function departureFromCentreOut(
  order: readonly number[],
  count: number,
  rows: number,
): Departure<number> | undefined {
  const places = rowPlaces(count, rows);
  if (places.size === 0) return undefined;
  return departureFrom(order, [...places.keys()], (number, _done, left) => {
    const place = places.get(number);
    return !left.some((other) => liesInside(places.get(other), place));
  });
}

/** Where a fastener stands: along the rows and across them, from the centre of all, in steps. */
export interface RowPlace {
  readonly along: number;
  readonly across: number;
}

/** The places of fasteners 1 to `count` in `rows` rows; empty if a number is not whole or rows outnumber fasteners. */
export function rowPlaces(count: number, rows: number): ReadonlyMap<number, RowPlace> {
  const places = new Map<number, RowPlace>();
  if (!isCount(count) || !isCount(rows) || rows > count) return places;
  let number = 1;
  for (let row = 0; row < rows; row++) {
    const length = Math.floor(count / rows) + (row < count % rows ? 1 : 0);
    for (let column = 0; column < length; column++) {
      places.set(number++, { along: column - (length - 1) / 2, across: row - (rows - 1) / 2 });
    }
  }
  return places;
}

function departureFrom(
  order: readonly number[],
  fasteners: readonly number[],
  mayFollow: (number: number, done: readonly number[], left: readonly number[]) => boolean,
): Departure<number> | undefined {
  const left = new Set(fasteners);
  for (let index = 0; index < Math.max(order.length, fasteners.length); index++) {
    const found = order[index];
    const done = order.slice(0, index);
    const rest = [...left];
    if (found === undefined || !left.has(found) || !mayFollow(found, done, rest)) {
      return { index, found, wanted: rest.filter((number) => mayFollow(number, done, rest)) };
    }
    left.delete(found);
  }
  return undefined;
}

/** The numbers 1 to `count` as they follow one another round a circle or round two rows; empty if neither. */
function ringOf(count: number, rows: number | undefined): number[] {
  if (!isCount(count) || count > mostInCross || (rows !== undefined && rows !== 2)) return [];
  const numbers = Array.from({ length: count }, (_, index) => index + 1);
  if (rows === undefined) return numbers;
  const first = Math.ceil(count / 2);
  return [...numbers.slice(0, first), ...numbers.slice(first).reverse()];
}

/** Those of the positions left, counted from 0 round the circle, that may come next in a cross. */
function acceptedAcross(done: readonly number[], left: readonly number[], count: number): readonly number[] {
  const last = done.at(-1);
  if (last === undefined) return left;
  if (done.length % 2 === 1) return widest(left, (number) => apart(number, last, count));
  const pair = done.slice(-2);
  const away = left.filter((number) => pair.every((other) => apart(number, other, count) > 1));
  if (away.length > 0) return away;
  // Five or seven round a circle always have a neighbour among the last two: then at least not of the last one.
  const notBeside = left.filter((number) => apart(number, last, count) > 1);
  return count % 2 === 1 && notBeside.length > 0 ? notBeside : left;
}

function nextAcross(done: readonly number[], left: readonly number[], count: number): number {
  const pair = done.slice(-2);
  const last = done.slice(-1);
  const accepted = acceptedAcross(done, left, count);
  if (done.length % 2 === 1) return Math.min(...accepted);
  const nearest = (to: readonly number[]) => (number: number) =>
    Math.min(...to.map((other) => apart(number, other, count)));
  const inWidestGap = widest(accepted, nearest(done));
  const furthestFromPair = widest(inWidestGap, nearest(pair));
  return Math.min(...widest(furthestFromPair, (number) => Math.min(2, nearest(last)(number))));
}

/** Those for which the measure is largest. */
function widest(numbers: readonly number[], measure: (number: number) => number): number[] {
  const largest = Math.max(...numbers.map(measure));
  return numbers.filter((number) => measure(number) === largest);
}

/** Steps between two fasteners the short way round. */
function apart(a: number, b: number, count: number): number {
  const steps = Math.abs(a - b);
  return Math.min(steps, count - steps);
}

/** By distance along the rows, then across them. */
function compareDistance(a: RowPlace, b: RowPlace): number {
  return Math.abs(a.along) - Math.abs(b.along) || Math.abs(a.across) - Math.abs(b.across);
}

function placeKey(along: number, across: number): string {
  return `${along} ${across}`;
}

function liesInside(inner: RowPlace | undefined, outer: RowPlace | undefined): boolean {
  if (!inner || !outer) return false;
  const along = Math.abs(outer.along) - Math.abs(inner.along);
  const across = Math.abs(outer.across) - Math.abs(inner.across);
  return along >= 0 && across >= 0 && along + across > 0;
}

function isCount(value: number): boolean {
  return Number.isInteger(value) && value >= 1;
}
