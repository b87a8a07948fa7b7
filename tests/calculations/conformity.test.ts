// Verdicts on limits, test uncertainty ratio, wear allowance.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge, testUncertaintyRatio, wearUsed, whereIn } from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

describe('ISO 14253-1', () => {
  const limits = { lower: 30, upper: 30.013 };

  // Secondary text of ISO 14253-1 with the 1998 guard of U = 2u; numbers worked out from it.
  test.each([
    [30.001, 'not-proved'],
    [30.002, 'conforms'],
    [30.003, 'conforms'],
    [30.012, 'not-proved'],
    [30.015, 'not-proved'],
    [30.016, 'does-not-conform'],
    [29.998, 'not-proved'],
    [29.997, 'does-not-conform'],
  ])('limits 30.000 to 30.013, U 0.002: %d %s', (value, verdict) => {
    expect(judge(value, limits, { standardUncertainty: 0.001, guard: 2 })?.verdict).toBe(verdict);
  });

  test('the guard is 1.65 u unless set', () => {
    expect(judge(30.0016, limits, { standardUncertainty: 0.001 })?.verdict).toBe('not-proved');
    expect(judge(30.0017, limits, { standardUncertainty: 0.001 })?.verdict).toBe('conforms');
  });

  test('the margin says which limit and how far', () => {
    const past = judge(0.132, { upper: 0.12 });
    expect(past).toMatchObject({ verdict: 'does-not-conform', limit: 'upper' });
    expect(past?.margin).toBeCloseTo(-0.012, 12);
    expect(judge(30.001, limits)).toMatchObject({ verdict: 'conforms', limit: 'lower' });
    expect(judge(5, {})).toMatchObject({ verdict: 'conforms', limit: undefined });
  });

  test('a value on the limit conforms, whatever binary makes of it', () => {
    expect(judge(67.541 - 67.527, { upper: 0.014 })?.verdict).toBe('conforms');
    expect(judge(0.1 + 0.2, { lower: 0, upper: 0.3 })?.verdict).toBe('conforms');
  });

  test('numbers that are not finite give no verdict; an uncertainty that is no number is none', () => {
    expect(judge(Number.NaN, limits)).toBeUndefined();
    expect(judge(1, { upper: Number.POSITIVE_INFINITY })).toBeUndefined();
    for (const standardUncertainty of [Number.NaN, -1, Number.POSITIVE_INFINITY, undefined]) {
      expect(judge(30.001, limits, { standardUncertainty })?.verdict).toBe('conforms');
    }
  });

  test('more uncertainty never turns a doubt into a verdict', () => {
    const number = fc.double({ min: -100, max: 100, noNaN: true });
    const positive = fc.double({ min: 0, max: 10, noNaN: true });
    fc.assert(
      fc.property(number, positive, positive, positive, (value, width, u, more) => {
        const range = { lower: 0, upper: width };
        if (judge(value, range, { standardUncertainty: u })?.verdict !== 'not-proved') return;
        expect(judge(value, range, { standardUncertainty: u + more })?.verdict).toBe('not-proved');
      }),
    );
  });
});

describe('recommended torques of AC 43.13-1B, Table 7-1, in·lbf', () => {
  const row = readCheckValues('ac43_13_1b_table7_1.csv').find((each) => each.size_tpi === '1/4-28')!;
  const recommended = {
    lower: Number(row.tension_nut_rec_min_inlb),
    upper: Number(row.tension_nut_rec_max_inlb),
  };

  test('1/4-28 tension nut: 60 inside, 75 outside, 101 over the maximum of 100', () => {
    expect(whereIn(60, recommended)).toBe('within');
    expect(whereIn(75, recommended)).toBe('above');
    expect(whereIn(101, { upper: Number(row.tension_max_inlb) })).toBe('above');
    expect(whereIn(100, { upper: Number(row.tension_max_inlb) })).toBe('within');
  });
});

describe('test uncertainty ratio', () => {
  test('20 ± 1 N·m with a ± 4 % wrench is 1.25 (ANSI/NCSL Z540.3 definition)', () => {
    expect(testUncertaintyRatio({ lower: 19, upper: 21 }, 0.8)).toBeCloseTo(1.25, 12);
  });

  test('not for no width and no uncertainty', () => {
    expect(testUncertaintyRatio({ lower: 1, upper: 1 }, 0.1)).toBeUndefined();
    expect(testUncertaintyRatio({ lower: 1, upper: 2 }, 0)).toBeUndefined();
    expect(testUncertaintyRatio({ lower: 1, upper: 2 }, Number.NaN)).toBeUndefined();
  });
});

describe('wear allowance used (common practice)', () => {
  test('run-out new to 0.05, wear to 0.08: 0.065 has used half', () => {
    expect(wearUsed(0.065, { lower: 0, upper: 0.05 }, { upper: 0.08 })).toBeCloseTo(0.5, 12);
    expect(wearUsed(0.04, { lower: 0, upper: 0.05 }, { upper: 0.08 })).toBe(0);
    expect(wearUsed(0.095, { lower: 0, upper: 0.05 }, { upper: 0.08 })).toBeCloseTo(1.5, 12);
  });

  test('a skirt wears smaller', () => {
    expect(wearUsed(67.415, { lower: 67.425, upper: 67.44 }, { lower: 67.405 })).toBeCloseTo(0.5, 9);
  });

  test('of two sides the worse; of none, nothing', () => {
    expect(wearUsed(8, { lower: 4, upper: 6 }, { lower: 0, upper: 10 })).toBe(0.5);
    expect(wearUsed(1, { lower: 4, upper: 6 }, { lower: 0, upper: 10 })).toBe(0.75);
    expect(wearUsed(1, { upper: 6 }, { lower: 0 })).toBeUndefined();
    expect(wearUsed(1, { upper: 6 }, { upper: 6 })).toBeUndefined();
    expect(wearUsed(Number.NaN, { upper: 6 }, { upper: 8 })).toBeUndefined();
  });
});
