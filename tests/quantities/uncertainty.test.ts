/** Uncertainty: the published end-gauge example, and what a tool's bias does in a difference. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  certain,
  difference,
  evenlySpread,
  expandedUncertainty,
  largest,
  meanOf,
  product,
  quotient,
  rangeOf,
  scaled,
  smallest,
  standardUncertainty,
  standardUncertaintyOf,
  sum,
  toolReading,
  uncertain,
  workedOut,
} from '../../server/quantities/index.ts';

const byBoreGauge = (value: number, reading: string) =>
  toolReading({ value, tool: 'BG1', reading, u: 0.0015, resolution: 0.002 });

describe('standard uncertainty', () => {
  it('comes from U and k', () => {
    expect(standardUncertaintyOf(0.003)).toBe(0.0015);
    expect(standardUncertaintyOf(0.003, 3)).toBe(0.001);
    expect(expandedUncertainty(uncertain(1, [['a', 0.0015]]))).toBe(0.003);
  });
  it('of an even spread of ± 0.05 is 0.0289 (JCGM 100:2008, H.1, delta theta)', () => {
    expect(evenlySpread(0.05)).toBeCloseTo(0.0288675, 7);
  });
  it('adds independent sources as squares, one source plainly', () => {
    const a = uncertain(10, [['a', 0.003]]);
    const b = uncertain(4, [['b', 0.004]]);
    expect(standardUncertainty(sum(a, b))).toBeCloseTo(0.005, 15);
    expect(standardUncertainty(difference(a, b))).toBeCloseTo(0.005, 15);
    expect(standardUncertainty(sum(a, a))).toBeCloseTo(0.006, 15);
    expect(standardUncertainty(difference(a, a))).toBe(0);
    expect(standardUncertainty(certain(5))).toBe(0);
  });
});

describe('the end gauge of JCGM 100:2008, H.1 (tests/checkvalues/gum_h1.csv)', () => {
  it('has a combined standard uncertainty of 31.7 nm, given as 32 nm', () => {
    const text = readFileSync(new URL('../checkvalues/gum_h1.csv', import.meta.url), 'utf8');
    const rows = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
    const contributions = rows.slice(1).map((line) => {
      const cells = line.split(',');
      return [cells[0] ?? '', Number(cells.at(-1))] as const;
    });
    expect(contributions).toHaveLength(9);
    expect(standardUncertainty(uncertain(50_000_838, contributions))).toBeCloseTo(31.664, 2);
  });
  it('worked out from its inputs and sensitivities', () => {
    const standard = uncertain(50_000_623, [['standard', 25]]);
    const measured = uncertain(215, [
      ['repeatability', 5.8],
      ['comparator, random', 3.9],
      ['comparator, systematic', 6.7],
    ]);
    const alpha = uncertain(0, [['difference of expansion', evenlySpread(1e-6)]]);
    const theta = uncertain(0, [['difference of temperature', evenlySpread(0.05)]]);
    const length = workedOut(standard.value + measured.value, [
      { x: standard, sensitivity: 1 },
      { x: measured, sensitivity: 1 },
      { x: alpha, sensitivity: 50_000_623 * 0.1 },
      { x: theta, sensitivity: -50_000_623 * 11.5e-6 },
    ]);
    expect(length.value).toBe(50_000_838);
    expect(standardUncertainty(length)).toBeCloseTo(31.66, 1);
    expect(Math.ceil(standardUncertainty(length))).toBe(32);
  });
});

describe('one tool', () => {
  it('has the stated uncertainty on each reading', () => {
    expect(standardUncertainty(byBoreGauge(67.53, '1'))).toBeCloseTo(0.0015, 15);
  });
  it('cancels its bias in a difference: only reading to the division is left', () => {
    const taper = difference(byBoreGauge(67.541, '1'), byBoreGauge(67.529, '2'));
    expect(taper.value).toBeCloseTo(0.012, 12);
    expect(standardUncertainty(taper)).toBeCloseTo(Math.SQRT2 * evenlySpread(0.001), 15);
    expect(standardUncertainty(taper)).toBeLessThan(0.0015);
  });
  it('does not cancel against another', () => {
    const piston = toolReading({ value: 67.43, tool: 'MC1', reading: '3', u: 0.002, resolution: 0.001 });
    const clearance = difference(byBoreGauge(67.53, '1'), piston);
    expect(standardUncertainty(clearance)).toBeCloseTo(Math.hypot(0.0015, 0.002), 15);
  });
  it('keeps its bias whole in a mean, while reading errors average out', () => {
    const mean = meanOf([1, 2, 3, 4].map((i) => byBoreGauge(67.53, `${i}`)));
    const own = evenlySpread(0.001);
    expect(standardUncertainty(mean ?? certain(0))).toBeCloseTo(
      Math.hypot(Math.sqrt(0.0015 ** 2 - own ** 2), own / 2),
      12,
    );
  });
  it('shares nothing when its resolution is not stated', () => {
    const reading = (name: string) =>
      toolReading({ value: 1, tool: 'X', reading: name, u: 0.003, resolution: undefined });
    expect(standardUncertainty(difference(reading('1'), reading('2')))).toBeCloseTo(0.003 * Math.SQRT2, 15);
  });
  it('with a resolution coarser than its uncertainty has no bias left', () => {
    const reading = (name: string) =>
      toolReading({ value: 1, tool: 'X', reading: name, u: 0.001, resolution: 0.1 });
    expect(standardUncertainty(reading('1'))).toBeCloseTo(0.001, 15);
    expect(standardUncertainty(difference(reading('1'), reading('2')))).toBeCloseTo(0.001 * Math.SQRT2, 15);
  });
  it('says nothing less sure of a range than of its two ends', () => {
    const readings = [67.532, 67.541, 67.529].map((value, i) => byBoreGauge(value, `${i}`));
    const range = rangeOf(readings);
    expect(range?.value).toBeCloseTo(0.012, 12);
    expect(largest(readings)?.value).toBe(67.541);
    expect(smallest(readings)?.value).toBe(67.529);
    expect([rangeOf([]), largest([]), smallest([]), meanOf([])]).toEqual([
      undefined,
      undefined,
      undefined,
      undefined,
    ]);
  });
});

describe('first order', () => {
  it('of products and quotients adds relative uncertainties of independent sources as squares', () => {
    const a = uncertain(20, [['a', 0.2]]);
    const b = uncertain(5, [['b', 0.1]]);
    const relative = Math.hypot(0.01, 0.02);
    expect(standardUncertainty(product(a, b))).toBeCloseTo(100 * relative, 12);
    const q = quotient(a, b);
    expect(q?.value).toBe(4);
    expect(standardUncertainty(q ?? certain(0))).toBeCloseTo(4 * relative, 12);
    expect(quotient(a, certain(0))).toBeUndefined();
    const ratio = quotient(a, a);
    expect(standardUncertainty(ratio ?? certain(1))).toBeCloseTo(0, 15);
  });

  it('agrees with trying it out: a thousand draws of a clearance', () => {
    // Shared bias and own errors drawn from a fixed sequence of normal deviates (Box and Muller).
    let state = 12345;
    const uniform = () => {
      state = (state * 1103515245 + 12345) % 2147483648;
      return (state + 0.5) / 2147483648;
    };
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const draws = Array.from({ length: 20_000 }, () => {
      const bias = 0.002 * normal();
      return 2 * (bias + 0.001 * normal()) - (bias + 0.001 * normal());
    });
    const mean = draws.reduce((a, b) => a + b, 0) / draws.length;
    const spread = Math.sqrt(draws.reduce((a, b) => a + (b - mean) ** 2, 0) / (draws.length - 1));
    const reading = (own: string) =>
      uncertain(0, [
        ['bias', 0.002],
        [own, 0.001],
      ]);
    const predicted = standardUncertainty(difference(scaled(reading('1'), 2), reading('2')));
    expect(Math.abs(spread / predicted - 1)).toBeLessThan(0.03);
  });

  const source = fc.tuple(fc.constantFrom('a', 'b', 'c'), fc.double({ min: 0, max: 1, noNaN: true }));
  const value = fc
    .tuple(fc.double({ min: -10, max: 10, noNaN: true }), fc.array(source, { maxLength: 4 }))
    .map(([x, sources]) => uncertain(x, sources));
  it('obeys the triangle inequality and cancels exactly', () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        const most = standardUncertainty(a) + standardUncertainty(b) + 1e-12;
        expect(standardUncertainty(sum(a, b))).toBeLessThanOrEqual(most);
        expect(standardUncertainty(difference(a, b))).toBeLessThanOrEqual(most);
        expect(standardUncertainty(difference(sum(a, b), b))).toBeCloseTo(standardUncertainty(a), 9);
      }),
    );
  });
});
