// Threads and strength classes against ISO 68-1, ISO 898 and ASME B1.1 reprints.
import { describe, expect, test } from 'vitest';
import {
  breakingTorque,
  isRefusal,
  parseThread,
  strengthNames,
  strengthOf,
  tensileLoads,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

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

function loads(text: string, name: string) {
  return tensileLoads(thread(text), strength(name, thread(text).diameter));
}

describe('reading a designation', () => {
  test.each([
    ['M8', 'M8x1.25', 'coarse', 8, 1.25],
    ['M8x1.25', 'M8x1.25', 'coarse', 8, 1.25],
    ['M8×1', 'M8x1', 'fine', 8, 1],
    ['M7x1', 'M7x1', 'coarse', 7, 1],
    ['M3.5', 'M3.5x0.6', 'coarse', 3.5, 0.6],
    ['M13x1.5', 'M13x1.5', undefined, 13, 1.5],
    ['1/4-20 UNC', '1/4-20 UNC', 'UNC', 6.35, 1.27],
    ['1/4-28', '1/4-28 UNF', 'UNF', 6.35, 25.4 / 28],
    ['#10-32 UNF', '#10-32 UNF', 'UNF', 4.826, 25.4 / 32],
    ['10-32 UNF', '#10-32 UNF', 'UNF', 4.826, 25.4 / 32],
    ['1-8 UNC', '1-8 UNC', 'UNC', 25.4, 25.4 / 8],
    ['1-64 UNC', '#1-64 UNC', 'UNC', 0.073 * 25.4, 25.4 / 64],
    ['1-1/8-7 UNC', '1-1/8-7 UNC', 'UNC', 28.575, 25.4 / 7],
    ['2-4.5 UNC', '2-4.5 UNC', 'UNC', 50.8, 25.4 / 4.5],
    ['3/8-24 UNJF', '3/8-24 UNJF', 'UNJF', 9.525, 25.4 / 24],
    ['1/4-32 UNEF', '1/4-32 UNEF', 'UNEF', 6.35, 25.4 / 32],
    ['1/4-24 UNS', '1/4-24 UNS', 'UNS', 6.35, 25.4 / 24],
    ['1/4-24', '1/4-24', undefined, 6.35, 25.4 / 24],
  ])('%s', (text, designation, series, diameter, pitch) => {
    const read = thread(text);
    expect(read).toMatchObject({ designation, series });
    expect(read.diameter).toBeCloseTo(diameter, 9);
    expect(read.pitch).toBeCloseTo(pitch, 9);
    expect(thread(designation)).toEqual(read);
  });

  test.each([
    ['M8.3', 'pitch-unknown'],
    ['M8x8', 'impossible-pitch'],
    ['M8x0', 'impossible-pitch'],
    ['M0x1', 'impossible-pitch'],
    ['1/4-28 UNC', 'series-disagrees'],
    ['#10-24 UNF', 'series-disagrees'],
    ['11/16-11 UNC', 'series-disagrees'],
    ['1/4-1', 'impossible-pitch'],
    ['3/0-20', 'not-a-thread'],
    ['0/4-20', 'not-a-thread'],
    ['10-40', 'not-a-thread'],
    ['#15-20 UNS', 'not-a-thread'],
    ['M', 'not-a-thread'],
    ['m8', 'not-a-thread'],
    ['M8-1.25', 'not-a-thread'],
    ['1/4 UNC', 'not-a-thread'],
    ['', 'not-a-thread'],
  ])('%s is refused: %s', (text, reason) => {
    expect(parseThread(text)).toMatchObject({ refused: reason });
  });

  test('a refusal over the series says what is right', () => {
    expect(parseThread('1/4-28 UNC')).toMatchObject({
      explanation: '1/4 UNC has 20 threads an inch; 1/4-28 is UNF',
    });
  });
});

describe('series: sizes and pitches (ISO 261 and ASME B1.1, as FreeCAD tabulates them)', () => {
  const rows = readCheckValues('thread_series.csv');
  test.each(rows.filter(({ series }) => series === 'coarse').map(({ size, P_mm }) => [size!, Number(P_mm)]))(
    '%s alone is the coarse thread of pitch %d mm',
    (size, pitch) => {
      expect(thread(String(size))).toMatchObject({ series: 'coarse', pitch });
      expect(thread(`${size}x${pitch}`)).toEqual(thread(String(size)));
    },
  );

  const unified = rows.filter(({ series }) => series !== 'coarse');
  test.each(unified.map((row) => [row.size!, row.series!, row]))('%s %s', (size, series, row) => {
    const { P_mm, d_mm } = row as Record<string, string>;
    // Threads an inch are whole, but for 4 1/2.
    const perInch = Math.round((2 * 25.4) / Number(P_mm)) / 2;
    const read = thread(`${size}-${perInch}`);
    expect(read.designation).toBe(`${size}-${perInch} ${series}`);
    expect(Math.abs(read.pitch - Number(P_mm))).toBeLessThan(0.0011);
    expect(Math.abs(read.diameter - Number(d_mm))).toBeLessThan(0.0011);
    const other = series === 'UNC' ? 'UNF' : 'UNC';
    expect(parseThread(`${size}-${perInch} ${other}`)).toMatchObject({ refused: 'series-disagrees' });
    expect(thread(`${size}-${perInch} ${series}`)).toEqual(read);
  });

  test('a numbered size without its number sign is the numbered one, a whole inch stays an inch', () => {
    expect(thread('8-36').designation).toBe('#8-36 UNF');
    expect(thread('2-56').designation).toBe('#2-56 UNC');
    expect(thread('2-4.5').designation).toBe('2-4.5 UNC');
    expect(thread('1-12 UNF')).toMatchObject({ designation: '1-12 UNF', diameter: 25.4 });
  });

  test('what is wrong is said with what is right', () => {
    const said = (text: string) => {
      const refusal = parseThread(text);
      return isRefusal(refusal) ? refusal.explanation : undefined;
    };
    expect(said('1/4-32 UNF')).toBe('1/4 UNF has 28 threads an inch; 1/4-32 is UNEF');
    expect(said('1/4-30 UNF')).toBe('1/4 UNF has 28 threads an inch');
    expect(said('1-3/4-12 UNF')).toBe('there is no 1-3/4 UNF');
    expect(said('M8.3')).toBe('M8.3 has no coarse pitch in the tables: write the pitch, M8.3x…');
    expect(said('M8x8')).toBe('no thread is M8x8: the pitch is too large for the diameter');
    expect(said('#15-20 UNS')).toBe('#15 is not a size of unified threads');
    expect(said('M8-1.25')).toBe('M8-1.25 is not a thread: write M8x1.25, 1/4-20 UNC or #10-32 UNF');
  });
});

describe('geometry', () => {
  for (const row of readCheckValues('iso_metric_thread_geometry.csv')) {
    test(`${row.thread} (ISO 68-1, ISO 724)`, () => {
      const read = thread(row.thread!);
      expect(Math.abs(read.pitch - Number(row.P_mm))).toBe(0);
      expect(Math.abs(read.pitchDiameter - Number(row.d2_mm))).toBeLessThan(5.1e-4);
      expect(Math.abs(read.minorDiameter - Number(row.D1_mm))).toBeLessThan(5.1e-4);
      expect(Math.abs(read.rootDiameter - Number(row.d3_mm))).toBeLessThan(5.1e-4);
      expect(Math.abs(read.leadAngle - Number(row.lead_angle_deg))).toBeLessThan(5.1e-4);
      expect(Math.abs(read.stressArea.value / Number(row.As_mm2) - 1)).toBeLessThan(5e-3);
    });
  }

  test('the constants of the standard: 0.649519, 1.082532, 1.226869', () => {
    const read = thread('M64x6');
    expect(read.diameter - read.pitchDiameter).toBeCloseTo(0.649519 * 6, 5);
    expect(read.diameter - read.minorDiameter).toBeCloseTo(1.082532 * 6, 5);
    expect(read.diameter - read.rootDiameter).toBeCloseTo(1.226869 * 6, 5);
  });

  test('1/2-13: the lead is a thread in 13, as its angle says', () => {
    const read = thread('1/2-13 UNC');
    expect(Math.tan((read.leadAngle * Math.PI) / 180) * Math.PI * read.pitchDiameter).toBeCloseTo(
      25.4 / 13,
      9,
    );
  });
});

describe('stress area', () => {
  for (const row of readCheckValues('iso898_1_loads.csv')) {
    test(`${row.size} (ISO 898-1:2013): the table's, which the formula gives to three figures`, () => {
      const { stressArea, pitch, pitchDiameter, rootDiameter } = thread(row.size!);
      expect(pitch).toBe(Number(row.pitch_mm));
      expect(stressArea).toEqual({ value: Number(row.As_nom_mm2), from: 'table' });
      const formula = (Math.PI / 4) * ((pitchDiameter + rootDiameter) / 2) ** 2;
      expect(formula.toPrecision(3)).toBe(stressArea.value.toPrecision(3));
    });
  }

  test.each([
    ['M8x1', 39.2],
    ['M10x1.25', 61.2],
    ['M10x1', 64.5],
    ['M12x1.5', 88.1],
    ['M12x1.25', 92.1],
    ['M14x1.5', 125],
    ['M16x1.5', 167],
  ])('fine thread %s is %d mm² (ISO 898-1 reprint)', (text, area) => {
    expect(thread(text).stressArea).toEqual({ value: area, from: 'table' });
  });

  test('without a table the formula: M14x1.25, where one reprint errs', () => {
    expect(thread('M14x1.25').stressArea).toEqual({ value: expect.closeTo(129.228, 3), from: 'formula' });
  });

  for (const row of readCheckValues('unified_stress_areas.csv')) {
    test(`${row.thread} ${row.series} (ASME B1.1)`, () => {
      const read = thread(`${row.thread} ${row.series}`);
      expect(read.diameter).toBeCloseTo(Number(row.d_in) * 25.4, 9);
      expect(read.stressArea.from).toBe('table');
      expect(read.stressArea.value / 25.4 ** 2).toBeCloseTo(Number(row.At_in2), 12);
      const formula = (Math.PI / 4) * (Number(row.d_in) - 0.9743 / Number(row.tpi)) ** 2;
      expect(Math.abs(formula - Number(row.At_calc_in2))).toBeLessThan(1e-5);
    });
  }

  test('a unified thread outside the table by the formula', () => {
    const { stressArea } = thread('1-3/4-5 UNC');
    expect(stressArea.from).toBe('formula');
    expect(stressArea.value / 25.4 ** 2).toBeCloseTo((Math.PI / 4) * (1.75 - 0.9743 / 5) ** 2, 9);
  });
});

describe('strength classes', () => {
  for (const row of readCheckValues('iso898_1_property_classes.csv')) {
    test(`${row.class}, ${row.d_range} (ISO 898-1:2013, table 3)`, () => {
      const diameter = row.d_range === 'd>16' ? 20 : 16;
      expect(strengthOf(row.class!, diameter)).toMatchObject({
        tensile: Number(row.Rm_min),
        yield: Number(row.Rp_min),
        proof: Number(row.Sp_nom),
        fromMemory: false,
      });
    });
  }

  test('10.9 yields at 940 MPa, not at the 900 that its name spells', () => {
    expect(strength('10.9', 8).yield).toBe(940);
  });

  test.each([
    ['8.9', 8, '8.9 is not a strength class that the tables hold'],
    ['9.8', 18, 'class 9.8 is given for diameters up to 16 mm'],
    ['8.8', 42, 'class 8.8 is given for diameters up to 39 mm'],
    ['A4-80', 27, 'class A4-80 is given for diameters up to 24 mm'],
    ['A4-50', 42, 'class A4-50 is given for diameters up to 39 mm'],
  ])('%s at %d mm: %s', (name, diameter, explanation) => {
    expect(strengthOf(name, diameter)).toMatchObject({ explanation });
  });

  test('8.8 is stronger over 16 mm, not at 16 (ISO 898-1:2013, table 3)', () => {
    expect(strength('8.8', 16).proof).toBe(580);
    expect(strength('8.8', 16.1).proof).toBe(600);
  });

  // ISO 3506-1 and SAE J429 from memory, like the table: no text of either could be read. 1000 psi is 6.8948 MPa.
  test.each(['A1', 'A2', 'A3', 'A4', 'A5'])('%s: the number is a tenth of the tensile strength', (steel) => {
    for (const [number, yieldPoint] of [
      [50, 210],
      [70, 450],
      [80, 600],
    ] as const)
      expect(strengthOf(`${steel}-${number}`, 8)).toMatchObject({
        tensile: 10 * number,
        yield: yieldPoint,
        proof: undefined,
      });
  });

  test.each([
    ['grade 1', 1.5, 60, 36, 33],
    ['grade 2', 0.75, 74, 57, 55],
    ['grade 2', 0.875, 60, 36, 33],
    ['grade 5', 1, 120, 92, 85],
    ['grade 5', 1.25, 105, 81, 74],
    ['grade 8', 1.5, 150, 130, 120],
  ])('SAE J429 %s at %d in: %d, %d and %d thousand psi', (name, inches, tensile, yieldPoint, proof) => {
    const found = strength(name, inches * 25.4);
    expect(found.tensile / 6.894757).toBeCloseTo(tensile, 4);
    expect(found.yield / 6.894757).toBeCloseTo(yieldPoint, 4);
    expect(found.proof! / 6.894757).toBeCloseTo(proof, 4);
    expect(strengthOf(name, 1.5 * 25.4 + 0.1)).toMatchObject({ refused: 'size-not-covered' });
  });

  test('9.8 ends at 16 mm, everything at 39 mm', () => {
    expect(strengthOf('9.8', 18)).toMatchObject({ refused: 'size-not-covered' });
    expect(strengthOf('8.8', 42)).toMatchObject({ refused: 'size-not-covered' });
    expect(strengthOf('8.8', Number.NaN)).toMatchObject({ refused: 'size-not-covered' });
  });

  test('stainless steel and inch grades say that they are from memory', () => {
    expect(strengthOf('A2-70', 8)).toMatchObject({
      tensile: 700,
      yield: 450,
      proof: undefined,
      fromMemory: true,
    });
    expect(strengthOf('A4-80', 8)).toMatchObject({ tensile: 800, yield: 600, fromMemory: true });
    for (const name of strengthNames()) {
      const { fromMemory, source } = strength(name, 6);
      expect(fromMemory).toBe(source.includes('from memory'));
    }
  });

  test('inch grades by any of their names; grade 5 proof 85 000 psi as in Wentzell ex. 6.1', () => {
    for (const name of ['grade 5', 'Grade 5', 'SAE 5', 'gr 5', 'gr.5', 'SAE J429 grade 5']) {
      expect(strengthOf(name, 19.05), name).toMatchObject({ name: 'grade 5' });
    }
    expect(strength('grade 5', 19.05).proof! / 6.894757293168361e-3).toBeCloseTo(85_000, 6);
    expect(strength('grade 2', 19.05).yield).toBeGreaterThan(strength('grade 2', 25.4).yield);
  });

  test('what is no class: a bare digit is a nut’s', () => {
    for (const name of ['8', '8.9', 'A2', 'grade 9', '']) {
      expect(strengthOf(name, 8), name).toMatchObject({ refused: 'unknown-class' });
    }
  });

  test('a class yields below where it breaks, and is proved below where it yields', () => {
    for (const name of strengthNames()) {
      const { proof, yield: yieldPoint, tensile } = strength(name, 6);
      expect(yieldPoint).toBeLessThan(tensile);
      if (proof !== undefined) expect(proof).toBeLessThan(yieldPoint);
    }
  });
});

describe('loads', () => {
  for (const row of readCheckValues('iso898_1_loads.csv')) {
    for (const name of ['8.8', '10.9', '12.9']) {
      const proof = row[`proof_${name}_N`];
      const ultimate = row[`ultimate_${name}_N`];
      if (proof) {
        test(`${row.size} ${name} proof load (ISO 898-1 table 5), within 1 % of stress times area`, () => {
          const { value, from } = loads(row.size!, name).proof!;
          expect([value, from]).toEqual([Number(proof), 'table']);
          const { diameter, stressArea } = thread(row.size!);
          expect(Math.abs(value / (strength(name, diameter).proof! * stressArea.value) - 1)).toBeLessThan(
            0.01,
          );
        });
      }
      if (ultimate) {
        test(`${row.size} ${name} ultimate load (ISO 898-1 table 4), within 1 % of stress times area`, () => {
          const { value, from } = loads(row.size!, name).ultimate;
          expect([value, from]).toEqual([Number(ultimate), 'table']);
          const { diameter, stressArea } = thread(row.size!);
          expect(Math.abs(value / (strength(name, diameter).tensile * stressArea.value) - 1)).toBeLessThan(
            0.01,
          );
        });
      }
    }
  }

  test('fine threads and other classes by stress times area', () => {
    expect(loads('M8x1', '8.8').proof).toEqual({ value: 580 * 39.2, from: 'formula' });
    expect(loads('M8', '5.8').proof).toEqual({ value: 380 * 36.6, from: 'formula' });
    expect(loads('M8', 'A2-70').proof).toBeUndefined();
    expect(loads('M8', '8.8').yield).toBeCloseTo(640 * 36.6, 9);
  });
});

describe('breaking torque (ISO 898-7:1992; rows from memory)', () => {
  test('X is 0.84, 0.815, 0.79 and 0.75 of the tensile strength (ISO 898-7:1992, text reprint)', () => {
    const share = (name: string) => {
      const bolt = strength(name, 8);
      return (breakingTorque(thread('M8'), bolt) as number) / bolt.tensile;
    };
    expect(share('9.8') / share('8.8')).toBeCloseTo(0.815 / 0.84, 9);
    expect(share('10.9') / share('8.8')).toBeCloseTo(0.79 / 0.84, 9);
    expect(share('12.9') / share('8.8')).toBeCloseTo(0.75 / 0.84, 9);
  });

  test('the torque rises with the size and falls with the pitch, from M1 to M10', () => {
    const sizes = ['M1', 'M1.6', 'M2.5', 'M3', 'M4', 'M5', 'M6', 'M8', 'M8x1', 'M10', 'M10x1'];
    const torques = sizes.map((text) => breakingTorque(thread(text), strength('8.8', 6)) as number);
    expect(torques).toEqual(torques.toSorted((a, b) => a - b));
  });

  test('says what it covers', () => {
    expect(breakingTorque(thread('M12'), strength('8.8', 12))).toMatchObject({
      explanation: 'breaking torques are given for M1 to M10 in classes 8.8, 9.8, 10.9 and 12.9',
    });
  });

  test.each([
    ['M5', 7.6],
    ['M6', 13],
    ['M8', 33],
    ['M8x1', 38],
    ['M10', 66],
  ])('%s of class 8.8: %d N·m within 2 %%', (text, torque) => {
    const result = breakingTorque(thread(text), strength('8.8', thread(text).diameter)) as number;
    expect(Math.abs(result / torque - 1)).toBeLessThan(0.02);
  });

  test('not outside the standard', () => {
    expect(breakingTorque(thread('M12'), strength('8.8', 12))).toMatchObject({ refused: 'not-covered' });
    expect(breakingTorque(thread('M8'), strength('A2-70', 8))).toMatchObject({ refused: 'not-covered' });
    expect(breakingTorque(thread('1/4-28 UNF'), strength('8.8', 6.35))).toMatchObject({
      refused: 'not-covered',
    });
  });
});
