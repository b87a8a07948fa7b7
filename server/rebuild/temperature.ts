/** What readings of length would be at 20 °C (ISO 1), by the material of the part and that of the tool. */
import { correctTo20, type Material, materialNamed, referenceTemperature } from '../calculations/index.ts';
import {
  convert,
  convertDifference,
  evenlySpread,
  fromBase,
  kindOf,
  lastPlace,
  type Quantity,
  toBase,
} from '../quantities/index.ts';
import type { Instance } from './characteristics.ts';
import type { LimitDeclaration } from './declarations.ts';
import type { Reading } from './entries.ts';
import { asRead, type Take } from './expressions.ts';

/** What parts and tools are made of where nothing says so. */
const USUAL_MATERIAL = 'steel';

/** The materials of a reading: undefined where it is one whose expansion is not known here. */
export interface Materials {
  readonly part: Material | undefined;
  readonly tool: Material | undefined;
  readonly partName: string;
  readonly toolName: string;
}

/** What the part and the tool of a reading are made of; steel where that is not stated. */
export function materialsOf(reading: Reading, declaration: LimitDeclaration): Materials {
  const partName = declaration.material ?? USUAL_MATERIAL;
  const toolName = reading.entry.tool?.material ?? USUAL_MATERIAL;
  return { part: materialNamed(partName), tool: materialNamed(toolName), partName, toolName };
}

/** The temperature at which a length was read, in °C; undefined where it is not known. */
function temperatureOf(reading: Reading): number | undefined {
  const { temperature } = reading.entry;
  const quantity = reading.high ?? reading.low;
  return temperature === undefined || quantity === undefined || kindOf(quantity.unit) !== 'length'
    ? undefined
    : convert(temperature.value, temperature.unit, '°C');
}

/** The temperature at which a length was read, in °C, where it is known and is not 20 °C. */
export function awayFrom20(reading: Reading): number | undefined {
  const celsius = temperatureOf(reading);
  return celsius === undefined || Math.abs(celsius - referenceTemperature) < 1e-9 ? undefined : celsius;
}

/**
 * What the temperature of a reading adds to its uncertainty, by source: the spread of both coefficients of expansion,
 * and the thermometer, read to its last written digit (half of it either way, evenly spread). In the unit of `of`;
 * nothing where the temperature or a material is not known.
 */
export function uncertaintyOfTemperature(
  reading: Reading,
  declaration: LimitDeclaration,
  of: Quantity,
): readonly (readonly [source: string, u: number])[] {
  const celsius = temperatureOf(reading);
  const { entry, name, item } = reading;
  const { temperature: written } = entry;
  if (celsius === undefined || written === undefined) return [];
  const { part, tool } = materialsOf(reading, declaration);
  if (part === undefined || tool === undefined) return [];
  if (part === tool && Math.abs(celsius - referenceTemperature) < 1e-9) return [];
  const half = convertDifference(lastPlace(written) / 2, written.unit, '°C') ?? 0;
  const corrected = correctTo20(of.value, {
    temperature: celsius,
    temperatureUncertainty: evenlySpread(half),
    part,
    tool,
  });
  if (corrected === undefined) return [];
  const { step } = entry;
  const thermometer = step?.temperature === written ? `step ${step.block.start}` : `line ${entry.index}`;
  const sources: readonly (readonly [string, number])[] = [
    [`expansion of the part ${name}[${item}]`, corrected.fromPart],
    [`expansion of the tool ${entry.tool?.name ?? ''}`, corrected.fromTool],
    [`thermometer, ${thermometer}`, corrected.fromTemperature],
  ];
  // At 20 °C, or with part and tool of one material, most of them add nothing.
  return sources.filter(([, u]) => u !== 0);
}

/** What to add to a reading to have it at 20 °C, in its own unit; undefined when there is nothing to correct by. */
export function correctionOf(reading: Reading, { declaration }: Instance): number | undefined {
  const temperature = awayFrom20(reading);
  const quantity = reading.high ?? reading.low;
  const { part, tool } = materialsOf(reading, declaration);
  if (temperature === undefined || quantity === undefined || part === undefined || tool === undefined)
    return undefined;
  const correction = correctTo20(quantity.value, { temperature, part, tool })?.correction;
  return correction === 0 ? undefined : correction;
}

/** A reading as it would be at 20 °C; as it was read where nothing says otherwise. */
export const at20: Take = (reading, instance) => {
  const plain = asRead(reading, instance);
  const unit = (reading.high ?? reading.low)?.unit;
  const correction = correctionOf(reading, instance);
  if (plain === undefined || unit === undefined || correction === undefined) return plain;
  const added = toBase({ value: fromBase(0, unit) + correction, unit });
  return { ...plain, low: plain.low + added, high: plain.high + added };
};
