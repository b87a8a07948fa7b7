// Sizes, pitches, stress areas and strengths of threads, as standards tabulate them.

/**
 * Coarse pitch by metric size, mm. M3 to M39 but M4.5, M9 and M11: ISO 898-1:2013 reprints; the others are those of
 * ISO 261 and, as all of them, agree with FreeCAD's table of threads.
 */
export const coarsePitches: ReadonlyMap<number, number> = new Map([
  [1, 0.25],
  [1.2, 0.25],
  [1.4, 0.3],
  [1.6, 0.35],
  [1.8, 0.35],
  [2, 0.4],
  [2.2, 0.45],
  [2.5, 0.45],
  [3, 0.5],
  [3.5, 0.6],
  [4, 0.7],
  [4.5, 0.75],
  [5, 0.8],
  [6, 1],
  [7, 1],
  [8, 1.25],
  [9, 1.25],
  [10, 1.5],
  [11, 1.5],
  [12, 1.75],
  [14, 2],
  [16, 2],
  [18, 2.5],
  [20, 2.5],
  [22, 2.5],
  [24, 3],
  [27, 3],
  [30, 3.5],
  [33, 3.5],
  [36, 4],
  [39, 4],
  [42, 4.5],
  [45, 4.5],
  [48, 5],
  [52, 5],
  [56, 5.5],
  [60, 5.5],
  [64, 6],
]);

/** Nominal stress area of metric threads, mm², by designation: ISO 898-1:2013 tables 4 to 7 (reprints). */
// biome-ignore format: a table
export const metricStressAreas: ReadonlyMap<string, number> = new Map([
  ['M3', 5.03], ['M3.5', 6.78], ['M4', 8.78], ['M5', 14.2], ['M6', 20.1], ['M7', 28.9], ['M8', 36.6],
  ['M10', 58.0], ['M12', 84.3], ['M14', 115], ['M16', 157], ['M18', 192], ['M20', 245], ['M22', 303],
  ['M24', 353], ['M27', 459], ['M30', 561], ['M33', 694], ['M36', 817], ['M39', 976],
  ['M8x1', 39.2], ['M10x1.25', 61.2], ['M10x1', 64.5], ['M12x1.5', 88.1], ['M12x1.25', 92.1],
  ['M14x1.5', 125], ['M16x1.5', 167],
]);

/** Proof load of coarse threads, N, for classes 8.8, 10.9, 12.9: ISO 898-1:2013 table 5 (reprints). */
// biome-ignore format: a table
export const proofLoads: ReadonlyMap<string, readonly [number, number, number]> = new Map([
  ['M3', [2920, 4180, 4880]], ['M3.5', [3940, 5630, 6580]], ['M4', [5100, 7290, 8520]],
  ['M5', [8230, 11800, 13800]], ['M6', [11600, 16700, 19500]], ['M7', [16800, 24000, 28000]],
  ['M8', [21200, 30400, 35500]], ['M10', [33700, 48100, 56300]], ['M12', [48900, 70000, 81800]],
  ['M14', [66700, 95500, 112000]], ['M16', [91000, 130000, 152000]], ['M18', [115000, 159000, 186000]],
  ['M20', [147000, 203000, 238000]], ['M22', [182000, 252000, 294000]], ['M24', [212000, 293000, 342000]],
  ['M27', [275000, 381000, 445000]],
]);

/** Least ultimate load of coarse threads, N, for classes 8.8, 10.9, 12.9: ISO 898-1:2013 table 4 (reprints). */
// biome-ignore format: a table
export const ultimateLoads: ReadonlyMap<string, readonly [number, number, number]> = new Map([
  ['M3', [4020, 5230, 6140]], ['M4', [7020, 9130, 10700]], ['M5', [11350, 14800, 17300]],
  ['M6', [16100, 20900, 24500]], ['M8', [29200, 38100, 44600]], ['M10', [46400, 60300, 70800]],
  ['M12', [67400, 87700, 103000]], ['M14', [92000, 120000, 140000]], ['M16', [125000, 163000, 192000]],
  ['M18', [159000, 200000, 234000]], ['M20', [203000, 255000, 299000]], ['M24', [293000, 367000, 431000]],
  ['M30', [466000, 583000, 684000]],
]);

/** The classes whose loads are tabulated, in the order of the rows above. */
export const tabulatedClasses: readonly string[] = ['8.8', '10.9', '12.9'];

export type UnifiedSeries = 'UNC' | 'UNF' | 'UNEF';

/** Threads per inch of the unified series by size as written, and the stress area in in² where it is held. */
export interface UnifiedRow {
  readonly size: string;
  readonly series: UnifiedSeries;
  readonly perInch: number;
  readonly stressArea: number | undefined;
}

/** Rows with a stress area: ASME B1.1 handbook reprints. The others, and all of UNEF, agree with FreeCAD's table of threads. */
// biome-ignore format: a table
const unified: readonly (readonly [string, UnifiedSeries, number, number?])[] = [
  ['#1', 'UNC', 64], ['#2', 'UNC', 56], ['#3', 'UNC', 48], ['#4', 'UNC', 40, 0.00604], ['#5', 'UNC', 40],
  ['#6', 'UNC', 32, 0.00909], ['#8', 'UNC', 32, 0.014], ['#10', 'UNC', 24, 0.0175], ['#12', 'UNC', 24],
  ['1/4', 'UNC', 20, 0.0318], ['5/16', 'UNC', 18, 0.0524], ['3/8', 'UNC', 16, 0.0775],
  ['7/16', 'UNC', 14, 0.1063], ['1/2', 'UNC', 13, 0.1419], ['9/16', 'UNC', 12, 0.182],
  ['5/8', 'UNC', 11, 0.226], ['3/4', 'UNC', 10, 0.334], ['7/8', 'UNC', 9, 0.462], ['1', 'UNC', 8, 0.606],
  ['1-1/8', 'UNC', 7], ['1-1/4', 'UNC', 7], ['1-3/8', 'UNC', 6], ['1-1/2', 'UNC', 6],
  ['1-3/4', 'UNC', 5], ['2', 'UNC', 4.5],
  ['#0', 'UNF', 80, 0.0018], ['#1', 'UNF', 72], ['#2', 'UNF', 64, 0.00394], ['#3', 'UNF', 56],
  ['#4', 'UNF', 48, 0.00661], ['#5', 'UNF', 44], ['#6', 'UNF', 40, 0.01015], ['#8', 'UNF', 36, 0.01474],
  ['#10', 'UNF', 32, 0.02], ['#12', 'UNF', 28],
  ['1/4', 'UNF', 28, 0.0364], ['5/16', 'UNF', 24, 0.058], ['3/8', 'UNF', 24, 0.0878],
  ['7/16', 'UNF', 20, 0.1187], ['1/2', 'UNF', 20, 0.1599], ['9/16', 'UNF', 18, 0.203],
  ['5/8', 'UNF', 18, 0.256], ['3/4', 'UNF', 16, 0.373], ['7/8', 'UNF', 14, 0.509], ['1', 'UNF', 12, 0.663],
  ['1-1/8', 'UNF', 12, 0.856], ['1-1/4', 'UNF', 12, 1.073], ['1-3/8', 'UNF', 12, 1.315],
  ['1-1/2', 'UNF', 12, 1.581],
  ['#12', 'UNEF', 32], ['1/4', 'UNEF', 32], ['5/16', 'UNEF', 32], ['3/8', 'UNEF', 32], ['7/16', 'UNEF', 28],
  ['1/2', 'UNEF', 28], ['9/16', 'UNEF', 24], ['5/8', 'UNEF', 24], ['3/4', 'UNEF', 20], ['7/8', 'UNEF', 20],
  ['1', 'UNEF', 20],
];

export const unifiedRows: readonly UnifiedRow[] = unified.map(([size, series, perInch, stressArea]) => ({
  size,
  series,
  perInch,
  stressArea,
}));

/** A strength class over a span of diameters: `over` to `upTo`, mm. Stresses in MPa. */
export interface StrengthRow {
  readonly name: string;
  readonly over: number;
  readonly upTo: number;
  /** Least tensile strength. */
  readonly tensile: number;
  /** Least yield point or 0.2 % proof strength. */
  readonly yield: number;
  /** Stress under proof load; `undefined` where the standard has none. */
  readonly proof: number | undefined;
  readonly source: string;
  readonly fromMemory: boolean;
}

const iso898 = 'ISO 898-1:2013, table 3';
const iso3506 = 'ISO 3506-1, from memory';
const saeJ429 = 'SAE J429, from memory';
/** 1000 psi in MPa, exact. */
const ksi = 6.894757293168361;
const inch = 25.4;

/** Name, over and up to in mm, least tensile strength, least yield, proof stress. */
// biome-ignore format: a table
const isoSteel: readonly (readonly [string, number, number, number, number, number])[] = [
  ['4.6', 0, 39, 400, 240, 225],
  ['4.8', 0, 39, 420, 340, 310],
  ['5.6', 0, 39, 500, 300, 280],
  ['5.8', 0, 39, 520, 420, 380],
  ['6.8', 0, 39, 600, 480, 440],
  ['8.8', 0, 16, 800, 640, 580],
  ['8.8', 16, 39, 830, 660, 600],
  ['9.8', 0, 16, 900, 720, 650],
  ['10.9', 0, 39, 1040, 940, 830],
  ['12.9', 0, 39, 1220, 1100, 970],
];

/** Least tensile strength and 0.2 % proof strength of austenitic stainless steel by its number, up to 39 or 24 mm. */
// biome-ignore format: a table
const stainless: readonly (readonly [string, number, number, number])[] = [
  ['50', 39, 500, 210],
  ['70', 24, 700, 450],
  ['80', 24, 800, 600],
];

/** Grade, over and up to in inches, tensile strength, yield, proof stress in 1000 psi. */
// biome-ignore format: a table
const sae: readonly (readonly [string, number, number, number, number, number])[] = [
  ['1', 0, 1.5, 60, 36, 33],
  ['2', 0, 0.75, 74, 57, 55],
  ['2', 0.75, 1.5, 60, 36, 33],
  ['5', 0, 1, 120, 92, 85],
  ['5', 1, 1.5, 105, 81, 74],
  ['8', 0, 1.5, 150, 130, 120],
];

export const strengthRows: readonly StrengthRow[] = [
  ...isoSteel.map(([name, over, upTo, tensile, yieldPoint, proof]) => ({
    name,
    over,
    upTo,
    tensile,
    yield: yieldPoint,
    proof,
    source: iso898,
    fromMemory: false,
  })),
  ...['A1', 'A2', 'A3', 'A4', 'A5'].flatMap((steel) =>
    stainless.map(([number, upTo, tensile, yieldPoint]) => ({
      name: `${steel}-${number}`,
      over: 0,
      upTo,
      tensile,
      yield: yieldPoint,
      proof: undefined,
      source: iso3506,
      fromMemory: true,
    })),
  ),
  ...sae.map(([grade, over, upTo, tensile, yieldPoint, proof]) => ({
    name: `grade ${grade}`,
    over: over * inch,
    upTo: upTo * inch,
    tensile: tensile * ksi,
    yield: yieldPoint * ksi,
    proof: proof * ksi,
    source: saeJ429,
    fromMemory: true,
  })),
];
