// Lines through readings against NIST's certified values and the GTC library's worked example.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  fitLine,
  fitLineThroughOrigin,
  isRefusal,
  type LineFit,
  type Point,
  predict,
  type Refusal,
  studentQuantile,
  whenReached,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

function points(file: string): Point[] {
  return readCheckValues(file).map((row) => ({ x: Number(row.x), y: Number(row.y) }));
}

function line(result: LineFit | Refusal): LineFit {
  if (isRefusal(result)) throw new Error(result.explanation);
  return result as LineFit;
}

function expectClose(actual: number | undefined, certified: number, relative: number) {
  expect(Math.abs(actual! / certified - 1)).toBeLessThan(relative);
}

test('Norris (NIST StRD)', () => {
  const fitted = line(fitLine(points('nist_strd_norris.csv')));
  expect(fitted.count).toBe(36);
  expectClose(fitted.intercept, -0.262323073774029, 1e-9);
  expectClose(fitted.slope, 1.00211681802045, 1e-12);
  expectClose(fitted.interceptDeviation, 0.232818234301152, 1e-9);
  expectClose(fitted.slopeDeviation, 0.429796848199937e-3, 1e-9);
  expectClose(fitted.residual, 0.884796396144373, 1e-9);
  expectClose(fitted.rSquared, 0.999993745883712, 1e-12);
});

describe('through the origin (NIST StRD)', () => {
  test.each([
    ['nist_strd_noint1.csv', 2.07438016528926, 0.165289256198347e-1, 3.56753034006338, 0.999365492298663],
    ['nist_strd_noint2.csv', 0.727272727272727, 0.420827318078432e-1, 0.369274472937998, 0.993348115299335],
  ])('%s', (file, slope, deviation, residual, rSquared) => {
    const fitted = line(fitLineThroughOrigin(points(file)));
    expectClose(fitted.slope, slope, 1e-12);
    expectClose(fitted.slopeDeviation, deviation, 1e-12);
    expectClose(fitted.residual, residual, 1e-12);
    expectClose(fitted.rSquared, rSquared, 1e-12);
  });

  test('with an intercept NoInt1 is 1 and 70, which is another line', () => {
    const fitted = line(fitLine(points('nist_strd_noint1.csv')));
    expect(fitted.slope).toBeCloseTo(1, 12);
    expect(fitted.intercept).toBeCloseTo(70, 10);
  });

  test('nothing, and nothing but the origin', () => {
    expect(fitLineThroughOrigin([])).toMatchObject({ refused: 'too-few' });
    expect(fitLineThroughOrigin([{ x: 0, y: 1 }])).toMatchObject({ refused: 'same-x' });
  });
});

describe('Walpole, as worked by the GTC library', () => {
  const fitted = line(fitLine(points('line_fit_walpole_gtc.csv')));

  test('slope and intercept with their standard uncertainties', () => {
    expectClose(fitted.slope, 0.903643210579323, 1e-11);
    expectClose(fitted.slopeDeviation, 0.050118973559182, 1e-11);
    expectClose(fitted.intercept, 3.82963319758869, 1e-11);
    expectClose(fitted.interceptDeviation, 1.768447327250652, 1e-11);
    expect(fitted.degreesOfFreedom).toBe(31);
  });

  test('the line and a single reading at 21.5', () => {
    const prediction = predict(fitted, 21.5);
    expectClose(prediction.value, 23.2579622250441, 1e-11);
    expectClose(prediction.lineDeviation, 0.821607058888506, 1e-11);
    expectClose(prediction.readingDeviation, 3.33240925795711, 1e-11);
    // t(31) by scipy: 2.039513446396408.
    expectClose(prediction.lineBand!.upper - prediction.value, 2.039513446396408 * 0.821607058888506, 1e-11);
    expectClose(
      prediction.value - prediction.readingBand!.lower,
      2.039513446396408 * 3.33240925795711,
      1e-11,
    );
  });

  test('inverse prediction from 31.4, 29.3, 27.1', () => {
    const crossing = whenReached(fitted, (31.4 + 29.3 + 27.1) / 3, { readings: 3 });
    if (isRefusal(crossing)) throw new Error(crossing.explanation);
    expectClose(crossing.x, 28.14942133275184, 1e-11);
    expectClose(crossing.deviation, 2.175140873342519, 1e-11);
    expect(crossing.interval!.lower).toBeLessThan(crossing.x);
    expect(crossing.interval!.upper).toBeGreaterThan(crossing.x);
  });

  test('the ends of the interval are where the band meets the value', () => {
    for (const readings of [undefined, 1]) {
      const crossing = whenReached(fitted, 60, { readings });
      if (isRefusal(crossing)) throw new Error(crossing.explanation);
      for (const [end, side] of [
        ['lower', 'upper'],
        ['upper', 'lower'],
      ] as const) {
        const at = predict(fitted, crossing.interval![end]);
        expect((readings ? at.readingBand : at.lineBand)![side]).toBeCloseTo(60, 9);
      }
    }
  });
});

describe('not enough to say', () => {
  test('two points: a slope, and no scatter rather than none at all', () => {
    const fitted = line(
      fitLine([
        { x: 100, y: 0.05 },
        { x: 300, y: 0.07 },
      ]),
    );
    expect(fitted.slope).toBeCloseTo(1e-4, 15);
    expect(fitted.residual).toBeUndefined();
    expect(fitted.slopeDeviation).toBeUndefined();
    expect(predict(fitted, 200)).toMatchObject({
      lineDeviation: undefined,
      lineBand: undefined,
      readingBand: undefined,
    });
    const crossing = whenReached(fitted, 0.08);
    expect(crossing).toMatchObject({ deviation: undefined, interval: undefined });
    expect((crossing as { x: number }).x).toBeCloseTo(400, 9);
  });

  test('refusals', () => {
    expect(fitLine([])).toMatchObject({
      refused: 'too-few',
      explanation: 'a line needs two readings at least',
    });
    const one = { x: 1, y: 1 };
    for (const wrong of [
      { x: Number.NaN, y: 1 },
      { x: 2, y: Number.POSITIVE_INFINITY },
    ])
      for (const fit of [fitLine, fitLineThroughOrigin])
        expect(fit([one, wrong])).toMatchObject({
          refused: 'not-finite',
          explanation: 'a reading is not a number',
        });
    for (const fit of [fitLine, fitLineThroughOrigin])
      expect(fit([one, { x: 1e200, y: 1e200 }])).toMatchObject({
        refused: 'not-finite',
        explanation: 'the readings are too large to work with',
      });
    expect(fitLine([one, { x: 1, y: 2 }])).toMatchObject({
      explanation: 'the readings all lie at one place, so nothing shows how they change',
    });
    expect(fitLineThroughOrigin([])).toMatchObject({
      explanation: 'a line through the origin needs a reading',
    });
    expect(fitLineThroughOrigin([{ x: 0, y: 1 }])).toMatchObject({
      explanation: 'the readings all lie at the origin',
    });
    expect(fitLine([{ x: 1, y: 1 }])).toMatchObject({ refused: 'too-few' });
    expect(
      fitLine([
        { x: 0.1, y: 1 },
        { x: 0.1, y: 2 },
        { x: 0.1, y: 3 },
      ]),
    ).toMatchObject({ refused: 'same-x' });
    expect(
      fitLine([
        { x: 1, y: Number.NaN },
        { x: 2, y: 1 },
      ]),
    ).toMatchObject({ refused: 'not-finite' });
    expect(
      fitLine([
        { x: 1e200, y: 1 },
        { x: -1e200, y: 1 },
      ]),
    ).not.toHaveProperty('slope');
  });

  test('a level line never gets there, and a doubtful slope has no finite interval', () => {
    const level = [1, 2, 3].map((x) => ({ x, y: 5 }));
    expect(whenReached(line(fitLine(level)), 6)).toMatchObject({ refused: 'no-slope' });
    expect(line(fitLine(level)).rSquared).toBeUndefined();
    const doubtful = line(
      fitLine([
        { x: 1, y: 1 },
        { x: 2, y: 0 },
        { x: 3, y: 2 },
        { x: 4, y: 1 },
      ]),
    );
    expect(whenReached(doubtful, 10)).toMatchObject({ interval: undefined });
  });
});

describe("Student's t", () => {
  for (const row of readCheckValues('t_table_40cfr1065_602.csv')) {
    test(`${row.dof} degrees of freedom (40 CFR 1065.602 table 1; scipy)`, () => {
      const [t90, t95] = [studentQuantile(Number(row.dof), 0.9)!, studentQuantile(Number(row.dof), 0.95)!];
      expect(Math.abs(t90 - Number(row.scipy_t90))).toBeLessThan(1e-6);
      expect(Math.abs(t95 - Number(row.scipy_t95))).toBeLessThan(1e-6);
      expect(Math.abs(t95 - Number(row.t95))).toBeLessThan(6e-4);
    });
  }

  test.each([
    [1, 0.95, 12.706204736174694],
    [2, 0.99, 9.924843200918287],
    [31, 0.95, 2.039513446396408],
    [31, 0.99, 2.744041919294269],
    [1000, 0.99, 2.580754698065951],
  ])('%d degrees of freedom, %d (scipy 1.17)', (dof, confidence, t) => {
    expectClose(studentQuantile(dof, confidence), t, 1e-11);
  });

  test('99 % at 16.75 degrees of freedom is 2.92, as for 16 (GUM H.1, TN 1297)', () => {
    expect(studentQuantile(16.75, 0.99)).toBeCloseTo(2.92, 2);
    expect(studentQuantile(16.75, 0.99)).toBe(studentQuantile(16, 0.99));
  });

  test('no degrees of freedom, no share', () => {
    for (const [dof, share] of [
      [0, 0.95],
      [0.9, 0.95],
      [Number.NaN, 0.95],
      [5, 0],
      [5, 1],
      [5, Number.NaN],
    ] as const) {
      expect(studentQuantile(dof, share)).toBeUndefined();
    }
    expect(studentQuantile(Number.POSITIVE_INFINITY, 0.95)).toBeCloseTo(1.959966, 5);
  });
});

test('a line fitted to points of a line is that line, wherever it lies', () => {
  const number = fc.integer({ min: -1000, max: 1000 });
  const xs = fc.uniqueArray(number, { minLength: 3, maxLength: 12 });
  fc.assert(
    fc.property(number, number, xs, (slope, intercept, values) => {
      const fitted = line(fitLine(values.map((x) => ({ x, y: intercept + slope * x }))));
      expect(fitted.slope).toBeCloseTo(slope, 6);
      expect(fitted.residual).toBeLessThan(1e-6);
    }),
  );
});
