// Size and form from readings.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  isRefusal,
  maximum,
  mean,
  minimum,
  outOfRound,
  type PlacedReading,
  range,
  taper,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

/** The bore of language.md: three sections, two directions. */
const bore = readings({
  'top/thrust': 67.532,
  'top/pin': 67.528,
  'middle/thrust': 67.541,
  'middle/pin': 67.533,
  'bottom/thrust': 67.529,
  'bottom/pin': 67.527,
});

function readings(values: Record<string, number>): PlacedReading[] {
  return Object.entries(values).map(([place, value]) => ({ place, value }));
}

describe('least, greatest, mean, range', () => {
  test('mean of 10.60 11.91 11.09 is 11.20 (40 CFR 1065.602)', () => {
    const row = readCheckValues('cfr40_1065_602_examples.csv').find((each) => each.quantity === 'mean')!;
    expect(mean(row.inputs!.split(' ').map(Number))).toBeCloseTo(Number(row.calc), 12);
  });

  test.each(['TP1', 'TP15'])('mean preload %s (Shigley tables 8-14 and 8-13)', (id) => {
    const row = readCheckValues('torque_preload_examples.csv').find((each) => each.id === id)!;
    expect(mean(row.inputs!.split(': ')[1]!.split(' ').map(Number))).toBeCloseTo(Number(row.calc), 10);
  });

  test('full indicator movement of 0, +.003, -.002, +.003 is .005, not .003 (TM 5-3810-305-23)', () => {
    expect(range([0, 0.003, -0.002, 0.003])).toBe(0.005);
  });

  test('differences carry no binary noise', () => {
    expect(range([67.541, 67.527])).toBe(0.014);
    expect(range([-1e-6, 2e-6])).toBe(3e-6);
  });

  test('nothing, or something not finite, gives no number', () => {
    for (const of of [minimum, maximum, mean, range]) {
      expect(of([])).toBeUndefined();
      expect(of([1, Number.NaN])).toBeUndefined();
      expect(of([1, Number.POSITIVE_INFINITY])).toBeUndefined();
    }
  });

  test('least ≤ mean ≤ greatest', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 1 }), (values) => {
        const slack = 1e-9;
        expect(minimum(values)! - slack).toBeLessThanOrEqual(mean(values)!);
        expect(mean(values)!).toBeLessThanOrEqual(maximum(values)! + slack);
      }),
    );
  });
});

describe('out-of-round', () => {
  test('the largest over the sections, across the directions', () => {
    expect(outOfRound(bore)).toEqual({
      value: 0.008,
      where: 'middle',
      greatest: { place: 'middle/thrust', value: 67.541 },
      least: { place: 'middle/pin', value: 67.533 },
      missing: [],
    });
  });

  test('heights 65.002/65.006, 65.004/65.005, 65.012/65.010 give .004, .001, .002 (trade practice)', () => {
    const values = {
      'top/x': 65.002,
      'top/y': 65.006,
      'mid/x': 65.004,
      'mid/y': 65.005,
      'low/x': 65.012,
      'low/y': 65.01,
    };
    const each = (section: string) =>
      outOfRound(readings(values).filter(({ place }) => place.startsWith(section)));
    expect([each('top'), each('mid'), each('low')]).toMatchObject([
      { value: 0.004 },
      { value: 0.001 },
      { value: 0.002 },
    ]);
    expect(outOfRound(readings(values))).toMatchObject({ value: 0.004, where: 'top' });
    // The check values take the taper of the means (.007); the language takes it along each direction.
    expect(taper(readings(values))).toMatchObject({ value: 0.01, where: 'x' });
  });

  test('a missing cell is named, and only worked round when asked', () => {
    const some = bore.filter(({ place }) => place !== 'middle/pin');
    expect(outOfRound(some)).toMatchObject({
      refused: 'readings-missing',
      missing: ['middle/pin'],
      explanation: 'no reading at middle/pin',
    });
    expect(outOfRound(some, { partial: true })).toMatchObject({
      value: 0.004,
      where: 'top',
      missing: ['middle/pin'],
    });
    const notFinite = bore.map((reading) =>
      reading.place === 'top/pin' ? { ...reading, value: Number.NaN } : reading,
    );
    expect(outOfRound(notFinite)).toMatchObject({ refused: 'readings-missing', missing: ['top/pin'] });
  });

  test('what the limit asks for is missing though nobody measured there', () => {
    const expected = [...bore.map(({ place }) => place), 'skirt/thrust', 'skirt/pin'];
    expect(outOfRound(bore, { expected })).toMatchObject({ missing: ['skirt/thrust', 'skirt/pin'] });
  });

  test('places without a direction say nothing of roundness', () => {
    expect(outOfRound(readings({ top: 10, bottom: 10.1 }))).toMatchObject({ refused: 'too-few-places' });
    expect(outOfRound([])).toMatchObject({
      refused: 'too-few-places',
      explanation: 'no section has readings in two directions',
    });
    expect(taper(readings({ 'top/pin': 10, 'top/thrust': 10.1 }))).toMatchObject({
      refused: 'too-few-places',
      explanation: 'no direction has readings in two sections',
    });
    expect(
      outOfRound(readings({ 'top/pin': 10, 'middle/thrust': 10.1 }), {
        expected: ['top/pin', 'top/thrust', 'middle/pin', 'middle/thrust'],
      }),
    ).toMatchObject({ explanation: 'no reading at top/thrust, middle/pin' });
  });

  test('repeats of one place are not two directions', () => {
    const twice = [
      { place: 'top/x', value: 1 },
      { place: 'top/x', value: 2 },
    ];
    expect(outOfRound(twice)).toMatchObject({ refused: 'too-few-places' });
  });
});

describe('taper', () => {
  test('the largest over the directions, along the sections', () => {
    expect(taper(bore)).toMatchObject({ value: 0.012, where: 'thrust' });
    expect(taper(bore)).toMatchObject({
      greatest: { place: 'middle/thrust' },
      least: { place: 'bottom/thrust' },
    });
  });

  test('sections alone make one direction', () => {
    expect(taper(readings({ top: 10, bottom: 10.1 }))).toMatchObject({ value: 0.1, where: '' });
  });
});

test('taper and out-of-round never exceed the range, whatever the grid', () => {
  const grid = fc
    .tuple(fc.integer({ min: 2, max: 5 }), fc.integer({ min: 2, max: 4 }))
    .chain(([sections, directions]) =>
      fc
        .array(fc.integer({ min: 67_000, max: 68_000 }), {
          minLength: sections * directions,
          maxLength: sections * directions,
        })
        .map((values) =>
          values.map((value, i) => ({
            place: `s${i % sections}/d${Math.floor(i / sections)}`,
            value: value / 1000,
          })),
        ),
    );
  fc.assert(
    fc.property(grid, (cells) => {
      const whole = range(cells.map(({ value }) => value))!;
      for (const result of [taper(cells), outOfRound(cells)]) {
        if (isRefusal(result)) throw new Error(result.explanation);
        expect(result.value).toBeLessThanOrEqual(whole);
      }
    }),
  );
});
