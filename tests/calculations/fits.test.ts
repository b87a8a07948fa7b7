// Limits and fits against the rows of ISO 286 reprints and textbook examples.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fitOf, isoLimits, isRefusal, isToleranceClass } from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';
import { iso286TablesText } from './iso286-tables-text.ts';

function limits(size: number, toleranceClass: string) {
  const result = isoLimits(size, toleranceClass);
  if (isRefusal(result)) throw new Error(result.explanation);
  return result;
}

function deviations(size: number, toleranceClass: string) {
  const { upperDeviation, lowerDeviation } = limits(size, toleranceClass);
  return [upperDeviation, lowerDeviation];
}

function fitAt(size: number, hole: string, shaft: string) {
  return fitOf(limits(size, hole), limits(size, shaft));
}

function refusal(size: number, toleranceClass: string) {
  const result = isoLimits(size, toleranceClass);
  return isRefusal(result) ? result.refused : result;
}

test('the shipped tables are the check values (update with vitest -u)', async () => {
  await expect(iso286TablesText()).toMatchFileSnapshot('../../server/calculations/iso286-tables.ts');
});

describe('limit deviations, µm', () => {
  for (const row of readCheckValues('iso286_limits_check_rows.csv')) {
    test(`${row.size_mm} ${row.class} (${row.source})`, () => {
      expect(deviations(Number(row.size_mm), row.class!)).toEqual([
        Number(row.upper_um),
        Number(row.lower_um),
      ]);
    });
  }

  test('a grade of every step, against its formula within 15 %: the sanity test that the check values allow', () => {
    // Machine Drawing (Narayana et al.) and IS 919-1 A.3.2.1: k·i; the tables are rounded by rules of their own.
    const rows = readCheckValues('iso286_it_grades.csv').filter((row) => Number(row.grade!.slice(2)) >= 5);
    const off = rows.map((row) => {
      const limitsOfH = limits(Number(row.up_to_incl_mm), `H${row.grade!.slice(2)}`);
      return Math.abs(limitsOfH.upperDeviation / Number(row.formula_um) - 1);
    });
    expect(off).toHaveLength(182);
    expect(Math.max(...off)).toBeLessThan(0.16);
    expect(off.filter((share) => share < 0.05)).toHaveLength(169);
  });

  test('the values corrected by ISO 286-2:1988/Cor.1:2006 are the corrected ones', () => {
    expect(deviations(100, 'E8')).toEqual([126, 72]);
    expect(deviations(300, 'f9')).toEqual([-56, -186]);
    expect(deviations(25, 'R10')[0]).toBe(-28);
    expect(deviations(340, 'A13')[0]).toBe(2090);
  });

  test('the special case 280 M6 is -9/-41, where the rule would give -11 (isoFits)', () => {
    expect(deviations(280, 'M6')).toEqual([-9, -41]);
    expect(deviations(250, 'M6')).toEqual([-8, -37]);
  });

  test('exactly 50 mm belongs to the step 30 to 50 (ISO 286-1: "up to and including")', () => {
    expect(limits(50, 'H7').upperDeviation).toBe(25);
    expect(limits(50.001, 'H7').upperDeviation).toBe(30);
  });

  test('N above IT8 is 0 over 3 mm, and R10 has no delta (ISO 286-1 reprints)', () => {
    expect(deviations(30, 'N9')).toEqual([0, -52]);
    expect(deviations(2, 'N9')).toEqual([-4, -29]);
  });

  // IS 919-1 A.4: ES of a hole is the shaft's deviation turned over plus Δ = ITn − IT(n−1), for K, M, N up to IT8 and for
  // P to ZC up to IT7. Worked here by hand from IT2 2.5, IT3 4, IT6 13, IT7 21 and IT8 33 µm and k 2, m 8, n 15, p 22.
  test.each([
    ['K3', -2 + 1.5, 4],
    ['K7', -2 + 8, 21],
    ['K8', -2 + 12, 33],
    ['M7', -8 + 8, 21],
    ['M8', -8 + 12, 33],
    ['M9', -8, 52],
    ['N7', -15 + 8, 21],
    ['N8', -15 + 12, 33],
    ['N9', 0, 52],
    ['P7', -22 + 8, 21],
    ['P8', -22, 33],
  ])('25 %s begins at %d µm and is %d µm wide', (name, upper, width) => {
    expect(deviations(25, String(name))).toEqual([upper, Number(upper) - Number(width)]);
  });

  test('up to 3 mm a hole has no Δ: K, M and N are the shafts turned over', () => {
    expect(deviations(3, 'K8')).toEqual([0, -14]);
    expect(deviations(3, 'M8')).toEqual([-2, -16]);
    expect(deviations(3, 'N9')).toEqual([-4, -29]);
    expect(deviations(3, 'K9')).toEqual([0, -25]);
  });

  test('k outside grades 4 to 7 starts at 0', () => {
    expect(deviations(30, 'k8')).toEqual([33, 0]);
    expect(deviations(30, 'k3')).toEqual([4, 0]);
  });

  test('JS and js are exactly half the grade on each side', () => {
    expect(deviations(42, 'JS7')).toEqual([12.5, -12.5]);
    expect(deviations(42, 'js6')).toEqual([8, -8]);
  });

  test('holes A to H and shafts a to h mirror each other at every size and grade', () => {
    for (const row of readCheckValues('iso286_fundamental_deviations.csv')) {
      if (row.kind !== 'es') continue;
      for (let grade = 1; grade <= 18; grade++) {
        const size = Number(row.up_to_incl_mm);
        const shaft = limits(size, `${row.letter}${grade}`);
        const hole = limits(size, `${row.letter!.toUpperCase()}${grade}`);
        expect(hole.lowerDeviation + shaft.upperDeviation).toBe(0);
        expect(hole.upperDeviation + shaft.lowerDeviation).toBe(0);
      }
    }
  });

  test('limits in millimetres are clean decimals', () => {
    expect(limits(42, 'H8')).toMatchObject({ kind: 'hole', lower: 42, upper: 42.039 });
    expect(limits(67.5, 'g6')).toMatchObject({ kind: 'shaft', lower: 67.471, upper: 67.49 });
  });
});

describe('refusals', () => {
  test('undefined combinations are refused, not guessed (ISO 286-1 reprints)', () => {
    expect(refusal(24, 't6')).toBe('not-defined');
    expect(refusal(24.001, 't6')).toMatchObject({ kind: 'shaft' });
    expect(refusal(14, 'v6')).toBe('not-defined');
    expect(refusal(18, 'y7')).toBe('not-defined');
    expect(refusal(60, 'ef7')).toBe('not-defined');
    // Restrictions from memory: nothing coarser than IT13, no a, no N9 at 1 mm and below; no K9 over 3 mm.
    expect(refusal(1, 'H14')).toBe('not-defined');
    expect(refusal(1, 'a11')).toBe('not-defined');
    expect(refusal(1, 'N9')).toBe('not-defined');
    expect(refusal(10, 'K9')).toBe('not-defined');
    expect(refusal(10, 'P2')).toBe('not-defined');
  });

  test('sizes outside the tables', () => {
    for (const size of [500.001, 0, -10, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(refusal(size, 'H7')).toBe('size-not-covered');
    }
  });

  test('j and J, and ef where sources disagree, are not held', () => {
    expect(refusal(30, 'j6')).toBe('not-held');
    expect(refusal(30, 'J7')).toBe('not-held');
    expect(refusal(25, 'EF7')).toBe('not-held');
  });

  test('each says what is wrong', () => {
    const said = (size: number, name: string) => isoLimits(size, name);
    expect(said(30, 'H19')).toMatchObject({ explanation: 'H19 is not a tolerance class of ISO 286-1' });
    expect(said(501, 'H7')).toMatchObject({
      explanation: expect.stringMatching(/^ISO 286-1 is held here for sizes up to 500 mm, /),
    });
    expect(said(25, 'EF7')).toMatchObject({
      explanation: expect.stringMatching(/^EF7 at 25 mm is not among the tables he/),
    });
    expect(said(24, 't6')).toMatchObject({ explanation: 'ISO 286-1 gives no t6 at 24 mm' });
    expect(refusal(1, 'b11')).toBe('not-defined');
    expect(refusal(18, 'ef7')).toMatchObject({ kind: 'shaft' });
    expect(refusal(30, 'ef7')).toBe('not-held');
  });

  test('what is not a class', () => {
    for (const text of ['', 'H', '7', 'H19', 'I7', 'o6', 'Js7', 'jS7', 'H 7', 'H7/g6', 'cde7', 'H007']) {
      expect(refusal(30, text), text).toBe('not-a-class');
      expect(isToleranceClass(text), text).toBe(false);
    }
    for (const text of ['H7', 'js6', 'ZC11', 'h01', 'J8', 'g18'])
      expect(isToleranceClass(text), text).toBe(true);
  });
});

describe('fits', () => {
  test('50 H7/g6, 40 H7/p6, 25 H7/k6: extremes from the rows above', () => {
    expect(fitAt(50, 'H7', 'g6')).toEqual({
      kind: 'clearance',
      leastClearance: 0.009,
      greatestClearance: 0.05,
    });
    expect(fitAt(40, 'H7', 'p6')).toEqual({
      kind: 'interference',
      leastClearance: -0.042,
      greatestClearance: -0.001,
    });
    expect(fitAt(25, 'H7', 'k6')).toEqual({
      kind: 'transition',
      leastClearance: -0.015,
      greatestClearance: 0.019,
    });
  });

  test('20 H7/s6 and 50 H7/s6 (Bhandari ex. 3.2, 3.3)', () => {
    expect(fitAt(20, 'H7', 's6')).toMatchObject({ leastClearance: -0.048, greatestClearance: -0.014 });
    expect(fitAt(50, 'H7', 's6')).toMatchObject({ leastClearance: -0.059, greatestClearance: -0.018 });
  });

  test('50 H8/g7 (Jindal ex. 4-3)', () => {
    expect(fitAt(50, 'H8', 'g7')).toMatchObject({ leastClearance: 0.009, greatestClearance: 0.073 });
  });

  test.each([
    ['Sharma ex. 9.1', [37.5, 37.52], [37.45, 37.47], 'clearance', 0.03, 0.07],
    ['Sharma ex. 9.5', [30, 30.02], [29.982, 29.995], 'clearance', 0.005, 0.038],
    ['Sharma ex. 9.6', [25, 25.006], [24.986, 24.99], 'clearance', 0.01, 0.02],
    ['Sharma ex. 9.8', [100, 100.005], [99.994, 99.998], 'clearance', 0.002, 0.011],
    ['Sharma ex. 9.9', [100, 100.035], [100.085, 100.12], 'interference', -0.12, -0.05],
    ['Jindal ex. 4-4', [30, 30.025], [29.995, 30.011], 'transition', -0.011, 0.03],
    ['bore and piston, structure of Sharma 9.1', [65, 65.02], [64.95, 64.96], 'clearance', 0.04, 0.07],
  ] as const)('%s', (_source, hole, shaft, kind, leastClearance, greatestClearance) => {
    const result = fitOf({ lower: hole[0], upper: hole[1] }, { lower: shaft[0], upper: shaft[1] });
    expect(result).toEqual({ kind, leastClearance, greatestClearance });
  });

  test('H and h together are a clearance fit with nothing to spare', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 500, noNaN: true }), (size) => {
        expect(fitAt(size, 'H7', 'h6')).toMatchObject({ kind: 'clearance', leastClearance: 0 });
      }),
    );
  });

  test('bad limits give no fit', () => {
    expect(fitOf({ lower: 2, upper: 1 }, { lower: 0, upper: 1 })).toBeUndefined();
    expect(fitOf({ lower: 1, upper: Number.NaN }, { lower: 0, upper: 1 })).toBeUndefined();
  });
});
