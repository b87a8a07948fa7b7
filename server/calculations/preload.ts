// Tightening torque and preload: what a torque pulls, what it does to the thread, and what lubricant changes.
import type { Interval } from './bounds.ts';
import type { Strength, Thread } from './threads.ts';

/** Torque in N·m from a nut factor, a diameter in mm and a preload in N: T = K·d·F (Shigley, eq. 8-27). */
export function torqueFromNutFactor(nutFactor: number, diameter: number, preload: number): number {
  return (nutFactor * diameter * preload) / 1000;
}

/** Coefficients of friction in the thread and under the head; both alike if only one is known. */
export interface Friction {
  readonly thread: number;
  readonly head: number;
}

/** What the torque works against. Lengths in mm. */
export interface TighteningGeometry {
  readonly pitch: number;
  readonly pitchDiameter: number;
  /** Mean diameter of the bearing face under what is turned. */
  readonly bearingDiameter: number;
}

/**
 * The geometry of a thread with the usual bearing face: 1.25 times the diameter (Shigley, eq. 8-27, collar
 * friction 0.625·d). Pass a measured mean diameter in mm for a flange or a small head.
 */
export function tighteningGeometry(
  thread: Thread,
  bearingDiameter: number = 1.25 * thread.diameter,
): TighteningGeometry {
  return { pitch: thread.pitch, pitchDiameter: thread.pitchDiameter, bearingDiameter };
}

/**
 * Torque in N·m for a preload in N, long form with thread and head friction apart (Shigley, eq. 8-26):
 * T = F·[d2/2·(tan λ + μ·sec 30°)/(1 − μ·tan λ·sec 30°) + μh·D/2]. `undefined` if friction locks the thread
 * (the denominator is not positive) or a number is not finite.
 */
export function torqueForPreload(
  preload: number,
  geometry: TighteningGeometry,
  friction: Friction,
): number | undefined {
  const { pitch, pitchDiameter, bearingDiameter } = geometry;
  const lead = pitch / (Math.PI * pitchDiameter);
  const slope = friction.thread / Math.cos(Math.PI / 6);
  const divisor = 1 - slope * lead;
  const torque =
    (preload * ((pitchDiameter / 2) * ((lead + slope) / divisor) + (friction.head * bearingDiameter) / 2)) /
    1000;
  return divisor > 0 && Number.isFinite(torque) ? torque : undefined;
}

/** Preload in N for a torque in N·m: the inverse of `torqueForPreload`; `undefined` where that is. */
export function preloadForTorque(
  torque: number,
  geometry: TighteningGeometry,
  friction: Friction,
): number | undefined {
  const perNewton = torqueForPreload(1, geometry, friction);
  return perNewton !== undefined && perNewton > 0 ? torque / perNewton : undefined;
}

/** Torque in N·m for a preload in N as VDI 2230 writes it: M = F·(0.16·P + 0.58·d2·μ + D/2·μh). */
export function torqueForPreloadVdi(
  preload: number,
  geometry: TighteningGeometry,
  friction: Friction,
): number {
  const { pitch, pitchDiameter, bearingDiameter } = geometry;
  const arm = 0.16 * pitch + 0.58 * pitchDiameter * friction.thread + (bearingDiameter / 2) * friction.head;
  return (preload * arm) / 1000;
}

/** Both frictions alike. */
export function evenFriction(coefficient: number): Friction {
  return { thread: coefficient, head: coefficient };
}

/** The friction of steel threads as received or oiled, from the most slippery to be counted on to the least. */
export const usualFriction: Interval = { lower: 0.12, upper: 0.16 };

/**
 * The preloads in N that a torque between two limits in N·m may pull over a range of friction: least at the
 * least torque and most friction. `undefined` if a number makes no sense.
 */
export function preloadRange(
  torque: Interval,
  geometry: TighteningGeometry,
  friction: Interval = usualFriction,
): Interval | undefined {
  const lower = preloadForTorque(torque.lower, geometry, evenFriction(friction.upper));
  const upper = preloadForTorque(torque.upper, geometry, evenFriction(friction.lower));
  return lower === undefined || upper === undefined ? undefined : { lower, upper };
}

/** What a torque does to a bolt at one friction. */
export interface TighteningStress {
  readonly friction: number;
  /** N. */
  readonly preload: number;
  /** MPa: tension, torsion, and the two combined (von Mises). */
  readonly tension: number;
  readonly torsion: number;
  readonly combined: number;
}

/**
 * The stress in a bolt of a thread tightened to a torque in N·m: preload by VDI 2230's torque, tension on
 * the stress area, torsion from the torque in the thread on a section that yields throughout (VDI 2230:2001):
 * τ/σ = 3/2·(d2/d0)·(P/(π·d2) + 1.155·μ), d0 the diameter of the stress area. `undefined` if a number makes no sense.
 */
export function tighteningStress(
  torque: number,
  thread: Thread,
  friction: number,
  bearingDiameter?: number,
): TighteningStress | undefined {
  const geometry = tighteningGeometry(thread, bearingDiameter);
  const preload = torque / torqueForPreloadVdi(1, geometry, evenFriction(friction));
  if (!Number.isFinite(preload) || preload < 0 || friction < 0) return undefined;
  const tension = preload / stressCircle(thread);
  const torsion = tension * torsionOverTension(thread, friction);
  return { friction, preload, tension, torsion, combined: Math.hypot(tension, Math.sqrt(3) * torsion) };
}

/**
 * Preload in N at which combined stress reaches a share of the yield strength, 0.9 being VDI 2230's:
 * F = As·ν·Rp/√(1 + 3·(τ/σ)²).
 */
export function assemblyPreload(thread: Thread, strength: Strength, friction: number, share = 0.9): number {
  const ratio = torsionOverTension(thread, friction);
  return (stressCircle(thread) * share * strength.yield) / Math.sqrt(1 + 3 * ratio ** 2);
}

/** mm². By the formula: VDI 2230 does not use the rounded areas of ISO 898-1. */
function stressCircle({ stressDiameter }: Thread): number {
  return (Math.PI / 4) * stressDiameter ** 2;
}

function torsionOverTension(thread: Thread, friction: number): number {
  const { pitch, pitchDiameter, stressDiameter } = thread;
  return 1.5 * (pitchDiameter / stressDiameter) * (pitch / (Math.PI * pitchDiameter) + 1.155 * friction);
}

export interface YieldJudgement {
  /**
   * `past-yield`: even at the most friction. `may-yield`: at the least friction but not at the most. `bears`:
   * at neither.
   */
  readonly verdict: 'bears' | 'may-yield' | 'past-yield';
  readonly atLeastFriction: TighteningStress;
  readonly atMostFriction: TighteningStress;
  /** Torques in N·m at which yield begins, at the least and at the most friction. */
  readonly yieldTorque: Interval;
}

/**
 * Whether a torque in N·m takes a bolt of a thread and class past its yield, at friction 0.12 and 0.16 unless
 * told otherwise. Not for torque and angle, which goes past yield on purpose, nor for fasteners with a waist.
 * `undefined` if a number makes no sense.
 */
export function judgeYield(
  torque: number,
  thread: Thread,
  strength: Strength,
  {
    friction = usualFriction,
    bearingDiameter,
  }: { friction?: Interval | undefined; bearingDiameter?: number | undefined } = {},
): YieldJudgement | undefined {
  const atLeastFriction = tighteningStress(torque, thread, friction.lower, bearingDiameter);
  const atMostFriction = tighteningStress(torque, thread, friction.upper, bearingDiameter);
  if (!atLeastFriction || !atMostFriction || !(strength.yield > 0)) return undefined;
  const geometry = tighteningGeometry(thread, bearingDiameter);
  const yieldTorque = (coefficient: number) =>
    torqueForPreloadVdi(
      assemblyPreload(thread, strength, coefficient, 1),
      geometry,
      evenFriction(coefficient),
    );
  const verdict =
    atMostFriction.combined > strength.yield
      ? 'past-yield'
      : atLeastFriction.combined > strength.yield
        ? 'may-yield'
        : 'bears';
  return {
    verdict,
    atLeastFriction,
    atMostFriction,
    yieldTorque: { lower: yieldTorque(friction.lower), upper: yieldTorque(friction.upper) },
  };
}

/** How slippery a lubricant makes a steel thread. */
export interface Lubricant {
  readonly name: string;
  /** Range of the coefficient of friction. */
  readonly friction: Interval;
  readonly source: string;
}

const vdiClasses = 'friction classes of VDI 2230, from memory';

/** Name, friction from and to, source, and other words for it. */
const lubricantRows: readonly (readonly [string, number, number, string, readonly string[]])[] = [
  [
    'dry',
    0.14,
    0.24,
    `${vdiClasses}; Shigley's K 0.30 for black bolts is the upper end`,
    ['clean', 'none', 'unlubricated'],
  ],
  ['zinc', 0.14, 0.2, "from memory; about Shigley's K 0.20", ['zinc-plated', 'galvanised', 'galvanized']],
  ['oiled', 0.1, 0.16, `${vdiClasses}; Shigley's K 0.18 lies in it`, ['oil', 'engine-oil', 'lubricated']],
  ['greased', 0.08, 0.14, vdiClasses, ['grease']],
  ['cadmium', 0.09, 0.14, "from memory; about Shigley's K 0.16", ['cadmium-plated']],
  ['moly', 0.06, 0.1, 'from memory', ['moly-grease', 'moly-paste', 'molybdenum', 'mos2']],
  ['graphite', 0.07, 0.11, 'from memory', ['graphited']],
  [
    'anti-seize',
    0.07,
    0.11,
    "from memory; about Shigley's K 0.12",
    ['antiseize', 'copper-paste', 'copper-grease', 'nickel-paste'],
  ],
  ['wax', 0.06, 0.12, 'from memory', ['waxed']],
  ['ptfe', 0.04, 0.1, vdiClasses, []],
  ['threadlocker', 0.11, 0.18, 'from memory; wet', ['thread-lock', 'threadlock', 'locking-fluid']],
];

const lubricants: ReadonlyMap<string, Lubricant> = new Map(
  lubricantRows.flatMap(([name, lower, upper, source, words]) =>
    [name, ...words].map((word) => [word, { name, friction: { lower, upper }, source }] as const),
  ),
);

/** The lubricant that a word means, or `undefined`; capitals and underlines do not matter. */
export function lubricantNamed(word: string): Lubricant | undefined {
  return lubricants.get(word.toLowerCase().replaceAll('_', '-'));
}

/** The plain names of the lubricants held. */
export function lubricantNames(): readonly string[] {
  return lubricantRows.map(([name]) => name);
}

/** Proportions of M8, for a fastener whose thread is not known: they hardly differ between coarse threads. */
const usualGeometry: TighteningGeometry = { pitch: 1.25, pitchDiameter: 7.188, bearingDiameter: 10 };

/**
 * How many times the preload meant a torque gives when another lubricant is used than the torque is stated for:
 * the middle of each one's friction range, in VDI 2230's torque. Above 1 the bolt is pulled harder. The ends
 * are those of the two ranges against each other.
 */
export function preloadRatio(
  stated: Lubricant,
  used: Lubricant,
  geometry: TighteningGeometry = usualGeometry,
): { readonly typical: number; readonly range: Interval } {
  const arm = (coefficient: number) => torqueForPreloadVdi(1, geometry, evenFriction(coefficient));
  const middle = ({ friction }: Lubricant) => (friction.lower + friction.upper) / 2;
  return {
    typical: arm(middle(stated)) / arm(middle(used)),
    range: {
      lower: arm(stated.friction.lower) / arm(used.friction.upper),
      upper: arm(stated.friction.upper) / arm(used.friction.lower),
    },
  };
}

/**
 * Turn of the nut in degrees, past snug, that stretches a bolt to a stress: 360·σ·L/(E·P) (Wentzell, ex. 6.2).
 * Stress and modulus in MPa, length under stress and pitch in mm. The joint is taken as rigid: a real one,
 * which is squeezed too, needs more. `undefined` if a length or the modulus is not positive.
 */
export function turnOfNut({
  stress,
  length,
  pitch,
  modulus = 205_000,
}: {
  stress: number;
  length: number;
  pitch: number;
  modulus?: number | undefined;
}): number | undefined {
  if (!(length > 0) || !(pitch > 0) || !(modulus > 0) || !Number.isFinite(stress)) return undefined;
  return (360 * stress * length) / (modulus * pitch);
}
