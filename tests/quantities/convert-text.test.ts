/** Conversions asked for in words: the rows, and a sentence with a remedy for whatever cannot be converted. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convertText, everydayConversions, quantity } from '../../server/quantities/index.ts';

const rows = (value: string, unit?: string): string[] => {
  const result = convertText(value, unit);
  return result.converted ? result.rows.map(({ text }) => text) : [result.message];
};

describe('conversion in words', () => {
  it('puts the unit that was asked for first, and for a torque all others after it', () => {
    expect(rows('88 ft·lbf', 'N·m')).toEqual([
      '119 N·m',
      '11900 cN·m',
      '1190 dN·m',
      '12.2 kgf·m',
      '1220 kgf·cm',
      '1060 in·lbf',
      '16900 in·ozf',
    ]);
    const result = convertText('88 ft·lbf', 'N·m');
    expect(result.converted && result.rows.map(({ asked }) => asked)).toEqual([
      true,
      ...Array(6).fill(false),
    ]);
    expect(result.converted && result.rows[0]?.value).toBeCloseTo(119.31197945, 8);
  });
  it('gives one row for anything else, and all without a target', () => {
    expect(rows('67.53 mm', 'in')).toEqual(['2.6587 in']);
    expect(rows('1.5 bar')).toEqual([
      '150000 Pa',
      '150 kPa',
      '0.15 MPa',
      '1500 mbar',
      '22 psi',
      '44 inHg',
      '1130 mmHg',
      '602 inH2O',
    ]);
    expect(rows('5 N/mm', 'lb/in')).toEqual(['29 lbf/in']);
  });
  it('takes any spelling, fractions and blanks', () => {
    expect(rows('18 ft lb', 'Nm')[0]).toBe('24 N·m');
    expect(rows('24N.m', 'in-lb')[0]).toBe('212 in·lbf');
    expect(rows(' 1-3/8 in ', ' mm ')).toEqual(['34.925 mm']);
    expect(rows('1⅜in', 'mm')).toEqual(['34.925 mm']);
    expect(rows('−40 °C', 'F')).toEqual(['-40 °F']);
    expect(rows('24\u00a0N·m', 'J')[0]).toContain('energy');
  });
  it('says of a temperature what it would be as a difference', () => {
    const result = convertText('21 °C', '°F');
    expect(result).toMatchObject({
      rows: [{ text: '70 °F' }],
      note: 'As a reading of a thermometer; a difference of 21 °C is one of 38 °F.',
    });
    expect(convertText('24 mm', 'in')).toMatchObject({ note: undefined });
  });

  it('says what a mixture comes to, as it has no other unit', () => {
    // 20 mL to a litre and 128/50 = 2.56 fl_oz to a US gallon: arithmetic, 1 gal = 128 fl_oz (NIST SP 811 B.8).
    expect(rows('50:1')).toEqual([
      '50:1 is a ratio, 50 parts to 1, and has no other unit. As oil in fuel it is 20 mL to 1 L, 2.6 fl_oz to 1 gal.',
    ]);
    expect(rows('32 : 1')[0]).toContain('31 mL to 1 L, 4.0 fl_oz to 1 gal');
    expect(rows('1:32')).toEqual(['A ratio is written to 1: write 32:1.']);
    expect(rows('0:1')).toEqual(['0:1 is a ratio, 0 parts to 1, and has no other unit.']);
  });

  const faults: readonly (readonly [value: string, unit: string | undefined, message: string])[] = [
    ['67,53 mm', 'in', 'A decimal comma is not read: write 67.53 mm.'],
    ['1 3/8 in', 'mm', 'A fraction is joined to its whole number: write 1-3/8 in.'],
    ['1e3 mm', 'm', 'Powers of ten are not read: write the number out.'],
    ['+5 mm', 'in', 'A plain number carries no plus sign: write 5 mm.'],
    ['24', 'N·m', '24 has no unit: write a number and its unit, such as "88 ft·lbf".'],
    [
      'N·m',
      undefined,
      '"N·m" does not begin with a number: write a number and its unit, such as "88 ft·lbf".',
    ],
    ['', undefined, '"" does not begin with a number: write a number and its unit, such as "88 ft·lbf".'],
    [
      '24 ± 2 N·m',
      undefined,
      'A spread is more than one value: write a number and its unit, such as "88 ft·lbf".',
    ],
    ['24 nm', undefined, '"nm" is not a unit: did you mean N·m?'],
    ['24 bananas', undefined, '"bananas" is not a unit: write a number and its unit, such as "88 ft·lbf".'],
    ['24 N·m', 'inlbz', '"inlbz" is not a unit: did you mean in·lbf or in·ozf?'],
    [
      '24 N·m',
      'J',
      'N·m measures a torque and J an energy: the dimensions are the same, the things are not. Convert to cN·m, dN·m, kgf·m or kgf·cm.',
    ],
    ['5 lb', 'N', 'lb measures a mass and N a force: write lbf where a force is meant.'],
    [
      '24 mm',
      'psi',
      'mm measures a length and psi a pressure: nothing converts between them. Convert to m, cm, µm or in.',
    ],
    [
      '6 months',
      'd',
      'Months and years have no fixed length, so they only convert into each other: count them from a date.',
    ],
    ['5 N/mm', undefined, 'No other everyday unit measures what N/mm does: name the unit to convert to.'],
    [
      '1 year',
      'h',
      'Months and years have no fixed length, so they only convert into each other: count them from a date.',
    ],
    [
      '100 h',
      'months',
      'Months and years have no fixed length, so they only convert into each other: count them from a date.',
    ],
    ['2 kg', 'N', 'kg measures a mass and N a force: write kgf where a force is meant.'],
    ['3 oz', 'lbf', 'oz measures a mass and lbf a force: write ozf where a force is meant.'],
    ['9 N', 'lb', 'N measures a force and lb a mass: write lbf where a force is meant.'],
    [
      '9 N',
      'g',
      'N measures a force and g a mass: nothing converts between them. Convert to kN, lbf or kgf.',
    ],
    [
      '5 lb',
      'mm',
      'lb measures a mass and mm a length: nothing converts between them. Convert to kg, g or oz.',
    ],
    [
      '5 lbf',
      'mm',
      'lbf measures a force and mm a length: nothing converts between them. Convert to N, kN or kgf.',
    ],
    [
      '24 N·m',
      'N',
      'N·m measures a torque and N a force: nothing converts between them. Convert to cN·m, dN·m, kgf·m or kgf·cm.',
    ],
    ['2 J', 'V', 'J measures an energy and V a voltage: nothing converts between them.'],
    ['-1 3/16 in', 'mm', 'A fraction is joined to its whole number: write -1-3/16 in.'],
    ['12  15/16 in', 'mm', 'A fraction is joined to its whole number: write 12-15/16 in.'],
    ['-67,531 mm', 'in', 'A decimal comma is not read: write -67.531 mm.'],
    ['1e+3 mm', 'm', 'Powers of ten are not read: write the number out.'],
    ['-2.5E-3 mm', 'm', 'Powers of ten are not read: write the number out.'],
    ['1 : 32.5', undefined, 'A ratio is written to 1: write 32.5:1.'],
    [
      '24 N·m extra',
      undefined,
      '"N·m extra" is not a unit: write a number and its unit, such as "88 ft·lbf".',
    ],
    ['24 mm', ' nonsense ', '"nonsense" is not a unit: write a number and its unit, such as "88 ft·lbf".'],
    ['1.2.3 mm', 'in', '"1.2.3" is not a number: write a number and its unit, such as "88 ft·lbf".'],
  ];
  for (const [value, unit, message] of faults)
    it(`of ${JSON.stringify(value)} in ${unit ?? 'all'} says why not`, () => {
      expect(convertText(value, unit)).toEqual({ converted: false, message });
    });

  it('answers whatever it is given', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'grapheme' }),
        fc.option(fc.string(), { nil: undefined }),
        (value, unit) => {
          const result = convertText(value, unit);
          expect(result.converted ? result.rows.length : result.message.length).toBeGreaterThan(0);
        },
      ),
    );
    for (const word of ['constructor', '__proto__', 'toString'])
      expect(convertText(`5 ${word}`, word).converted).toBe(false);
  });

  it('takes mixed numbers of any size, and a mixture with a part', () => {
    expect(rows('12-15/16 in', 'mm')).toEqual(['328.612 mm']);
    expect(rows('3/16 in', 'mm')).toEqual(['4.762 mm']);
    expect(rows('2.54 mm', 'in')).toEqual(['0.1000 in']);
    expect(rows('32.5:1')[0]).toContain('31 mL to 1 L, 3.9 fl_oz to 1 gal');
    expect(rows(' 50:1 ')[0]).toContain('20 mL to 1 L');
    expect(rows('1:1')[0]).toContain('1000 mL to 1 L');
    expect(rows('24 :1').length).toBe(1);
  });
  it('of a temperature without a target gives the difference in the other scale', () => {
    expect(convertText('70 °F')).toMatchObject({
      note: 'As a reading of a thermometer; a difference of 70 °F is one of 38.9 °C.',
    });
    expect(convertText('20 °C')).toMatchObject({
      note: 'As a reading of a thermometer; a difference of 20 °C is one of 36 °F.',
    });
    expect(convertText('293 K')).toMatchObject({
      note: 'As a reading of a thermometer; a difference of 293 K is one of 527 °F.',
    });
    // A kelvin and a degree Celsius are the same step: a difference needs no note.
    expect(convertText('293 K', '°C')).toMatchObject({ note: undefined });
    expect(convertText('20 °C', 'K')).toMatchObject({ note: undefined });
  });

  it('offers every everyday unit for a hover', () => {
    const torque = quantity('24', 'N·m');
    expect(torque && everydayConversions(torque).map(({ unit }) => unit)).toEqual([
      'cN·m',
      'dN·m',
      'kgf·m',
      'kgf·cm',
      'in·lbf',
      'ft·lbf',
      'in·ozf',
    ]);
  });
});
