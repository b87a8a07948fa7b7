// Tightening orders.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  centreOutOrder,
  crossOrder,
  departureFromCentreOut,
  departureFromCross,
  firstDeparture,
  rowPlaces,
} from '../../server/calculations/index.ts';

function order(text: string): number[] {
  return text.split(' ').map(Number);
}

describe('a listed order', () => {
  test('the first place at which it is left', () => {
    const listed = order('5 6 4 7 3 8 2 9 1 10');
    expect(firstDeparture(listed, listed)).toBeUndefined();
    expect(firstDeparture(order('5 6 7 4 3 8 2 9 1 10'), listed)).toEqual({
      index: 2,
      found: 7,
      wanted: [4],
    });
    expect(firstDeparture(order('5 6 4'), listed)).toEqual({ index: 3, found: undefined, wanted: [7] });
    expect(firstDeparture(order('1 2 3'), order('1 2'))).toEqual({ index: 2, found: 3, wanted: [] });
    expect(firstDeparture(['front/1', 'rear/1'], ['front/1', 'front/2'])).toMatchObject({ index: 1 });
  });
});

describe('cross', () => {
  // Common practice; 8, 12 and 16 as the legacy order of flange bolting guides (from memory).
  test.each([
    '1 2 3',
    '1 3 2 4',
    '1 3 5 2 4',
    '1 4 2 5 3 6',
    '1 5 3 7 2 6 4 8',
    '1 7 4 10 2 8 5 11 3 9 6 12',
    '1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16',
  ])('%s', (text) => {
    expect(crossOrder(order(text).length)).toEqual(order(text));
  });

  test('each fastener once, pairs opposite, for every count', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), (count) => {
        const crossed = crossOrder(count);
        expect(new Set(crossed)).toEqual(new Set(Array.from({ length: count }, (_, i) => i + 1)));
        expect(crossed).toHaveLength(count);
        expect(departureFromCross(crossed, count)).toBeUndefined();
        if (count % 2 === 1) return;
        for (let i = 0; i < count; i += 2) expect(Math.abs(crossed[i + 1]! - crossed[i]!)).toBe(count / 2);
      }),
    );
  });

  test('from 8 on, no pair follows its neighbour while another is left', () => {
    for (let count = 8; count <= 40; count += 2) {
      const crossed = crossOrder(count);
      const half = count / 2;
      const axes = crossed.filter((_, i) => i % 2 === 0).map((number) => number % half);
      const besides = axes.slice(1).filter((axis, i) => {
        const steps = Math.abs(axis - axes[i]!);
        return Math.min(steps, half - steps) === 1;
      });
      expect(besides.length, `${count}`).toBeLessThanOrEqual(1);
    }
  });

  test('may start anywhere and run either way round', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 24 }), fc.nat(), fc.boolean(), (count, shift, turned) => {
        const moved = crossOrder(count).map((number) => {
          const from = turned ? count - number : number - 1;
          return ((from + shift) % count) + 1;
        });
        expect(departureFromCross(moved, count)).toBeUndefined();
      }),
    );
  });

  test.each(['1 4 3 6 2 5', '1 4 6 3 5 2', '4 1 5 2 6 3'])('another cross of six: %s', (text) => {
    expect(departureFromCross(order(text), 6)).toBeUndefined();
  });

  test.each([
    ['round the circle', 6, '1 2 3 4 5 6', 1, [4]],
    ['not opposite', 6, '1 4 2 6 3 5', 3, [5]],
    ['pairs creeping round', 8, '1 5 2 6 3 7 4 8', 2, [3, 7]],
    ['one left out', 6, '1 4 2 5 3', 5, [6]],
    ['one twice', 6, '1 4 1 5 3 6', 2, [2, 3, 5, 6]],
    ['one too many', 6, '1 4 2 5 3 6 1', 6, []],
    ['two side by side', 5, '1 3 2 4 5', 2, [5]],
  ])('%s, of %d: %s', (_what, count, text, index, wanted) => {
    expect(departureFromCross(order(text), count)).toMatchObject({ index, wanted });
  });

  test('in two rows the circle goes round both: four corners diagonally', () => {
    expect(crossOrder(4, 2)).toEqual([1, 4, 2, 3]);
    expect(crossOrder(6, 2)).toEqual([1, 6, 2, 5, 3, 4]);
    expect(departureFromCross([2, 3, 4, 1], 4, 2)).toBeUndefined();
    expect(departureFromCross([1, 3, 2, 4], 4, 2)).toEqual({ index: 1, found: 3, wanted: [4] });
  });

  test('counts that make no circle have no cross', () => {
    for (const count of [0, -1, 2.5, Number.NaN, 361]) {
      expect(crossOrder(count)).toEqual([]);
      expect(departureFromCross([1], count)).toBeUndefined();
    }
    expect(crossOrder(6, 3)).toEqual([]);
  });
});

describe('centre out', () => {
  test.each([
    [10, 1, '5 6 4 7 3 8 2 9 1 10'],
    [10, 2, '3 8 2 9 4 7 1 10 5 6'],
    [8, 2, '2 7 3 6 1 8 4 5'],
    [5, 1, '3 2 4 1 5'],
    [9, 3, '5 2 8 4 6 1 9 3 7'],
  ])('%d in %d rows: %s (common practice)', (count, rows, text) => {
    expect(centreOutOrder(count, rows)).toEqual(order(text));
  });

  test('each fastener once, outwards, for every count', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 5 }), (count, rows) => {
        fc.pre(rows <= count);
        const outwards = centreOutOrder(count, rows);
        expect(new Set(outwards).size).toBe(count);
        expect(departureFromCentreOut(outwards, count, rows)).toBeUndefined();
      }),
    );
  });

  test.each([
    [10, 1, '5 6 7 4 3 8 9 2 1 10'],
    [10, 1, '6 5 7 4 8 3 9 2 10 1'],
    [10, 2, '8 3 7 4 9 2 6 5 10 1'],
  ])('%d in %d rows, as good: %s', (count, rows, text) => {
    expect(departureFromCentreOut(order(text), count, rows)).toBeUndefined();
  });

  test('along one row, and from the ends in', () => {
    expect(departureFromCentreOut(order('3 2 8 4 7 9 1 10 5 6'), 10, 2)).toEqual({
      index: 1,
      found: 2,
      wanted: [8],
    });
    expect(departureFromCentreOut(order('1 2 3 4'), 4, 1)).toEqual({ index: 0, found: 1, wanted: [2, 3] });
    expect(departureFromCentreOut(order('2 3 1'), 4, 1)).toEqual({ index: 3, found: undefined, wanted: [4] });
  });

  test('rows that do not come out even share a middle line', () => {
    const places = rowPlaces(7, 2);
    expect([...places.values()].filter(({ across }) => across < 0)).toHaveLength(4);
    expect(places.get(6)).toEqual({ along: 0, across: 0.5 });
    expect(centreOutOrder(7, 2)[0]).toBe(6);
  });

  test('counts that make no rows', () => {
    for (const [count, rows] of [
      [0, 1],
      [4, 0],
      [2, 3],
      [2.5, 1],
      [4, Number.NaN],
    ] as const) {
      expect(centreOutOrder(count, rows)).toEqual([]);
      expect(departureFromCentreOut([1], count, rows)).toBeUndefined();
    }
  });
});
