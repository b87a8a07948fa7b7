// The torque wrench: adapters, prevailing torque, and what its accuracy leaves of a spread.
import type { Interval } from './bounds.ts';
import { type Refusal, refuse } from './refusal.ts';

export interface Adapter {
  /** From where the hand pulls to the wrench's square, in any unit of length. */
  readonly wrenchLength: number;
  /** From the wrench's square to the fastener, in the same unit. */
  readonly adapterLength: number;
  /** Angle of the adapter, degrees: 0 lengthens the wrench, 90 changes nothing, 180 points back along the handle. */
  readonly angle: number;
}

/** `impossible-adapter`: a length that is not positive, or an adapter that reaches back to or past the hand. */
export type AdapterRefusal = Refusal<'impossible-adapter'>;

/**
 * What the wrench must read for a torque at the fastener, in the unit of the torque:
 * TW = TA·L/(L + E·cos α) (TM 1-1500-204-23-9 fig. 8-16; NAVEDTRA 14315 for the angle). Prevailing torque
 * (`drag`, at the fastener and in the same unit) is added first: AC 43.13-1B, paragraph 7-40.
 */
export function wrenchReading(
  torque: number,
  adapter: Adapter | undefined,
  drag = 0,
): number | AdapterRefusal {
  const ratio = adapterRatio(adapter);
  return typeof ratio === 'number' ? (torque + drag) / ratio : ratio;
}

/** The torque at the fastener, beyond its prevailing torque, for what the wrench reads: the inverse of `wrenchReading`. */
export function torqueAtFastener(
  reading: number,
  adapter: Adapter | undefined,
  drag = 0,
): number | AdapterRefusal {
  const ratio = adapterRatio(adapter);
  return typeof ratio === 'number' ? reading * ratio - drag : ratio;
}

/** Torque at the fastener over what the wrench reads. */
function adapterRatio(adapter: Adapter | undefined): number | AdapterRefusal {
  if (adapter === undefined) return 1;
  const { wrenchLength, adapterLength, angle } = adapter;
  // A right angle changes nothing, and the cosine of π/2 is not quite 0.
  const reach =
    angle % 180 === 90 || angle % 180 === -90 ? 0 : adapterLength * Math.cos((angle * Math.PI) / 180);
  const ratio = (wrenchLength + reach) / wrenchLength;
  if (!(wrenchLength > 0) || !(adapterLength >= 0) || !(ratio > 0) || !Number.isFinite(ratio)) {
    return refuse(
      'impossible-adapter',
      'the wrench needs a length, and the adapter may not reach back to the hand',
    );
  }
  return ratio;
}

/** The limits of a torque with the prevailing torque added: start at the lower, never exceed the upper (AC 43.13-1B, 7-40). */
export function withDrag(limits: Interval, drag: number): Interval {
  return { lower: limits.lower + drag, upper: limits.upper + drag };
}

/** What a wrench of a stated accuracy applies when it is set to a torque, against the limits of that torque. */
export interface WrenchScatter extends Interval {
  /** All of it lies inside the limits. */
  readonly inside: boolean;
  /** Width of the limits over width of the scatter; 4 is the usual aim. `undefined` for a wrench without error. */
  readonly ratio: number | undefined;
}

/** Accuracy in percent of reading, torques in one unit. `undefined` if a number is not finite or the accuracy negative. */
export function wrenchScatter(
  setting: number,
  accuracy: number,
  limits: Interval,
): WrenchScatter | undefined {
  const off = (Math.abs(setting) * accuracy) / 100;
  if (!(off >= 0) || !Number.isFinite(off + limits.lower + limits.upper)) return undefined;
  const lower = setting - off;
  const upper = setting + off;
  return {
    lower,
    upper,
    inside: lower >= limits.lower && upper <= limits.upper,
    ratio: off > 0 ? (limits.upper - limits.lower) / (2 * off) : undefined,
  };
}

/** Accuracy of a click wrench that states none, percent of reading, by its capacity in N·m: ISO 6789:2003 (reprint). */
export function standardWrenchAccuracy(capacity: number): 4 | 6 {
  return capacity > 10 ? 4 : 6;
}

/**
 * The part of a wrench's scale, in the unit of its capacity, on which it need be accurate: from 20 % to full
 * scale (TM 1-1500-204-23-9, Table 8-1; ISO 6789:2003 tests at 20, 60 and 100 %).
 */
export function trustedScale(capacity: number): Interval {
  return { lower: capacity / 5, upper: capacity };
}
