// Thermal expansion and correction to 20 °C.
import { describe, expect, test } from 'vitest';
import { correctTo20, expansion, materialNamed, materialNames } from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

const steel = materialNamed('steel')!;
const aluminium = materialNamed('aluminium')!;

describe('correction to 20 °C', () => {
  test('100 mm of aluminium at 30 °C is 0.0231 mm over (coefficient: Swyt, NIST J. Res. 99(1):31)', () => {
    const result = correctTo20(100, { temperature: 30, part: aluminium, tool: undefined });
    expect(result?.correction).toBeCloseTo(-0.0231, 12);
    expect(result?.corrected).toBeCloseTo(99.9769, 12);
  });

  test('with a steel micrometer at the same 30 °C the error is 0.0116 mm (same source)', () => {
    const result = correctTo20(100, { temperature: 30, part: aluminium, tool: steel });
    expect(result?.correction).toBeCloseTo(-0.0116, 12);
  });

  test('68 °F is 20 °C and changes nothing (ISO 1:2016)', () => {
    const temperature = ((68 - 32) * 5) / 9;
    expect(correctTo20(100, { temperature, part: aluminium, tool: steel })).toMatchObject({ corrected: 100 });
  });

  test('part and tool of one material need no correction, but their alloys may differ', () => {
    const result = correctTo20(100, { temperature: 30, part: steel, tool: steel });
    expect(result?.correction).toBe(0);
    expect(result?.standardUncertainty).toBeCloseTo((100 * 10 * 1e-6 * Math.SQRT2) / Math.sqrt(3), 12);
  });

  test('numbers that are not finite give nothing', () => {
    expect(correctTo20(Number.NaN, { temperature: 20, part: steel, tool: steel })).toBeUndefined();
    expect(correctTo20(1, { temperature: Number.NaN, part: steel, tool: steel })).toBeUndefined();
  });
});

test('a 5 in stud heated by 370.46 °F grows 0.01204 in (Wentzell ex. 6.3)', () => {
  const row = readCheckValues('torque_preload_examples.csv').find((each) => each.id === 'TP13')!;
  expect(expansion(5, 6.5e-6, Number(row.book))).toBeCloseTo(0.01204, 6);
});

// Steel and aluminium: Swyt, NIST J. Res. 99(1):31 (1994). The others from memory, as the table says; each is held by
// the range that any alloy of the name is given in handbooks, from memory too, and by its order among the others.
test.each([
  ['steel', 11.5, 11.5],
  ['aluminium', 23.1, 23.1],
  ['cast-iron', 10, 11.5],
  ['al-si', 19, 21],
  ['stainless', 16, 17.5],
  ['brass', 18.5, 20.5],
  ['bronze', 17, 18.5],
  ['copper', 16.5, 17],
  ['magnesium', 25, 27],
  ['titanium', 8.4, 9.2],
  ['carbide', 4.5, 6],
])('%s grows %d to %d µm a metre and kelvin', (name, least, most) => {
  const metre = expansion(1e6, materialNamed(name)!.coefficient, 1);
  expect(metre).toBeGreaterThanOrEqual(least - 1e-9);
  expect(metre).toBeLessThanOrEqual(most + 1e-9);
  expect(materialNamed(name)!.name).toBe(name);
});

test('the spread of a material is about a tenth of its coefficient, and no more than a fifth', () => {
  for (const name of materialNames()) {
    const { spread, coefficient } = materialNamed(name)!;
    expect(spread / coefficient).toBeGreaterThan(0.03);
    expect(spread / coefficient).toBeLessThan(0.21);
  }
});

test('what part, tool and thermometer each add has its sign: a longer part reads less at 20 °C', () => {
  const result = correctTo20(100, {
    temperature: 30,
    temperatureUncertainty: 0.5,
    part: aluminium,
    tool: steel,
  })!;
  const rectangular = (spread: number) => (100 * 10 * spread) / Math.sqrt(3);
  expect(result.fromPart).toBeCloseTo(-rectangular(aluminium.spread), 12);
  expect(result.fromTool).toBeCloseTo(rectangular(steel.spread), 12);
  expect(result.fromTemperature).toBeCloseTo(-100 * 11.6e-6 * 0.5, 12);
});

test('every material says where its coefficient comes from', () => {
  for (const name of materialNames()) {
    const material = materialNamed(name)!;
    expect(material.fromMemory).toBe(material.source === 'from memory');
    expect(material.spread).toBeGreaterThan(0);
    expect(material.coefficient).toBeGreaterThan(4e-6);
    expect(material.coefficient).toBeLessThan(30e-6);
  }
  expect(materialNames().filter((name) => !materialNamed(name)!.fromMemory)).toEqual(['steel', 'aluminium']);
  expect(steel.source).toBe('Swyt, NIST J. Res. 99(1):31 (1994)');
  // Wentzell ex. 6.3 prints 6.5e-6 /°F for steel; it must lie within our spread.
  expect(Math.abs(6.5e-6 * 1.8 - steel.coefficient)).toBeLessThan(steel.spread);
  expect(materialNamed('unobtainium')).toBeUndefined();
});
