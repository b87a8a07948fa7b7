// Thermal expansion: what a reading taken away from 20 °C would be at 20 °C (ISO 1:2016, reference temperature).

/** ISO 1:2016, by way of NIST J. Res. 121:026. In °C. */
export const referenceTemperature = 20;

export interface Material {
  readonly name: string;
  /** Coefficient of linear expansion, 1/K. */
  readonly coefficient: number;
  /** Half-width within which the coefficient of an unknown alloy of that name may lie, 1/K. Always from memory. */
  readonly spread: number;
  readonly source: string;
  /** The coefficient was not found in a source that could be read. */
  readonly fromMemory: boolean;
}

const swyt = 'Swyt, NIST J. Res. 99(1):31 (1994)';

/** Name, coefficient and half-width in millionths per kelvin, and source where there is one. */
const rows: readonly (readonly [string, number, number, string?])[] = [
  ['steel', 11.5, 1, swyt],
  ['aluminium', 23.1, 1.5, swyt],
  ['cast-iron', 10.6, 1],
  ['al-si', 20, 1.5],
  ['stainless', 16.5, 1.5],
  ['brass', 19, 1.5],
  ['bronze', 18, 1],
  ['copper', 16.8, 0.6],
  ['magnesium', 26, 1],
  ['titanium', 8.8, 0.6],
  ['carbide', 5, 1],
];

const materials: ReadonlyMap<string, Material> = new Map(
  rows.map(([name, coefficient, spread, source]) => [
    name,
    {
      name,
      coefficient: coefficient * 1e-6,
      spread: spread * 1e-6,
      source: source ?? 'from memory',
      fromMemory: source === undefined,
    },
  ]),
);

/** The material of that name in the table, or `undefined`. */
export function materialNamed(name: string): Material | undefined {
  return materials.get(name);
}

/** The names that `materialNamed` knows. */
export function materialNames(): readonly string[] {
  return [...materials.keys()];
}

/** Change of length, in the unit of `length`; `coefficient` per kelvin, `temperatureChange` in K. ΔL = α·L·ΔT. */
export function expansion(length: number, coefficient: number, temperatureChange: number): number {
  return coefficient * length * temperatureChange;
}

export interface CorrectedReading {
  /** The reading as it would be at 20 °C, in its own unit. */
  readonly corrected: number;
  /** What was added to the reading. */
  readonly correction: number;
  /**
   * What each source adds to the correction: signed sensitivity × standard uncertainty, in the unit of the reading. The
   * spreads of the coefficients are rectangular (a/√3). Part and tool of one name may still be different alloys, so
   * their spreads are independent.
   */
  readonly fromPart: number;
  readonly fromTool: number;
  readonly fromTemperature: number;
  /** Standard uncertainty of the correction: the three together. */
  readonly standardUncertainty: number;
}

/**
 * Corrects a reading of size, in any unit of length, to 20 °C. Part and tool are both at `temperature` (°C),
 * and both expand, so only the difference of their coefficients counts: L20 = L·(1 − (αpart − αtool)·(T − 20)),
 * to first order as in the end-gauge example of the GUM, H.1. For a tool that does not expand pass `undefined`.
 * `temperatureUncertainty` is the standard uncertainty of the temperature, in K; nothing when not given.
 *
 * `undefined` when the reading or the temperature is not finite.
 */
export function correctTo20(
  reading: number,
  {
    temperature,
    temperatureUncertainty = 0,
    part,
    tool,
  }: { temperature: number; temperatureUncertainty?: number; part: Material; tool: Material | undefined },
): CorrectedReading | undefined {
  if (!Number.isFinite(reading) || !Number.isFinite(temperature)) return undefined;
  const warmer = temperature - referenceTemperature;
  const apart = (tool?.coefficient ?? 0) - part.coefficient;
  const correction = expansion(reading, apart, warmer);
  const fromSpread = (spread: number) => expansion(reading, spread / Math.sqrt(3), warmer);
  const fromPart = -fromSpread(part.spread);
  const fromTool = fromSpread(tool?.spread ?? 0);
  const fromTemperature = expansion(reading, apart, temperatureUncertainty);
  return {
    corrected: reading + correction,
    correction,
    fromPart,
    fromTool,
    fromTemperature,
    standardUncertainty: Math.hypot(fromPart, fromTool, fromTemperature),
  };
}
