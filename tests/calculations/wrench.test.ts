// The torque wrench with adapters and prevailing torque.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  standardWrenchAccuracy,
  testUncertaintyRatio,
  torqueAtFastener,
  trustedScale,
  whereIn,
  withDrag,
  wrenchReading,
  wrenchScatter,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

const straight = { wrenchLength: 12, adapterLength: 4, angle: 0 };

describe('adapters', () => {
  for (const row of readCheckValues('crowfoot_examples.csv')) {
    test(`${row.id}: ${row.source}`, () => {
      const adapter = {
        wrenchLength: Number(row.L),
        adapterLength: Number(row.E),
        angle: Number(row.angle_deg),
      };
      const digits = row.calc_T_wrench!.split('.')[1]!.length;
      expect(wrenchReading(Number(row.T_applied), adapter)).toBeCloseTo(Number(row.calc_T_wrench), digits);
      expect(torqueAtFastener(Number(row.calc_T_wrench), adapter)).toBeCloseTo(Number(row.T_applied), 0);
    });
  }

  test('40 lbf·ft, 12 and 4 is 30 (TM 9-2350-277-40&P)', () => {
    expect(wrenchReading(40, straight)).toBe(30);
  });

  test('turned right back it shortens the wrench: 60 (TM 1-1500-204-23-9, L − E)', () => {
    expect(wrenchReading(40, { ...straight, angle: 180 })).toBe(60);
  });

  test('at a right angle nothing changes, to the last digit (TM 9-2350-277-20-2)', () => {
    for (const angle of [90, -90, 270]) expect(wrenchReading(40, { ...straight, angle })).toBe(40);
  });

  test('nor with a long adapter, where the cosine of a right angle is not quite nothing', () => {
    const long = { wrenchLength: 1, adapterLength: 1e6 };
    for (const angle of [90, -90, 270, -270, 450])
      expect(wrenchReading(40, { ...long, angle }), `${angle}`).toBe(40);
  });

  test('an adapter of no length changes nothing; a wrench of none and one that reaches back to the hand are refused', () => {
    expect(wrenchReading(40, { wrenchLength: 12, adapterLength: 0, angle: 0 })).toBe(40);
    const refused = {
      refused: 'impossible-adapter',
      explanation: 'the wrench needs a length, and the adapter may not reach back to the hand',
    };
    expect(wrenchReading(40, { wrenchLength: -12, adapterLength: 4, angle: 180 })).toMatchObject(refused);
    expect(wrenchReading(40, { wrenchLength: 0, adapterLength: 4, angle: 0 })).toMatchObject(refused);
    expect(wrenchReading(40, { wrenchLength: 4, adapterLength: 4, angle: 180 })).toMatchObject(refused);
  });

  test('at 45 degrees the projected length counts: 32.370 (NAVEDTRA 14315)', () => {
    expect(wrenchReading(40, { ...straight, angle: 45 })).toBeCloseTo(32.37, 3);
  });

  test('lengths may be in any one unit: 12 in and 101.6 mm', () => {
    const inMillimetres = { wrenchLength: 12 * 25.4, adapterLength: 101.6, angle: 0 };
    expect(wrenchReading(40, inMillimetres)).toBeCloseTo(30, 12);
  });

  test('the further round the adapter, the more the wrench must read', () => {
    const angle = fc.integer({ min: 0, max: 179 });
    const length = fc.integer({ min: 1, max: 1000 });
    fc.assert(
      fc.property(angle, length, length, (degrees, wrenchLength, adapterLength) => {
        fc.pre(adapterLength < wrenchLength);
        const at = (turned: number) =>
          wrenchReading(40, { wrenchLength, adapterLength, angle: turned }) as number;
        expect(at(degrees + 1)).toBeGreaterThan(at(degrees));
      }),
    );
  });

  test('there and back again', () => {
    const positive = fc.double({ min: 0.1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(
        positive,
        positive,
        fc.double({ min: 0, max: 85, noNaN: true }),
        positive,
        (torque, length, angle, drag) => {
          const adapter = { wrenchLength: length, adapterLength: length / 2, angle };
          const reading = wrenchReading(torque, adapter, drag) as number;
          expect(torqueAtFastener(reading, adapter, drag)).toBeCloseTo(torque, 8);
        },
      ),
    );
  });

  test('an adapter that reaches back to the hand is refused, as are lengths of nothing', () => {
    for (const wrong of [
      { wrenchLength: 12, adapterLength: 12, angle: 180 },
      { wrenchLength: 0, adapterLength: 4, angle: 0 },
      { wrenchLength: 12, adapterLength: -4, angle: 0 },
      { wrenchLength: Number.NaN, adapterLength: 4, angle: 0 },
      { wrenchLength: 12, adapterLength: 4, angle: Number.NaN },
    ]) {
      expect(wrenchReading(40, wrong)).toMatchObject({ refused: 'impossible-adapter' });
      expect(torqueAtFastener(40, wrong)).toMatchObject({ refused: 'impossible-adapter' });
    }
  });
});

describe('prevailing torque (rule: AC 43.13-1B, 7-40; numbers worked out)', () => {
  test('1/4-28, wanted 60, drag 6: the wrench reads 66', () => {
    expect(wrenchReading(60, undefined, 6)).toBe(66);
    expect(torqueAtFastener(66, undefined, 6)).toBe(60);
  });

  test('a castle nut of 50 to 70 with drag 6 may stand anywhere from 56 to 76', () => {
    expect(withDrag({ lower: 50, upper: 70 }, 6)).toEqual({ lower: 56, upper: 76 });
  });
});

describe('range and accuracy', () => {
  test('8 N·m is below a wrench of 10 to 60 N·m; 10 N·m is 20 % of 50 and allowed (TM 1-1500-204-23-9)', () => {
    expect(whereIn(8, { lower: 10, upper: 60 })).toBe('below');
    expect(whereIn(10, trustedScale(50))).toBe('within');
    expect(whereIn(9.99, trustedScale(50))).toBe('below');
    expect(whereIn(51, trustedScale(50))).toBe('above');
    expect(whereIn(Number.NaN, trustedScale(50))).toBeUndefined();
  });

  test('20 ± 1 N·m with a ± 4 % wrench: ratio 1.25, short of 4', () => {
    const limits = { lower: 19, upper: 21 };
    const scatter = wrenchScatter(20, 4, limits)!;
    expect(scatter).toMatchObject({ lower: 19.2, upper: 20.8, inside: true });
    expect(scatter.ratio).toBeCloseTo(1.25, 12);
    expect(scatter.ratio).toBeCloseTo(testUncertaintyRatio(limits, 0.8)!, 12);
    expect(wrenchScatter(20.5, 4, limits)?.inside).toBe(false);
    expect(wrenchScatter(20, 0, limits)?.ratio).toBeUndefined();
    expect(wrenchScatter(20, -1, limits)).toBeUndefined();
    expect(wrenchScatter(20, Number.NaN, limits)).toBeUndefined();
  });

  test('a click wrench is good to 6 % up to 10 N·m and 4 % above (ISO 6789:2003 reprint)', () => {
    expect([standardWrenchAccuracy(10), standardWrenchAccuracy(60)]).toEqual([6, 4]);
  });
});
