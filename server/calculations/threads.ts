// Screw threads: reading a designation, geometry, stress area, and what a fastener of a strength class bears.
import { type Refusal, refuse } from './refusal.ts';
import {
  coarsePitches,
  metricStressAreas,
  proofLoads,
  strengthRows,
  tabulatedClasses,
  type UnifiedRow,
  ultimateLoads,
  unifiedRows,
} from './thread-tables.ts';

/** A number and whether it stands in the standard's table or was worked out. */
export interface Sourced {
  readonly value: number;
  readonly from: 'table' | 'formula';
}

/** Lengths in mm, on the basic profile. */
export interface Thread {
  readonly system: 'metric' | 'unified';
  /** As written out in full: `M8x1.25`, `1/4-20 UNC`, `#10-32 UNF`. */
  readonly designation: string;
  /** `coarse` and `fine` for metric; the unified series; `undefined` for a pitch of no series. */
  readonly series: string | undefined;
  readonly diameter: number;
  readonly pitch: number;
  /** d2. */
  readonly pitchDiameter: number;
  /** D1, of the nut. */
  readonly minorDiameter: number;
  /** d3, of the bolt. */
  readonly rootDiameter: number;
  /** Of the circle that the stress area's formula describes: (d2 + d3)/2, or d − 0.9743/n. */
  readonly stressDiameter: number;
  /** At the pitch diameter, degrees. */
  readonly leadAngle: number;
  /** mm². */
  readonly stressArea: Sourced;
}

/**
 * `not-a-thread`: not written as one. `pitch-unknown`: a metric size whose coarse pitch no table gives.
 * `series-disagrees`: that size has another number of threads in the series named, or is not in it.
 * `impossible-pitch`: no thread of that diameter can have it.
 */
export type ThreadRefusal = Refusal<
  'not-a-thread' | 'pitch-unknown' | 'series-disagrees' | 'impossible-pitch'
>;

const millimetresPerInch = 25.4;
const metricPattern = /^M(\d+(?:\.\d+)?)(?:[x×](\d*\.?\d+))?$/;
const unifiedPattern = /^(#?\d{1,2}|\d+\/\d+|\d+-\d+\/\d+)-(\d+(?:\.\d+)?)(?: *(UN[JR]?(?:C|F|EF|S)?))?$/;

/**
 * Reads a thread from its designation: `M8` (coarse pitch meant), `M8x1`, `M8×1.25`, `1/4-20 UNC`,
 * `1-1/8-7 UNC`, `#10-32 UNF`. Without a series the number of threads settles it.
 *
 * Geometry of the 60° profile with H = √3/2·P (ISO 68-1 and 724, ASME B1.1): d2 = d − 3/4 H, D1 = d − 5/4 H,
 * d3 = d − 17/12 H. The stress area is the tabulated one where it is held (ISO 898-1, ASME B1.1), else
 * π/4·((d2 + d3)/2)² for metric and π/4·(d − 0.9743/n)² for unified threads.
 */
export function parseThread(text: string): Thread | ThreadRefusal {
  const trimmed = text.trim();
  const metric = metricPattern.exec(trimmed);
  if (metric) return metricThread(Number(metric[1]), metric[2] === undefined ? undefined : Number(metric[2]));
  const unified = unifiedPattern.exec(trimmed);
  if (unified) return unifiedThread(unified[1] ?? '', Number(unified[2]), unified[3]);
  return refuse('not-a-thread', `${text} is not a thread: write M8x1.25, 1/4-20 UNC or #10-32 UNF`);
}

function metricThread(diameter: number, written: number | undefined): Thread | ThreadRefusal {
  const coarse = coarsePitches.get(diameter);
  const pitch = written ?? coarse;
  if (pitch === undefined) {
    return refuse(
      'pitch-unknown',
      `M${diameter} has no coarse pitch in the tables: write the pitch, M${diameter}x…`,
    );
  }
  const designation = `M${diameter}x${pitch}`;
  if (!isPossiblePitch(diameter, pitch)) return impossiblePitch(designation);
  const shape = profile(diameter, pitch);
  const stressDiameter = (shape.pitchDiameter + shape.rootDiameter) / 2;
  const tabulated = metricStressAreas.get(pitch === coarse ? `M${diameter}` : designation);
  return {
    system: 'metric',
    designation,
    series: pitch === coarse ? 'coarse' : coarse === undefined ? undefined : 'fine',
    ...shape,
    stressDiameter,
    stressArea: sourced(tabulated, circle(stressDiameter)),
  };
}

function unifiedThread(written: string, perInch: number, series: string | undefined): Thread | ThreadRefusal {
  const row = unifiedRow(written, perInch, series);
  const family = familyOf(series);
  const size = row?.size ?? written;
  if (family !== undefined && row?.series !== family) {
    return refuse('series-disagrees', seriesHint(size, perInch, family));
  }
  const inches = inchesOf(size);
  if (inches === undefined) return refuse('not-a-thread', `${size} is not a size of unified threads`);
  const diameter = inches * millimetresPerInch;
  const pitch = millimetresPerInch / perInch;
  const named = series ?? row?.series;
  const designation = `${size}-${perInch}${named === undefined ? '' : ` ${named}`}`;
  if (!isPossiblePitch(diameter, pitch)) return impossiblePitch(designation);
  const stressDiameter = diameter - 0.9743 * pitch;
  const tabulated = row?.stressArea === undefined ? undefined : row.stressArea * millimetresPerInch ** 2;
  return {
    system: 'unified',
    designation,
    series: named,
    ...profile(diameter, pitch),
    stressDiameter,
    stressArea: sourced(tabulated, circle(stressDiameter)),
  };
}

/** The row of a size and number of threads. A bare `10-32` is the numbered size, there being no 10 in screw of that pitch. */
function unifiedRow(size: string, perInch: number, series: string | undefined): UnifiedRow | undefined {
  const sizes = size.startsWith('#') ? [size] : [`#${size}`, size];
  const rows = unifiedRows.filter((row) => sizes.includes(row.size) && row.perInch === perInch);
  return rows.find((row) => row.series === familyOf(series)) ?? rows[0];
}

/** The series that fixes the number of threads: UNJF and UNRF have those of UNF, UN and UNS any. */
function familyOf(series: string | undefined): string | undefined {
  const ending = series === undefined ? undefined : /(?:C|EF|F)$/.exec(series)?.[0];
  return ending === undefined ? undefined : `UN${ending}`;
}

function seriesHint(size: string, perInch: number, family: string): string {
  const right = unifiedRows.find((row) => row.size === size && row.series === family);
  const other = unifiedRows.find((row) => row.size === size && row.perInch === perInch);
  const has = right
    ? `${size} ${family} has ${right.perInch} threads an inch`
    : `there is no ${size} ${family}`;
  return other ? `${has}; ${size}-${perInch} is ${other.series}` : has;
}

/** Numbered sizes, which end at 14, are 0.060 in and 0.013 in more a number; others end at 6 in (ASME B1.1). */
function inchesOf(size: string): number | undefined {
  const number = /^#(\d+)$/.exec(size)?.[1];
  if (number !== undefined) return Number(number) <= 14 ? 0.06 + 0.013 * Number(number) : undefined;
  const match = /^(?:(\d+)-)?(\d+)\/(\d+)$/.exec(size);
  const inches = match ? Number(match[1] ?? 0) + Number(match[2]) / Number(match[3]) : Number(size);
  return inches > 0 && inches <= 6 ? inches : undefined;
}

/** The steepest standard threads have a pitch of a quarter of their diameter (M1). */
function isPossiblePitch(diameter: number, pitch: number): boolean {
  return pitch > 0 && pitch <= diameter / 3;
}

function impossiblePitch(designation: string): ThreadRefusal {
  return refuse('impossible-pitch', `no thread is ${designation}: the pitch is too large for the diameter`);
}

function profile(diameter: number, pitch: number) {
  const height = (Math.sqrt(3) / 2) * pitch;
  const pitchDiameter = diameter - 0.75 * height;
  return {
    diameter,
    pitch,
    pitchDiameter,
    minorDiameter: diameter - 1.25 * height,
    rootDiameter: diameter - (17 / 12) * height,
    leadAngle: (Math.atan(pitch / (Math.PI * pitchDiameter)) * 180) / Math.PI,
  };
}

function circle(diameter: number): number {
  return (Math.PI / 4) * diameter ** 2;
}

function sourced(table: number | undefined, formula: number): Sourced {
  return table === undefined ? { value: formula, from: 'formula' } : { value: table, from: 'table' };
}

/** The strength of a fastener's material at its diameter. MPa. */
export interface Strength {
  /** `8.8`, `A2-70`, `grade 5`. */
  readonly name: string;
  /** Least tensile strength. */
  readonly tensile: number;
  /** Least yield point or 0.2 % proof strength. */
  readonly yield: number;
  /** Stress under proof load; `undefined` for stainless steel, whose standard has none. */
  readonly proof: number | undefined;
  readonly source: string;
  /** The numbers were not found in a source that could be read. */
  readonly fromMemory: boolean;
}

export type StrengthRefusal = Refusal<'unknown-class' | 'size-not-covered'>;

/**
 * The strength of a class or grade for a diameter in mm: `4.6` to `12.9` (ISO 898-1:2013, table 3), `A2-70`,
 * `A4-80` and the like (ISO 3506-1, from memory), `grade 2`, `SAE 5`, `gr 8` (SAE J429, from memory).
 */
export function strengthOf(name: string, diameter: number): Strength | StrengthRefusal {
  const plain = plainClass(name);
  const rows = strengthRows.filter((row) => row.name === plain);
  if (rows.length === 0)
    return refuse('unknown-class', `${name} is not a strength class that the tables hold`);
  // Three quarters of an inch is not quite 19.05 in binary.
  const slack = 1e-6;
  const row = rows.find(({ over, upTo }) => diameter > over + slack && diameter <= upTo + slack);
  if (row === undefined) {
    const largest = Math.max(...rows.map(({ upTo }) => upTo));
    return refuse('size-not-covered', `class ${plain} is given for diameters up to ${largest} mm`);
  }
  const { tensile, yield: yieldPoint, proof, source, fromMemory } = row;
  return { name: plain, tensile, yield: yieldPoint, proof, source, fromMemory };
}

/** The names that `strengthOf` knows. */
export function strengthNames(): readonly string[] {
  return [...new Set(strengthRows.map((row) => row.name))];
}

function plainClass(name: string): string {
  const trimmed = name.trim();
  const grade = /^(?:SAE\s*)?(?:J429\s*)?(?:grade|gr\.?)?\s*([1-8])$/i.exec(trimmed);
  // A bare digit would be a nut's class.
  return grade && trimmed.length > 1 ? `grade ${grade[1]}` : trimmed;
}

/** What a fastener of a thread and strength bears in tension, N. */
export interface TensileLoads {
  /** Load it must bear without lasting stretch; `undefined` where the standard gives no proof stress. */
  readonly proof: Sourced | undefined;
  /** Load at which it may begin to yield, without torsion. */
  readonly yield: number;
  /** Least load at which it may break. */
  readonly ultimate: Sourced;
}

/**
 * Loads of a thread of a strength class. Proof and ultimate loads of coarse threads in 8.8, 10.9 and 12.9 come
 * from the tables of ISO 898-1, which round in a way that stress times area does not always reproduce; the
 * others, and the load at yield, are stress times stress area.
 */
export function tensileLoads(thread: Thread, strength: Strength): TensileLoads {
  const area = thread.stressArea.value;
  const column = tabulatedClasses.indexOf(strength.name);
  const size = thread.system === 'metric' && thread.series === 'coarse' ? `M${thread.diameter}` : '';
  return {
    proof:
      strength.proof === undefined
        ? undefined
        : sourced(proofLoads.get(size)?.[column], strength.proof * area),
    yield: strength.yield * area,
    ultimate: sourced(ultimateLoads.get(size)?.[column], strength.tensile * area),
  };
}

export type BreakingTorqueRefusal = Refusal<'not-covered'>;

/** Share of the tensile strength that the torsional strength reaches: ISO 898-7:1992 (text reprint). */
const torsionalShares: ReadonlyMap<string, number> = new Map([
  ['8.8', 0.84],
  ['9.8', 0.815],
  ['10.9', 0.79],
  ['12.9', 0.75],
]);

/**
 * Least torque, N·m, that twists off a metric bolt of class 8.8 to 12.9, M1 to M10, by ISO 898-7:1992:
 * MB = τB·π/16·d3min³ with τB = X·Rm. The least root diameter is that of tolerance 6g with a root radius of
 * P/8; its allowance and tolerance are the formulas of ISO 965-1, from memory.
 */
export function breakingTorque(thread: Thread, strength: Strength): number | BreakingTorqueRefusal {
  const share = torsionalShares.get(strength.name);
  if (thread.system !== 'metric' || thread.diameter > 10 || share === undefined) {
    return refuse(
      'not-covered',
      'breaking torques are given for M1 to M10 in classes 8.8, 9.8, 10.9 and 12.9',
    );
  }
  const root = leastRootDiameter(thread);
  return (share * strength.tensile * (Math.PI / 16) * root ** 3) / 1000;
}

function leastRootDiameter({ diameter, pitch, pitchDiameter }: Thread): number {
  const steps = [0.99, 1.4, 2.8, 5.6, 11.2];
  const above = steps.findIndex((upTo) => diameter <= upTo);
  const middle = Math.sqrt((steps[above - 1] ?? 0.99) * (steps[above] ?? 11.2));
  const allowance = 0.015 + 0.011 * pitch;
  const tolerance = 0.09 * pitch ** 0.4 * middle ** 0.1;
  // From the pitch line in to the bottom of a root of radius P/8, on both sides.
  const depth = (Math.sqrt(3) / 2 - 0.25) * pitch;
  return pitchDiameter - allowance - tolerance - depth;
}
