// Torque and preload against Shigley, Wentzell and VDI 2230.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  assemblyPreload,
  evenFriction,
  isRefusal,
  judgeYield,
  lubricantNamed,
  lubricantNames,
  parseThread,
  preloadForTorque,
  preloadRange,
  preloadRatio,
  strengthOf,
  tighteningGeometry,
  tighteningStress,
  torqueForPreload,
  torqueForPreloadVdi,
  torqueFromNutFactor,
  turnOfNut,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

// Exact: inch and pound-force in mm and N.
const inch = 25.4;
const pound = 4.4482216152605;
/** in·lbf in N·m. */
const inchPound = (inch * pound) / 1000;
const footPound = 12 * inchPound;

function thread(text: string) {
  const result = parseThread(text);
  if (isRefusal(result)) throw new Error(result.explanation);
  return result;
}

function strength(name: string, diameter: number) {
  const result = strengthOf(name, diameter);
  if (isRefusal(result)) throw new Error(result.explanation);
  return result;
}

function judge(torque: number, text: string, name: string) {
  return judgeYield(torque, thread(text), strength(name, thread(text).diameter))!;
}

describe('nut factor', () => {
  const inInchPounds = (factor: number, diameter: number, preload: number) =>
    torqueFromNutFactor(factor, diameter * inch, preload * pound) / inchPound;

  test('K 0.20, 25000 lbf, 0.75 in: 3750 lbf·in (Shigley ex. 8-3b)', () => {
    expect(inInchPounds(0.2, 0.75, 25_000)).toBeCloseTo(3750, 9);
  });

  test('3/4-10, 85 % of 85000 psi on .334 in², K 0.2: 3619.7 lbf·in (Wentzell ex. 6.1)', () => {
    expect(inInchPounds(0.2, 0.75, 0.85 * 85_000 * 0.334)).toBeCloseTo(3619.725, 3);
  });

  test('1.25 in stud of 1.073 in², 0.9 × 120000 psi, K 0.15: 21728.25 lbf·in (Wentzell ex. 6.4)', () => {
    expect(inInchPounds(0.15, 1.25, 0.9 * 120_000 * 1.073)).toBeCloseTo(21_728.25, 6);
  });

  test('#10-32, 980 lbf, K 0.2: 37.24 lbf·in (course note 112)', () => {
    expect(inInchPounds(0.2, 0.19, 980)).toBeCloseTo(37.24, 9);
  });

  test('M20 class 8.8: 0.9 of the proof stress of 600 on 245 mm² is 132.3 kN; K 0.18 wants 476 N·m (Shigley 8-29)', () => {
    const { stressArea } = thread('M20');
    const preload = 0.9 * stressArea.value * strength('8.8', 20).proof!;
    expect(preload).toBeCloseTo(132_300, 6);
    expect(Math.abs(torqueFromNutFactor(0.18, 20, preload) - 476)).toBeLessThan(0.5);
  });

  test('3/4-16 at 25 kip is pulled to 67.02 kpsi (Shigley ex. 8-3)', () => {
    const row = readCheckValues('torque_preload_examples.csv').find((each) => each.id === 'TP3')!;
    const area = thread('3/4-16 UNF').stressArea.value / inch ** 2;
    expect(25 / area).toBeCloseTo(Number(row.calc), 5);
  });
});

describe('long form (Shigley eq. 8-26)', () => {
  // Mean thread diameter .7093 in, lead angle 1.6067 degrees, collar 1.25 d, friction .15 both.
  const geometry = {
    pitchDiameter: 0.7093 * inch,
    pitch: Math.PI * 0.7093 * Math.tan((1.6067 * Math.PI) / 180) * inch,
    bearingDiameter: 1.25 * 0.75 * inch,
  };

  test('ex. 8-3(c): 25000 lbf on 3/4-16 wants 3551 lbf·in', () => {
    const torque = torqueForPreload(25_000 * pound, geometry, evenFriction(0.15))! / inchPound;
    expect(Math.abs(torque - 3551)).toBeLessThan(1);
    expect(Math.abs(torque - 3550.79)).toBeLessThan(0.5);
  });

  test('K comes to about 0.20 for friction 0.15 at any size (Shigley table 8-15 context)', () => {
    for (const text of ['M5', 'M6', 'M8', 'M10', 'M16', 'M24', '1/4-20 UNC', '3/8-24 UNF', '1-8 UNC']) {
      const { diameter } = thread(text);
      const torque = torqueForPreload(1000, tighteningGeometry(thread(text)), evenFriction(0.15))!;
      expect(Math.abs(torque / diameter - 0.2), text).toBeLessThan(0.015);
    }
  });

  test('head and thread friction work apart, and the head’s share is F·μ·D/2', () => {
    const geometryOfM8 = tighteningGeometry(thread('M8'));
    const smoothHead = torqueForPreload(10_000, geometryOfM8, { thread: 0.15, head: 0 })!;
    const roughHead = torqueForPreload(10_000, geometryOfM8, { thread: 0.15, head: 0.2 })!;
    expect(roughHead - smoothHead).toBeCloseTo((10_000 * 0.2 * 5) / 1000, 9);
  });

  test('without friction all the torque climbs the thread: F·P/2π', () => {
    expect(torqueForPreload(10_000, tighteningGeometry(thread('M8')), evenFriction(0))).toBeCloseTo(
      (10_000 * 1.25) / (2 * Math.PI) / 1000,
      9,
    );
  });

  test('the inverse gives the preload back; friction that locks gives nothing', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('M5', 'M8x1', 'M12', '1/4-28 UNF', '7/16-14 UNC'),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        fc.double({ min: 1, max: 1e6, noNaN: true }),
        (text, threadFriction, head, preload) => {
          const geometryOf = tighteningGeometry(thread(text));
          const friction = { thread: threadFriction, head };
          const torque = torqueForPreload(preload, geometryOf, friction)!;
          expect(preloadForTorque(torque, geometryOf, friction)! / preload).toBeCloseTo(1, 9);
        },
      ),
    );
    expect(torqueForPreload(1, geometry, evenFriction(100))).toBeUndefined();
    expect(preloadForTorque(1, geometry, evenFriction(Number.NaN))).toBeUndefined();
  });
});

describe('VDI 2230:2001, table of fine threads (reprint)', () => {
  // Bearing faces from memory: ISO 4017 least face, ISO 273 medium hole, mm.
  const faces: Record<number, number> = {
    8: (11.63 + 9) / 2,
    10: (14.63 + 11) / 2,
    12: (16.63 + 13.5) / 2,
    14: (19.64 + 15.5) / 2,
    16: (22.49 + 17.5) / 2,
  };

  for (const row of readCheckValues('vdi2230_fine_table.csv')) {
    test(`${row.thread} ${row.class} at ${row.mu}: preload within 0.5 %, torque within 1.5 %`, () => {
      const read = thread(row.thread!);
      const friction = Number(row.mu);
      const preload = assemblyPreload(read, strength(row.class!, read.diameter), friction);
      expect(Math.abs(preload / 1000 / Number(row.FM_table_kN) - 1)).toBeLessThan(0.005);
      const geometry = tighteningGeometry(read, faces[read.diameter]);
      const torque = torqueForPreloadVdi(preload, geometry, evenFriction(friction));
      expect(Math.abs(torque / Number(row.MA_table_Nm) - 1)).toBeLessThan(0.015);
      // The long form is the same within the rounding of 0.16 and 0.58.
      expect(
        Math.abs(torqueForPreload(preload, geometry, evenFriction(friction))! / torque - 1),
      ).toBeLessThan(0.01);
    });
  }

  test('at the assembly preload the combined stress is 90 % of yield', () => {
    const read = thread('M10x1.25');
    const preload = assemblyPreload(read, strength('10.9', 10), 0.12);
    const torque = torqueForPreloadVdi(preload, tighteningGeometry(read), evenFriction(0.12));
    expect(tighteningStress(torque, read, 0.12)!.combined).toBeCloseTo(0.9 * 940, 9);
    expect(tighteningStress(torque, read, 0.12)!.preload).toBeCloseTo(preload, 6);
  });
});

describe('past yield or not', () => {
  test('24 N·m on M8 class 8.8 bears, well under', () => {
    const result = judge(24, 'M8', '8.8');
    expect(result.verdict).toBe('bears');
    expect(result.atLeastFriction.combined).toBeLessThan(0.95 * 640);
  });

  test('M6 class 8.8 at 88 ft·lbf is far past, whatever the friction', () => {
    expect(judge(88 * footPound, 'M6', '8.8').verdict).toBe('past-yield');
    // And 88 in·lbf, which was meant, bears.
    expect(judge(88 * inchPound, 'M6', '8.8').verdict).toBe('bears');
  });

  test('between the two yield torques it depends on the friction', () => {
    const { lower, upper } = judge(24, 'M8', '8.8').yieldTorque;
    expect(lower).toBeLessThan(upper);
    expect(judge(lower * 0.999, 'M8', '8.8').verdict).toBe('bears');
    expect(judge(lower * 1.001, 'M8', '8.8').verdict).toBe('may-yield');
    expect(judge(upper * 0.999, 'M8', '8.8').verdict).toBe('may-yield');
    expect(judge(upper * 1.001, 'M8', '8.8').verdict).toBe('past-yield');
  });

  test('VDI table torques at 90 % of yield and the friction they stand for always bear', () => {
    for (const row of readCheckValues('vdi2230_fine_table.csv')) {
      if (row.mu === '0.14') continue;
      const friction = { lower: Number(row.mu), upper: Number(row.mu) };
      const read = thread(row.thread!);
      const result = judgeYield(Number(row.MA_table_Nm), read, strength(row.class!, read.diameter), {
        friction,
      });
      expect(result?.verdict).toBe('bears');
    }
  });

  test('the recommended torques of AC 43.13-1B for tension nuts bear on bolts of grade 5 and better', () => {
    // An independent sanity test: the table is for bolts of at least that strength (common practice).
    for (const row of readCheckValues('ac43_13_1b_table7_1.csv')) {
      const text = row.size_tpi === '1-14' ? '1-14 UNS' : row.size_tpi!;
      const torque = Number(row.tension_nut_rec_min_inlb) * inchPound;
      const read = thread(text);
      expect(judgeYield(torque, read, strength('grade 5', read.diameter))?.verdict, text).toBe('bears');
    }
  });

  test('more friction, less combined stress at one torque', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('M4', 'M8', 'M8x1', 'M16', '1/4-28 UNF', '1/2-13 UNC'),
        fc.double({ min: 0.05, max: 0.4, noNaN: true }),
        fc.double({ min: 0.001, max: 0.1, noNaN: true }),
        (text, friction, more) => {
          const at = (coefficient: number) => tighteningStress(20, thread(text), coefficient)!.combined;
          expect(at(friction + more)).toBeLessThan(at(friction));
        },
      ),
    );
  });

  test('numbers that make no sense give nothing', () => {
    const eight = strength('8.8', 8);
    expect(judgeYield(Number.NaN, thread('M8'), eight)).toBeUndefined();
    expect(judgeYield(-1, thread('M8'), eight)).toBeUndefined();
    expect(judgeYield(1, thread('M8'), { ...eight, yield: Number.NaN })).toBeUndefined();
    expect(tighteningStress(1, thread('M8'), -0.5)).toBeUndefined();
    expect(tighteningStress(1, thread('M8'), -0.01)).toBeUndefined();
    expect(tighteningStress(1, thread('M8'), 0)?.friction).toBe(0);
    expect(tighteningStress(0, thread('M8'), 0.12)?.combined).toBe(0);
  });
});

test('preload range: least at least torque and most friction, and the usual ±25 % for oiled (course note) lies about it', () => {
  const range = preloadRange({ lower: 22, upper: 26 }, tighteningGeometry(thread('M8')))!;
  const geometry = tighteningGeometry(thread('M8'));
  expect(range.lower).toBe(preloadForTorque(22, geometry, evenFriction(0.16)));
  expect(range.upper).toBe(preloadForTorque(26, geometry, evenFriction(0.12)));
  const middle = (range.lower + range.upper) / 2;
  expect((range.upper - middle) / middle).toBeGreaterThan(0.15);
  expect((range.upper - middle) / middle).toBeLessThan(0.25);
  expect(
    preloadRange({ lower: 1, upper: 2 }, { pitch: 1, pitchDiameter: 0, bearingDiameter: 0 }),
  ).toBeUndefined();
});

describe('lubricants', () => {
  // Shigley, 9th ed., table 8-15. The friction that gives such a K on M8 must lie in the range of the word.
  test.each([
    ['dry', 0.3],
    ['zinc', 0.2],
    ['oiled', 0.18],
    ['cadmium', 0.16],
    ['anti-seize', 0.12],
  ])('%s spans the friction of K %d', (word, nutFactor) => {
    const { friction } = lubricantNamed(word)!;
    const factor = (coefficient: number) =>
      (torqueForPreload(1, tighteningGeometry(thread('M8')), evenFriction(coefficient))! * 1000) / 8;
    expect(factor(friction.lower)).toBeLessThan(nutFactor);
    expect(factor(friction.upper) + 0.01).toBeGreaterThan(nutFactor);
  });

  test('dry where oiled was meant pulls less, moly more', () => {
    const oiled = lubricantNamed('oiled')!;
    const dry = preloadRatio(oiled, lubricantNamed('dry')!);
    const moly = preloadRatio(oiled, lubricantNamed('moly')!);
    expect(dry.typical).toBeLessThan(0.8);
    expect(moly.typical).toBeGreaterThan(1.3);
    for (const { typical, range } of [dry, moly]) {
      expect(range.lower).toBeLessThan(typical);
      expect(range.upper).toBeGreaterThan(typical);
    }
    expect(preloadRatio(oiled, oiled).typical).toBe(1);
    const back = preloadRatio(lubricantNamed('moly')!, oiled);
    expect(moly.typical * back.typical).toBeCloseTo(1, 12);
  });

  test('the ratio is that of the torques for one preload: middle to middle, and the ends against each other', () => {
    const [oiled, dry] = [lubricantNamed('oiled')!, lubricantNamed('dry')!];
    const m8 = tighteningGeometry(thread('M8'));
    const torque = (friction: number) => torqueForPreloadVdi(1, m8, evenFriction(friction));
    const { typical, range } = preloadRatio(oiled, dry, m8);
    const middle = ({ friction }: typeof oiled) => (friction.lower + friction.upper) / 2;
    expect(typical).toBeCloseTo(torque(middle(oiled)) / torque(middle(dry)), 12);
    expect(range.lower).toBeCloseTo(torque(oiled.friction.lower) / torque(dry.friction.upper), 12);
    expect(range.upper).toBeCloseTo(torque(oiled.friction.upper) / torque(dry.friction.lower), 12);
    // Where the thread is not known, M8 stands for it.
    expect(preloadRatio(oiled, dry).typical).toBeCloseTo(typical, 2);
  });

  // The classes A 0.04 to 0.10, B 0.08 to 0.16 and C 0.14 to 0.24 of VDI 2230 (from memory) hold each lubricant, but for
  // threadlocker, which lies on the edge of B and C.
  test.each([
    ['A', 0.04, 0.12, ['moly', 'graphite', 'anti-seize', 'wax', 'ptfe']],
    ['B', 0.08, 0.16, ['oiled', 'greased', 'cadmium']],
    ['C', 0.14, 0.24, ['dry', 'zinc']],
    ['B or C', 0.1, 0.2, ['threadlocker']],
  ] as const)('friction class %s: %d to %d', (_, least, most, names) => {
    for (const name of names) {
      const { friction, source } = lubricantNamed(name)!;
      expect(friction.lower, name).toBeGreaterThanOrEqual(least);
      expect(friction.upper, name).toBeLessThanOrEqual(most);
      expect(friction.upper - friction.lower, name).toBeGreaterThan(0.03);
      expect(source, name).toContain('from memory');
    }
  });

  test('what has a nut factor of Shigley’s names it', () => {
    const K: Record<string, string> = {
      dry: '0.30',
      zinc: '0.20',
      oiled: '0.18',
      cadmium: '0.16',
      'anti-seize': '0.12',
    };
    for (const name of lubricantNames())
      expect(/Shigley's K (\d\.\d+)/.exec(lubricantNamed(name)!.source)?.[1], name).toBe(K[name]);
  });

  // What builders write on the line, in British and American spelling (common practice).
  test.each([
    ['dry', 'clean none unlubricated'],
    ['zinc', 'zinc-plated zinc_plated galvanised galvanized'],
    ['oiled', 'oil engine-oil Engine-Oil lubricated'],
    ['greased', 'grease'],
    ['cadmium', 'cadmium-plated'],
    ['moly', 'moly-grease moly-paste molybdenum MoS2'],
    ['graphite', 'graphited'],
    ['anti-seize', 'antiseize copper-paste copper-grease nickel-paste'],
    ['wax', 'waxed'],
    ['threadlocker', 'thread-lock threadlock locking-fluid'],
  ])('%s is also %s', (name, words) => {
    for (const word of words.split(' ')) expect(lubricantNamed(word)?.name, word).toBe(name);
  });

  test('synonyms, and words that are none', () => {
    expect(lubricantNamed('Engine_Oil')).toEqual(lubricantNamed('oiled'));
    expect(lubricantNamed('antiseize')?.name).toBe('anti-seize');
    expect(lubricantNamed('honey')).toBeUndefined();
    for (const name of lubricantNames()) expect(lubricantNamed(name)?.name).toBe(name);
  });
});

describe('turn of the nut', () => {
  test('5 in at 72250 psi, 30e6 psi, 10 threads an inch: 43.35 degrees (Wentzell ex. 6.2)', () => {
    const psi = 6.894757293168361e-3;
    const angle = turnOfNut({
      stress: 72_250 * psi,
      length: 5 * inch,
      pitch: 0.1 * inch,
      modulus: 30e6 * psi,
    });
    expect(angle).toBeCloseTo(43.35, 9);
  });

  test('not without a length, a pitch or a modulus', () => {
    expect(turnOfNut({ stress: 1, length: 0, pitch: 1 })).toBeUndefined();
    expect(turnOfNut({ stress: 1, length: 1, pitch: 0 })).toBeUndefined();
    expect(turnOfNut({ stress: 1, length: 1, pitch: 1, modulus: Number.NaN })).toBeUndefined();
    expect(turnOfNut({ stress: Number.NaN, length: 1, pitch: 1 })).toBeUndefined();
  });
});
