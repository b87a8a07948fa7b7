/** The two systems of units that a workshop reads in, and which unit of the other says what one says. */

export type UnitSystem = 'metric' | 'imperial';

/** Each metric unit with the one of the other system that a builder would look for. */
const imperialFor: Readonly<Record<string, string>> = {
  mm: 'in',
  cm: 'in',
  µm: 'thou',
  m: 'ft',
  N·m: 'ft·lbf',
  dN·m: 'in·lbf',
  cN·m: 'in·lbf',
  kgf·m: 'ft·lbf',
  kgf·cm: 'in·lbf',
  N: 'lbf',
  kN: 'lbf',
  kgf: 'lbf',
  bar: 'psi',
  mbar: 'psi',
  kPa: 'psi',
  MPa: 'psi',
  mmHg: 'inHg',
  g: 'oz',
  kg: 'lb',
  '°C': '°F',
  L: 'gal',
  'cm³': 'in³',
};

const metricFor: Readonly<Record<string, string>> = {
  in: 'mm',
  ft: 'm',
  thou: 'mm',
  ft·lbf: 'N·m',
  in·lbf: 'N·m',
  in·ozf: 'N·m',
  lbf: 'N',
  psi: 'bar',
  inHg: 'mbar',
  oz: 'g',
  lb: 'kg',
  '°F': '°C',
  'in³': 'cm³',
  gal: 'L',
  fl_oz: 'cm³',
};

/** Below this many N·m a torque is spoken of in inches. */
const INCH_TORQUES = 15;

/**
 * The unit in which somebody of that system would say a value, whose size may matter (small torques are in in·lbf).
 * Undefined where it is said so already, and for what both systems share (an angle, a time, a count).
 */
export function unitInSystem(unit: string, value: number, system: UnitSystem): string | undefined {
  if (system === 'metric') return metricFor[unit];
  if (unit === 'N·m' && Math.abs(value) < INCH_TORQUES) return 'in·lbf';
  return imperialFor[unit];
}

/** The unit of the other system for a value; undefined where there is none. */
export function otherUnit(unit: string, value: number): string | undefined {
  return unitInSystem(unit, value, 'imperial') ?? unitInSystem(unit, value, 'metric');
}

/** The system of a unit; undefined for what both share. */
export function systemOf(unit: string): UnitSystem | undefined {
  if (Object.hasOwn(imperialFor, unit)) return 'metric';
  return Object.hasOwn(metricFor, unit) ? 'imperial' : undefined;
}
