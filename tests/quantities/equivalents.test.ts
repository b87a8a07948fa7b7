/** Equivalents in parentheses, and the slips of unit and decimal place that explain a wrong one. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  areEasilyConfused,
  atLeast,
  atMost,
  bareSpread,
  contains,
  deviationSpread,
  exactSpread,
  isSpread,
  likelySlips,
  plusMinus,
  type Quantity,
  quantity,
  quantityAndEquivalent,
  rangeSpread,
  readNumber,
  type Spread,
  type SpreadResult,
  spreadAndEquivalent,
  unitsTakenFor,
  type WrittenNumber,
} from '../../server/quantities/index.ts';

function q(text: string): Quantity {
  const [number = '', unit = ''] = text.split(' ');
  const read = quantity(number, unit);
  if (read === undefined) throw new Error(`no quantity: ${text}`);
  return read;
}
function ok(result: SpreadResult): Spread {
  if (!isSpread(result)) throw new Error(result.explanation);
  return result;
}
const range = (low: string, high: string) => ok(rangeSpread(q(low), q(high)));
const around = (nominal: string, tolerance: string) => ok(plusMinus(q(nominal), q(tolerance)));

describe('a value and its equivalent', () => {
  // Pairs as workshop manuals print them (common practice), and fractions of an inch with their usual sizes.
  const agreeing = [
    ['24 N·m', '212 in·lbf'],
    ['24 N·m', '210 in·lbf'],
    ['24 N·m', '18 ft·lbf'],
    ['24 N·m', '17.7 ft·lbf'],
    ['10 N·m', '88 in·lbf'],
    ['10 N·m', '89 in·lbf'],
    ['10 N·m', '1.0 kgf·m'],
    ['0.05 mm', '0.002 in'],
    ['0.05 mm', '2 thou'],
    ['67.50 mm', '2.657 in'],
    ['3/8 in', '9.5 mm'],
    ['3/8 in', '9.525 mm'],
    ['1-3/8 in', '35 mm'],
    ['1/2 in', '12.7 mm'],
    ['21 °C', '70 °F'],
    ['20 °C', '68 °F'],
    ['1.5 bar', '22 psi'],
    ['30 inHg', '1016 mbar'],
    ['90 °', '1/4 turn'],
    ['24 N·m', '24.0 N·m'],
  ] as const;
  for (const [a, b] of agreeing)
    it(`${a} (${b}) agree, either way round`, () => {
      expect(quantityAndEquivalent(q(a), q(b))).toEqual({ agrees: true });
      expect(quantityAndEquivalent(q(b), q(a))).toEqual({ agrees: true });
    });

  const slipsOf = (value: Quantity, equivalent: Quantity) => {
    const result = quantityAndEquivalent(value, equivalent);
    return result.agrees || result.reason !== 'values-differ' ? [] : result.slips;
  };
  const slipping = [
    ['10 N·m', '88 ft·lbf', '7.4 ft·lbf', 'equivalent', '88 in·lbf', '89 in·lbf'],
    ['24 N·m', '212 ft·lbf', '17.7 ft·lbf', 'equivalent', '212 in·lbf', '212 in·lbf'],
    ['24 ft·lbf', '33 in·lbf', '288 in·lbf', 'equivalent', '33 N·m', '33 N·m'],
    ['88 ft·lbf', '9.9 N·m', '119 N·m', 'value', '88 in·lbf', '87.6 in·lbf'],
    ['24 kgf·m', '212 in·lbf', '2080 in·lbf', 'value', '24 N·m', '24.0 N·m'],
    ['0.05 mm', '2 mm', '0.05 mm', 'equivalent', '2 thou', '2.0 thou'],
    ['100 kPa', '14.5 bar', '1.00 bar', 'equivalent', '14.5 psi', '14.5 psi'],
    ['2.5 N·m', '2.2 in·lbf', '22.1 in·lbf', 'equivalent', '22 in·lbf', '22.1 in·lbf'],
    ['0.5 mm', '0.002 in', '0.020 in', 'equivalent', '0.02 in', '0.020 in'],
    ['20 °F', '68 °F', '20 °F', 'value', '20 °C', '20.0 °C'],
  ] as const;
  for (const [a, b, expected, side, text, other] of slipping)
    it(`${a} (${b}) do not; ${text} was probably meant`, () => {
      expect(quantityAndEquivalent(q(a), q(b))).toMatchObject({
        agrees: false,
        reason: 'values-differ',
        end: 'nominal',
        expected,
      });
      expect(slipsOf(q(a), q(b))[0]).toMatchObject({ side, text, expected: other });
    });

  it('a point may have slipped on either side', () => {
    expect(slipsOf(q('240 N·m'), q('212 in·lbf')).map(({ text }) => text)).toEqual(['2120 in·lbf', '24 N·m']);
    expect(slipsOf(q('10 N·m'), q('88 ft·lbf'))).toHaveLength(1);
  });

  it('names no slip where none explains it', () => {
    expect(quantityAndEquivalent(q('24 N·m'), q('215.0 in·lbf'))).toMatchObject({ agrees: true });
    expect(quantityAndEquivalent(q('24.0 N·m'), q('215 in·lbf'))).toEqual({
      agrees: false,
      reason: 'values-differ',
      end: 'nominal',
      expected: '212.4 in·lbf',
      slips: [],
    });
    expect(quantityAndEquivalent(q('1-3/8 in'), q('36 mm'))).toMatchObject({
      expected: '34.925 mm',
      slips: [],
    });
  });

  it('never suggests an equivalent in the unit of the value itself', () => {
    for (const [value, equivalent] of [
      ['18 N·m', '18 ft·lbf'],
      ['1.0 mm', '1.0 in'],
    ] as const)
      expect(quantityAndEquivalent(q(value), q(equivalent))).toMatchObject({
        agrees: false,
        slips: [],
      });
  });

  it('draws the line where the halves of the last places just meet', () => {
    // 24 N·m is anything from 23.5 to 24.5 N·m, which is 207.99 to 216.84 in·lbf.
    const agrees = (inchPounds: string) =>
      quantityAndEquivalent(q('24 N·m'), q(`${inchPounds} in·lbf`)).agrees;
    expect(['207', '208', '217', '218'].map(agrees)).toEqual([false, true, true, false]);
    expect(['207.9', '208.0', '216.8', '217.0'].map(agrees)).toEqual([false, true, true, false]);
  });

  it('never takes a torque for an energy, nor a mass for a force', () => {
    expect(quantityAndEquivalent(q('24 N·m'), q('24 J'))).toEqual({ agrees: false, reason: 'kinds-differ' });
    expect(quantityAndEquivalent(q('10 lb'), q('44.5 N'))).toEqual({ agrees: false, reason: 'kinds-differ' });
  });
});

describe('a spread and its equivalent', () => {
  it('by its nominal value where either is a bare one', () => {
    expect(spreadAndEquivalent(around('24 N·m', '2 N·m'), exactSpread(q('212 in·lbf')))).toEqual({
      agrees: true,
    });
    expect(spreadAndEquivalent(ok(bareSpread(q('24 N·m'))), ok(ok(bareSpread(q('212 in·lbf')))))).toEqual({
      agrees: true,
    });
    expect(spreadAndEquivalent(around('10 N·m', '1 N·m'), exactSpread(q('88 ft·lbf')))).toMatchObject({
      end: 'nominal',
      expected: '7.4 ft·lbf',
      slips: [{ side: 'equivalent', unit: 'in·lbf', text: '88 in·lbf', expected: '89 in·lbf' }],
    });
  });
  it('end by end', () => {
    expect(spreadAndEquivalent(around('24 N·m', '2 N·m'), around('212 in·lbf', '18 in·lbf'))).toEqual({
      agrees: true,
    });
    expect(spreadAndEquivalent(range('67.500 mm', '67.520 mm'), range('2.6575 in', '2.6583 in'))).toEqual({
      agrees: true,
    });
    expect(
      spreadAndEquivalent(range('67.500 mm', '67.520 mm'), range('2.6575 in', '2.6593 in')),
    ).toMatchObject({
      end: 'upper',
      expected: '2.65748..2.65827 in',
    });
    expect(spreadAndEquivalent(range('0 mm', '0.05 mm'), range('0 in', '0.002 in'))).toEqual({
      agrees: true,
    });
    expect(spreadAndEquivalent(around('24 N·m', '2 N·m'), around('212 in·lbf', '40 in·lbf'))).toMatchObject({
      end: 'lower',
    });
    expect(spreadAndEquivalent(atMost(q('0.08 mm')), atMost(q('0.003 in')))).toEqual({ agrees: true });
  });
  it('of a bound, with its sign or without', () => {
    // 0.02 in is 0.508 mm, 44 psi are 3.03 bar.
    expect(spreadAndEquivalent(atMost(q('0.5 mm')), exactSpread(q('0.02 in')))).toEqual({ agrees: true });
    expect(spreadAndEquivalent(atLeast(q('3 bar')), exactSpread(q('44 psi')))).toEqual({ agrees: true });
    expect(spreadAndEquivalent(atMost(q('0.5 mm')), exactSpread(q('0.03 in')))).toMatchObject({
      reason: 'values-differ',
      end: 'upper',
      expected: '<= 0.020 in',
    });
    expect(spreadAndEquivalent(atLeast(q('3 bar')), exactSpread(q('44 kPa')))).toMatchObject({
      end: 'lower',
      slips: [{ side: 'equivalent', text: '>= 44 psi' }],
    });
  });
  it('of deviations and fractions', () => {
    const n = (text: string) => readNumber(text) as WrittenNumber;
    const metric = ok(deviationSpread(q('67.5 mm'), n('0.02'), n('0')));
    expect(spreadAndEquivalent(metric, range('2.6575 in', '2.6583 in'))).toEqual({ agrees: true });
    expect(spreadAndEquivalent(range('1/4 in', '3/8 in'), range('6.35 mm', '9.53 mm'))).toEqual({
      agrees: true,
    });
    expect(spreadAndEquivalent(range('1/4 in', '3/8 in'), range('6.30 mm', '9.53 mm'))).toMatchObject({
      end: 'lower',
    });
  });
  it('with the unit swapped at both ends', () => {
    expect(spreadAndEquivalent(range('22 N·m', '26 N·m'), range('195 ft·lbf', '230 ft·lbf'))).toMatchObject({
      slips: [{ side: 'equivalent', unit: 'in·lbf', text: '195..230 in·lbf', expected: '195..230 in·lbf' }],
    });
  });
  it('not when one has an end that the other lacks', () => {
    expect(spreadAndEquivalent(range('22 N·m', '26 N·m'), exactSpread(q('212 in·lbf')))).toEqual({
      agrees: false,
      reason: 'ends-differ',
    });
    expect(spreadAndEquivalent(atMost(q('1 mm')), atLeast(q('0.04 in')))).toMatchObject({
      reason: 'ends-differ',
    });
    expect(spreadAndEquivalent(atMost(q('1 mm')), atMost(q('1 N')))).toMatchObject({
      reason: 'kinds-differ',
    });
  });
});

describe('what an equivalent would have been', () => {
  const told = (value: Spread, equivalent: Spread) => {
    const result = spreadAndEquivalent(value, equivalent);
    return result.agrees || result.reason !== 'values-differ' ? undefined : result;
  };
  it('keeps the form in which it was written', () => {
    expect(told(around('24 N·m', '2 N·m'), around('212 ft·lbf', '18 ft·lbf'))?.slips[0]).toMatchObject({
      slip: 'unit',
      side: 'equivalent',
      text: '212 ± 18 in·lbf',
    });
    expect(told(around('24 N·m', '2 N·m'), around('21.2 in·lbf', '1.8 in·lbf'))?.slips[0]).toMatchObject({
      slip: 'decimal-place',
      text: '212 ± 18 in·lbf',
    });
    expect(told(around('2.4 N·m', '0.2 N·m'), around('212 in·lbf', '18 in·lbf'))?.slips[0]).toMatchObject({
      slip: 'decimal-place',
      side: 'equivalent',
      text: '21.2 ± 1.8 in·lbf',
    });
  });
  it('shows ends as a range, and one end as one', () => {
    expect(told(range('22 N·m', '26 N·m'), range('195 in·lbf', '250 in·lbf'))).toMatchObject({
      end: 'upper',
      expected: '195..230 in·lbf',
    });
    expect(told(atMost(q('0.05 mm')), atMost(q('0.003 in')))).toMatchObject({ expected: '<= 0.0020 in' });
    expect(told(exactSpread(q('24 N·m')), exactSpread(q('220 in·lbf')))).toMatchObject({
      expected: '212 in·lbf',
    });
  });
  it('of a whole spread has the same ends as the value has', () => {
    const bare = ok(bareSpread(q('24 N·m')));
    expect(spreadAndEquivalent(range('22 N·m', '26 N·m'), atMost(q('230 in·lbf')))).toEqual({
      agrees: false,
      reason: 'ends-differ',
    });
    expect(spreadAndEquivalent(range('22 N·m', '26 N·m'), ok(bareSpread(q('212 in·lbf'))))).toEqual({
      agrees: false,
      reason: 'ends-differ',
    });
    expect(spreadAndEquivalent(bare, around('212 in·lbf', '18 in·lbf'))).toEqual({ agrees: true });
    expect(spreadAndEquivalent(around('24 N·m', '2 N·m'), range('195 in·lbf', '230 in·lbf'))).toEqual({
      agrees: true,
    });
  });
  it('agrees where the digits of both could be the same value, and one more place apart no longer', () => {
    // 25 mm is 24.5 to 25.5 mm, 1.00 in is 25.27 to 25.53 mm: they meet at 25.5 mm; 1.01 in (25.53 mm up) does not.
    expect(quantityAndEquivalent(q('25 mm'), q('1.00 in')).agrees).toBe(true);
    expect(quantityAndEquivalent(q('25 mm'), q('1.01 in')).agrees).toBe(false);
    // Fractions are exact: 3/8 in is 9.525 mm, so 9.52 mm (up to 9.525) and 9.53 mm both hold it, 9.54 mm does not.
    expect(quantityAndEquivalent(q('3/8 in'), q('9.52 mm')).agrees).toBe(true);
    expect(quantityAndEquivalent(q('3/8 in'), q('9.53 mm')).agrees).toBe(true);
    expect(quantityAndEquivalent(q('3/8 in'), q('9.54 mm')).agrees).toBe(false);
  });
});

describe('likely slips', () => {
  const torque = around('24 N·m', '2 N·m');
  const runout = atMost(q('0.05 mm'));
  const bore = range('67.500 mm', '67.520 mm');
  const first = (text: string, spread: Spread) => likelySlips(q(text), spread)[0]?.text;

  it('of the unit', () => {
    expect(first('24 in·lbf', torque)).toBe('24 N·m');
    expect(first('212 N·m', torque)).toBe('212 in·lbf');
    expect(first('212 ft·lbf', torque)).toBe('212 in·lbf');
    expect(first('18 N·m', torque)).toBe('18 ft·lbf');
    expect(first('2.658 mm', bore)).toBe('2.658 in');
    expect(first('1.5 mm', runout)).toBe('1.5 thou');
    expect(first('70 °C', around('20 °C', '5 °C'))).toBe('70 °F');
    expect(first('100 psi', around('100 kPa', '5 kPa'))).toBe('100 kPa');
    expect(first('2657.9 mm', bore)).toBe('2657.9 thou');
  });
  it('of the unit rather than of the point, where the unit of the limit explains it', () => {
    expect(first('0.15 cm', range('0.1 mm', '0.2 mm'))).toBe('0.15 mm');
    expect(first('100 MPa', range('80 kPa', '120 kPa'))).toBe('100 kPa');
  });
  // Why one is written for the other (common practice). Likeliest company first for each.
  const company: readonly (readonly [unit: string, ...takenFor: string[]])[] = [
    // A wrench with two scales, and books of two countries.
    ['N·m', 'ft·lbf', 'in·lbf', 'cN·m', 'kgf·m', 'kgf·cm', 'dN·m', 'daN·m', 'N·mm'],
    ['ft·lbf', 'in·lbf', 'N·m', 'kgf·m'],
    ['in·lbf', 'ft·lbf', 'N·m', 'in·ozf', 'kgf·cm'],
    ['in·ozf', 'in·lbf', 'cN·m'],
    ['kgf·m', 'N·m', 'kgf·cm', 'ft·lbf'],
    ['kgf·cm', 'kgf·m', 'N·m', 'cN·m'],
    // A micrometer of the other kind, and a dial read in divisions.
    ['mm', 'in', 'thou', 'µm', 'cm'],
    ['in', 'mm', 'thou', 'cm'],
    ['thou', 'mm', 'µm', 'in'],
    ['µm', 'mm', 'thou', 'µin'],
    // Gauges with two rings of figures.
    ['psi', 'kPa', 'bar'],
    ['kPa', 'psi', 'bar', 'MPa'],
    ['bar', 'psi', 'kPa', 'mbar', 'MPa'],
    ['mbar', 'bar', 'kPa', 'inH2O', 'mmHg'],
    ['inHg', 'mmHg', 'inH2O', 'kPa', 'psi'],
    ['mmHg', 'inHg', 'mbar'],
    ['°C', '°F', 'K'],
    ['g', 'oz', 'kg'],
    ['lb', 'kg', 'oz'],
    ['N', 'lbf', 'kgf', 'kN'],
    ['lbf', 'N', 'kgf'],
    // Jugs, and gallons that are not the same.
    ['L', 'gal', 'cm³', 'imp_gal'],
    ['cm³', 'in³', 'L', 'fl_oz', 'mm³'],
    ['gal', 'L', 'imp_gal'],
    ['fl_oz', 'cm³', 'imp_fl_oz'],
    ['cm²', 'in²', 'mm²'],
    ['min', 's', 'h'],
    ['°', 'rad', 'turn'],
    ['Ω', 'kΩ'],
  ];
  it.each(company)('%s is written for %s, before any other unit', (unit, ...takenFor) => {
    expect(unitsTakenFor(unit).slice(0, takenFor.length)).toEqual(takenFor);
    for (const other of takenFor) {
      expect(areEasilyConfused(unit, other), other).toBe(true);
      expect(areEasilyConfused(other, unit), other).toBe(true);
      // 37.5 of the one where the limit is written in the other names it.
      const limit = range(`37 ${other}`, `38 ${other}`);
      const slips = likelySlips(q(`37.5 ${unit}`), limit);
      expect(
        slips.map(({ text }) => text),
        other,
      ).toContain(`37.5 ${other}`);
    }
  });
  it('no unit is taken for itself or for another kind, and rare ones are not offered', () => {
    for (const [unit] of company) {
      expect(unitsTakenFor(unit)).not.toContain(unit);
      expect(areEasilyConfused(unit, unit)).toBe(false);
    }
    expect(areEasilyConfused('N·m', 'J')).toBe(false);
    expect(areEasilyConfused('psi', 'inH2O')).toBe(false);
    expect(unitsTakenFor('N·m')).not.toContain('J');
    expect(unitsTakenFor('Pa')).toContain('kPa');
    expect(unitsTakenFor('nonsense')).toEqual([]);
  });
  it('a commoner confusion before a rarer one, either before a second slip of the point', () => {
    const texts = (text: string, spread: Spread) => likelySlips(q(text), spread).map((slip) => slip.text);
    expect(texts('0.41 mm', range('10 mm', '10.8 mm'))).toEqual(['0.41 in']);
    expect(texts('0.041 mm', range('1 mm', '1.08 mm'))).toEqual(['0.041 in']);
    // A whole thou is usual, a fraction of one is not: the point slipped.
    expect(texts('0.4 mm', atMost(q('0.05 mm')))[0]).toBe('0.04 mm');
  });
  it('one place of the point is likelier than two or three', () => {
    const texts = likelySlips(q('5.00 mm'), atMost(q('0.6 mm'))).map(({ text }) => text);
    expect(texts[0]).toBe('0.500 mm');
    expect(first('5000 N', range('4.9 N', '5.1 N'))).toBe('5 N');
    expect(first('500 N', range('4.9 N', '5.1 N'))).toBe('5 N');
    // Three places of the point are less likely than a gauge in kilonewtons.
    expect(first('0.005 N', range('4.9 N', '5.1 N'))).toBe('0.005 kN');
    expect(first('0.05 N', range('4.9 N', '5.1 N'))).toBe('5 N');
  });
  it('of the decimal place', () => {
    expect(first('0.3 mm', runout)).toBe('0.03 mm');
    expect(first('6.751 mm', bore)).toBe('67.51 mm');
    expect(first('240 N·m', torque)).toBe('24 N·m');
    expect(likelySlips(q('0.30 mm'), runout)[0]).toMatchObject({
      slip: 'decimal-place',
      factor: 0.1,
      text: '0.030 mm',
    });
    expect(first('2.4 N·m', torque)).toBe('24 N·m');
  });
  it('without far-fetched ones', () => {
    const texts = likelySlips(q('0.3 mm'), runout).map(({ text }) => text);
    expect(texts).toContain('0.03 mm');
    expect(texts).not.toContain('0.3 µm');
    expect(texts).not.toContain('0.0003 mm');
  });
  it('of neither, where the value is merely wrong, right, or of another kind', () => {
    for (const text of ['0.06 mm', '0.08 mm', '0.14 mm', '0.05 mm', '0.04 mm', '0 mm', '3 N'])
      expect(likelySlips(q(text), runout), text).toEqual([]);
    for (const text of ['21 N·m', '27 N·m', '24 N·m', '24 J', '30 N·m', '0 N·m'])
      expect(likelySlips(q(text), torque), text).toEqual([]);
    expect(likelySlips(q('67.571 mm'), bore)).toEqual([]);
    expect(likelySlips(q('9 N·m'), range('10 N·m', '40 N·m'))).toEqual([]);
  });
  it('only such as would meet the spread', () => {
    const quantities = fc
      .tuple(
        fc.integer({ min: 1, max: 99_999 }),
        fc.integer({ min: 0, max: 3 }),
        fc.constantFrom('N·m', 'ft·lbf', 'in·lbf'),
      )
      .map(([digits, decimals, unit]) => q(`${(digits / 10 ** decimals).toFixed(decimals)} ${unit}`));
    fc.assert(
      fc.property(quantities, quantities, (value, nominal) => {
        const spread = ok(plusMinus(nominal, q('5 %')));
        const slips = likelySlips(value, spread);
        if (contains(spread, value) === true) expect(slips).toEqual([]);
        for (const slip of slips) {
          expect(contains(spread, { value: slip.value, unit: spread.unit })).toBe(true);
          const [number = '', unit = ''] = slip.text.split(' ');
          expect(contains(spread, q(`${number} ${unit}`))).toBe(true);
        }
      }),
    );
  });

  it('round zero and below it, where only the sign that was written counts', () => {
    const lash = range('-0.02 mm', '0.05 mm');
    expect(first('0.2 mm', lash)).toBe('0.02 mm');
    expect(first('-0.2 mm', lash)).toBe('-0.02 mm');
    const shaft = range('-0.041 mm', '-0.025 mm');
    expect(first('-0.3 mm', shaft)).toBe('-0.03 mm');
    expect(likelySlips(q('0.03 mm'), shaft)).toEqual([]);
    expect(likelySlips(q('5 mm'), range('0 mm', '0 mm'))).toEqual([]);
  });
  it('past a lower end alone, as of a compression', () => {
    const compression = atLeast(q('8 bar'));
    expect(first('0.9 bar', compression)).toBe('9 bar');
    expect(likelySlips(q('7 bar'), compression)).toEqual([]);
    expect(first('1.2 bar', compression)).toBe('12 bar');
    expect(likelySlips(q('3 bar'), compression)).toEqual([]);
  });
  it('of a spread that says one value only', () => {
    expect(first('240 N·m', exactSpread(q('24 N·m')))).toBe('24 N·m');
    expect(first('24 in·lbf', exactSpread(q('24 N·m')))).toBe('24 N·m');
  });
  it('no more than the spread is wide', () => {
    // 10 to 12 is met by 100 to 120 with the point one place on; a spread of ten to one is met by anything near it.
    expect(first('110 N·m', range('10 N·m', '12 N·m'))).toBe('11 N·m');
    expect(likelySlips(q('130 N·m'), range('12.5 N·m', '160 N·m'))).toEqual([]);
    expect(likelySlips(q('200 N·m'), range('12.5 N·m', '160 N·m')).map(({ slip }) => slip)).not.toContain(
      'decimal-place',
    );
  });
  it('keeps the digits that were written when the point is moved', () => {
    expect(first('0.30 mm', runout)).toBe('0.030 mm');
    expect(first('675.10 mm', bore)).toBe('67.510 mm');
    expect(first('240 N·m', torque)).toBe('24 N·m');
    expect(first('2.4 N·m', torque)).toBe('24 N·m');
    expect(first('1500 mm', range('14.5 mm', '15.5 mm'))).toBe('15 mm');
    expect(first('1520 mm', range('15.1 mm', '15.3 mm'))).toBe('15.2 mm');
    expect(first('1.5 mm', range('145 mm', '155 mm'))).toBe('150 mm');
  });
  it('the nearer to the middle first, where several would do', () => {
    const texts = likelySlips(q('0.5 in'), range('0.4 mm', '0.6 mm')).map(({ text }) => text);
    expect(texts[0]).toBe('0.5 mm');
    expect(likelySlips(q('100 psi'), around('100 kPa', '5 kPa'))[0]).toMatchObject({
      slip: 'unit',
      unit: 'kPa',
      factor: 1,
      value: 100,
    });
  });

  // What stands beside what on the bench: scales of one wrench, units of one gauge, symbols that differ by a letter
  // (common practice). The likeliest stands first, since the finding names it.
  const offered: readonly (readonly [unit: string, meant: string])[] = [
    ['N·m', 'ft·lbf in·lbf cN·m kgf·m kgf·cm dN·m daN·m N·mm'],
    ['ft·lbf', 'in·lbf N·m kgf·m'],
    ['in·lbf', 'ft·lbf N·m in·ozf kgf·cm'],
    ['in·ozf', 'in·lbf cN·m'],
    ['kgf·m', 'N·m kgf·cm ft·lbf'],
    ['kgf·cm', 'kgf·m N·m cN·m in·lbf'],
    ['cN·m', 'N·m in·ozf kgf·cm'],
    ['mm', 'in thou µm cm'],
    ['in', 'mm thou cm'],
    ['thou', 'mm µm in'],
    ['µm', 'mm thou µin'],
    ['psi', 'kPa bar'],
    ['kPa', 'psi bar MPa'],
    ['bar', 'psi kPa mbar MPa'],
    ['mbar', 'bar kPa inH2O mmHg'],
    ['inHg', 'mmHg inH2O kPa psi'],
    ['mmHg', 'inHg mbar'],
    ['°C', '°F K'],
    ['g', 'oz kg'],
    ['lb', 'kg oz'],
    ['N', 'lbf kgf kN'],
    ['lbf', 'N kgf'],
    ['L', 'gal cm³ imp_gal'],
    ['cm³', 'in³ L fl_oz mm³'],
    ['gal', 'L imp_gal'],
    ['fl_oz', 'cm³ imp_fl_oz'],
    ['cm²', 'in² mm²'],
    ['min', 's h'],
    ['°', 'rad turn'],
    ['Ω', 'kΩ'],
  ];
  it.each(offered)('of %s offer first %s', (unit, meant) => {
    const wanted = meant.split(' ');
    expect(unitsTakenFor(unit).slice(0, wanted.length)).toEqual(wanted);
    expect(unitsTakenFor(unit)).not.toContain(unit);
    for (const other of wanted) {
      expect(areEasilyConfused(unit, other)).toBe(true);
      expect(areEasilyConfused(other, unit)).toBe(true);
    }
  });
  it('units of one kind that nobody takes for one another are offered last', () => {
    expect(areEasilyConfused('m', 'thou')).toBe(false);
    expect(areEasilyConfused('h', 'd')).toBe(false);
    expect(unitsTakenFor('thou')).toContain('m');
    expect(unitsTakenFor('h')[0]).toBe('min');
    expect(unitsTakenFor('h').indexOf('min')).toBeLessThan(unitsTakenFor('h').indexOf('d'));
  });

  it('knows which units are taken for one another', () => {
    expect(areEasilyConfused('in·lbf', 'ft·lbf')).toBe(true);
    expect(areEasilyConfused('ft·lbf', 'in·lbf')).toBe(true);
    expect(areEasilyConfused('thou', 'mm')).toBe(true);
    expect(areEasilyConfused('psi', 'kPa')).toBe(true);
    expect(areEasilyConfused('mm', 'N·m')).toBe(false);
    expect(unitsTakenFor('ft·lbf')[0]).toBe('in·lbf');
    expect(unitsTakenFor('nonsense')).toEqual([]);
  });
});
