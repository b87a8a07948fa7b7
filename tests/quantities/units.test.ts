/** Every unit against published factors, a unit library and the `units` program, and the traps between kinds. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { UcumLhcUtils } from '@lhncbc/ucum-lhc';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalUnit, unitNames } from '../../grammar/unit-spellings.ts';
import {
  convert,
  convertDifference,
  everydayUnits,
  findUnit,
  fromBase,
  kindOf,
  kindOfProduct,
  kindOfQuotient,
  kindPhrase,
  sameKind,
  toBase,
  units,
} from '../../server/quantities/index.ts';

/** Relative agreement, which `toBeCloseTo` cannot ask for. */
function expectNear(actual: number | undefined, wanted: number, relative: number): void {
  expect(actual).toBeDefined();
  const error = Math.abs((actual ?? Number.NaN) - wanted);
  expect(error, `${actual} against ${wanted}`).toBeLessThanOrEqual(relative * Math.abs(wanted));
}

interface Factor {
  readonly from: string;
  readonly to: string;
  readonly nist: number | undefined;
  readonly exact: number;
}

/** tests/checkvalues/units_sp811.csv: NIST SP 811 (2008), Appendix B.8, and the exact factors from the definitions. */
function publishedFactors(): Factor[] {
  const text = readFileSync(new URL('../checkvalues/units_sp811.csv', import.meta.url), 'utf8');
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  return lines.slice(1).map((line) => {
    const [from, to, nist, exact] = [...line.matchAll(/("[^"]*"|[^,]*)(?:,|$)/g)].map((cell) =>
      (cell[1] ?? '').replaceAll('"', ''),
    );
    const digits = (nist ?? '').replaceAll(/[ *]/g, '');
    return {
      from: from ?? '',
      to: to ?? '',
      nist: digits === '' ? undefined : Number(digits),
      exact: Number(exact),
    };
  });
}

/** How many of which unit the rows of the table stand for in this language. */
const rowUnits: Readonly<Record<string, readonly [count: number, unit: string]>> = {
  inch: [1, 'in'],
  foot: [1, 'ft'],
  'thou (mil, 0.001 in)': [1, 'thou'],
  'tenth (0.0001 in)': [0.1, 'thou'],
  microinch: [1, 'µin'],
  'pound-force': [1, 'lbf'],
  'ounce-force': [1, 'ozf'],
  'kilogram-force': [1, 'kgf'],
  'lbf.ft (torque)': [1, 'ft·lbf'],
  'lbf.in (torque)': [1, 'in·lbf'],
  'ozf.in (torque)': [1, 'in·ozf'],
  'kgf.m': [1, 'kgf·m'],
  'kgf.cm': [1, 'kgf·cm'],
  psi: [1, 'psi'],
  bar: [1, 'bar'],
  'standard atmosphere': [1, 'atm'],
  'kgf/cm2 (technical atmosphere)': [1, 'kgf/cm²'],
  'inHg (conventional)': [1, 'inHg'],
  'inH2O (conventional)': [1, 'inH2O'],
  'mmHg (conventional)': [1, 'mmHg'],
  'pound (mass)': [1, 'lb'],
  'ounce (mass)': [1, 'oz'],
  'US fluid ounce': [1, 'fl_oz'],
  'imperial fluid ounce': [1, 'imp_fl_oz'],
  'US gallon': [1, 'gal'],
  'imperial gallon': [1, 'imp_gal'],
  'cubic inch': [1, 'in³'],
  'horsepower (550 ft.lbf/s)': [1, 'hp'],
  'metric horsepower': [1, 'PS'],
  'revolution per minute': [1, 'rpm'],
  'degree (angle)': [1, '°'],
  'minute (angle)': [1, 'arcmin'],
};
const rowTargets: Readonly<Record<string, string>> = { 'N.m': 'N·m', mL: 'cm³', cm3: 'cm³' };

describe('NIST SP 811 Appendix B.8 and the exact definitions', () => {
  const rows = publishedFactors();
  const elsewhere = ['dyn.cm', 'mil (angle; trap)', 'degree Fahrenheit INTERVAL', 'ft.lbf (energy; trap)'];

  it('leaves out only rows that are tested otherwise or are no unit of the language', () => {
    const left = rows.map(({ from }) => from).filter((from) => rowUnits[from] === undefined);
    expect(left).toEqual(elsewhere);
    expect(canonicalUnit('dyn·cm')).toBeUndefined();
  });

  for (const { from, to, nist, exact } of rows) {
    const row = rowUnits[from];
    if (row === undefined) continue;
    it(`${from} in ${to}`, () => {
      const [count, unit] = row;
      const converted = convert(count, unit, rowTargets[to] ?? to);
      expectNear(converted, exact, 1e-12);
      if (nist !== undefined) expectNear(converted, nist, 5e-7);
    });
  }
});

describe('the assertions of the check values, section 1', () => {
  it('1. ft·lbf: SP 811 B.8, GNU units', () => {
    expectNear(convert(1, 'ft·lbf', 'N·m'), 1.355818, 5e-7);
    expectNear(convert(1, 'ft·lbf', 'N·m'), 1.3558179483314, 1e-12);
  });
  it('2. 12 in·lbf are 1 ft·lbf; 120 of one are not 120 of the other', () => {
    expect(convert(12, 'in·lbf', 'ft·lbf')).toBe(1);
    expect(convert(120, 'in·lbf', 'ft·lbf')).toBe(10);
  });
  it('3. in·ozf: SP 811', () => expectNear(convert(1, 'in·ozf', 'N·m'), 0.007061552, 5e-7));
  it('4. kgf·m and kgf·cm are exact', () => {
    expect(convert(1, 'kgf·m', 'N·m')).toBe(9.80665);
    expect(convert(1, 'kgf·cm', 'N·m')).toBe(0.0980665);
  });
  it('5. psi: SP 811, and 100 kPa', () => {
    expectNear(convert(1, 'psi', 'Pa'), 6894.757, 5e-7);
    expectNear(convert(14.5037738, 'psi', 'kPa'), 100, 1e-8);
  });
  it('6. inHg and inH2O', () => {
    expect(Math.abs((convert(29.92, 'inHg', 'kPa') ?? 0) - 101.3207)).toBeLessThanOrEqual(1e-4);
    expectNear(convert(1, 'inH2O', 'Pa'), 249.0889, 5e-7);
  });
  it('7. thou and tenth are exact', () => {
    expect(convert(1, 'thou', 'mm')).toBe(0.0254);
    expect(convert(1, 'thou', 'µm')).toBe(25.4);
    expect(convert(0.1, 'thou', 'µm')).toBe(2.54);
  });
  it('8. fluid ounces, US and imperial', () => {
    expectNear(convert(1, 'fl_oz', 'cm³'), 29.57353, 5e-7);
    expect(convert(128, 'fl_oz', 'gal')).toBe(1);
    expectNear(convert(1, 'imp_fl_oz', 'fl_oz'), 1 - 0.0392, 1e-3);
  });
  it('9. temperatures', () => {
    expect(convert(212, '°F', '°C')).toBeCloseTo(100, 9);
    expect(convert(-40, '°F', '°C')).toBeCloseTo(-40, 9);
    expect(convert(68, '°F', '°C')).toBeCloseTo(20, 9);
    expect(convert(68, '°F', 'K')).toBeCloseTo(293.15, 9);
    expect(convert(293.15, 'K', '°F')).toBeCloseTo(68, 9);
  });
  it('10. a difference of temperature has no zero point', () => {
    expect(convertDifference(18, '°F', 'K')).toBeCloseTo(10, 12);
    expect(convertDifference(1, '°F', '°C')).toBeCloseTo(5 / 9, 12);
    expect(convert(1, '°F', '°C')).toBeCloseTo(-17.2222, 4);
    expect(convertDifference(100, '°C', 'K')).toBe(100);
    // 6.5e-6 per °F is 11.7e-6 per K: the same as 6.5e-6 × 9/5.
    expect(6.5e-6 / (convertDifference(1, '°F', 'K') ?? 0)).toBeCloseTo(11.7e-6, 15);
  });
  it('11. rpm as an angle per time and as turns', () => {
    expectNear(convert(1, 'rpm', 'rad/s'), 0.1047198, 5e-7);
    expectNear(convert(1, 'rpm', 'turn/s'), 1 / 60, 1e-15);
  });
  it('12. the two horsepowers: SP 811', () => {
    expectNear(convert(1, 'hp', 'W'), 745.6999, 5e-7);
    expectNear(convert(1, 'PS', 'W'), 735.4988, 5e-7);
  });
  it('13. degrees and minutes of arc', () => {
    expect(convert(1, '°', 'arcmin')).toBe(60);
    expectNear(convert(1, 'arcmin', 'rad'), 2.908882e-4, 5e-7);
  });
  it('14. mass is no force, torque no energy', () => {
    expect(convert(1, 'lb', 'N')).toBeUndefined();
    expect(convert(1, 'kg', 'kgf')).toBeUndefined();
    expect(convert(1, 'N·m', 'J')).toBeUndefined();
    expect(convert(1, 'J', 'N·m')).toBeUndefined();
    expect(convert(1, 'ft·lbf', 'J')).toBeUndefined();
  });
});

describe('trade facts (common practice)', () => {
  it('holds what everybody at the bench knows', () => {
    expect(convert(1, 'in', 'mm')).toBe(25.4);
    expect(convert(1, 'ft', 'in')).toBe(12);
    expect(convert(1, 'bar', 'kPa')).toBe(100);
    expect(convert(1, 'MPa', 'bar')).toBe(10);
    expect(convert(1, 'kgf·m', 'kgf·cm')).toBe(100);
    expect(convert(1, 'N·m', 'cN·m')).toBe(100);
    expect(convert(1, 'daN·m', 'N·m')).toBe(10);
    expect(convert(1, 'turn', '°')).toBe(360);
    expect(convert(1, 'gal', 'in³')).toBe(231);
    expect(convert(1, 'L', 'cm³')).toBe(1000);
    expect(convert(1, 'lb', 'oz')).toBe(16);
    expect(convert(1, 'd', 'h')).toBe(24);
    expect(convert(2, 'years', 'months')).toBe(24);
    expect(convert(1, 'N/mm', 'kgf/mm')).toBeCloseTo(0.10197, 5);
    expect(convert(1, 'kgf/cm²', 'bar')).toBe(0.980665);
    expect(convert(1, 'N/mm²', 'MPa')).toBe(1);
  });
});

describe('kinds', () => {
  it('knows every unit that the grammar spells, and spells every unit it knows', () => {
    for (const name of unitNames) expect(findUnit(name), name).toBeDefined();
    for (const { name } of units)
      expect(canonicalUnit(name) ?? (name === ':1' ? name : undefined), name).toBe(name);
    expect(new Set(units.map(({ name }) => name)).size).toBe(units.length);
  });

  it('keeps apart what must not be interchanged', () => {
    const apart = [
      ['N·m', 'J'],
      ['°', '%'],
      ['°', 'count'],
      ['%', 'count'],
      ['lb', 'lbf'],
      ['kg', 'kgf'],
      ['months', 'd'],
      ['years', 'h'],
      ['rpm', 'turn'],
      ['mm', 'mm²'],
      [':1', 'count'],
      ['m/s', 'rpm'],
      ['mm', 'nonsense'],
    ] as const;
    for (const [a, b] of apart) {
      expect(sameKind(a, b), `${a} ${b}`).toBe(false);
      expect(convert(1, a, b)).toBeUndefined();
      expect(convertDifference(1, a, b)).toBeUndefined();
    }
  });

  it('gives a quotient a kind, and a known one its own', () => {
    expect(kindOf('N/mm')).toBe('force/length');
    expect(kindOf('kPa/min')).toBe('pressure/time');
    expect(kindOf('kgf/cm²')).toBe('pressure');
    expect(kindOf('turn/min')).toBe('speed');
    expect(kindOf('m/s')).toBe('velocity');
    expect(kindOf('nonsense')).toBeUndefined();
    expect(kindOf('mm/nonsense')).toBeUndefined();
    expect(sameKind('N/mm', 'lbf/in')).toBe(true);
  });

  it('says what a kind is in words', () => {
    expect(kindPhrase('torque')).toBe('a torque');
    expect(kindPhrase('force/length')).toBe('a force per length');
    expect(kindPhrase('velocity')).toBe('a speed');
  });

  it('works out the kind of a product and of a quotient', () => {
    expect(kindOfProduct('length', 'length')).toBe('area');
    expect(kindOfProduct('area', 'length')).toBe('volume');
    expect(kindOfProduct('length', 'force')).toBe('torque');
    expect(kindOfProduct('count', 'mass')).toBe('mass');
    expect(kindOfProduct('force/length', 'length')).toBe('force');
    expect(kindOfProduct('mass', 'mass')).toBeUndefined();
    expect(kindOfQuotient('length', 'length')).toBe('count');
    expect(kindOfQuotient('torque', 'length')).toBe('force');
    expect(kindOfQuotient('force', 'area')).toBe('pressure');
    expect(kindOfQuotient('volume', 'area')).toBe('length');
    expect(kindOfQuotient('mass', 'count')).toBe('mass');
    expect(kindOfQuotient('force', 'length')).toBe('force/length');
    expect(kindOfQuotient('force/length', 'time')).toBeUndefined();
  });

  it('offers only everyday units unasked', () => {
    expect(everydayUnits('torque').map(({ name }) => name)).toEqual([
      'N·m',
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

const pairs = units.flatMap((a) =>
  units.filter((b) => b.kind === a.kind).map((b) => [a.name, b.name] as const),
);
const anyPair = fc.constantFrom(...pairs);
const anyValue = fc
  .double({ min: -1e6, max: 1e6, noNaN: true })
  .map((value) => Math.round(value * 1e6) / 1e6);

describe('conversion', () => {
  it('comes back to where it began', () => {
    fc.assert(
      fc.property(anyPair, anyValue, ([a, b], value) => {
        const there = convert(value, a, b) ?? Number.NaN;
        const back = convert(there, b, a) ?? Number.NaN;
        const zero = findUnit(a)?.kind === 'temperature' ? 1000 : 0;
        return Math.abs(back - value) <= 1e-12 * (Math.abs(value) + zero);
      }),
    );
  });

  it('keeps the order of values and of differences', () => {
    fc.assert(
      fc.property(anyPair, anyValue, anyValue, ([a, b], one, other) => {
        fc.pre(Math.abs(one - other) > 1e-6);
        const difference = (convert(one, a, b) ?? 0) - (convert(other, a, b) ?? 0);
        const converted = convertDifference(one - other, a, b) ?? 0;
        expect(Math.sign(difference)).toBe(Math.sign(one - other));
        expect(Math.abs(difference - converted)).toBeLessThanOrEqual(
          1e-9 * Math.max(Math.abs(converted), Math.abs(convert(one, a, b) ?? 0)),
        );
      }),
    );
  });

  it('agrees with going through the base unit', () => {
    fc.assert(
      fc.property(anyPair, anyValue, ([a, b], value) => {
        const direct = convert(value, a, b) ?? Number.NaN;
        const through = fromBase(toBase({ value, unit: a }), b);
        return Math.abs(direct - through) <= 1e-9 * (Math.abs(direct) + 1e-3);
      }),
    );
  });

  it('changes nothing between equal units, even unknown ones', () => {
    expect(convert(67.53, 'mm', 'mm')).toBe(67.53);
    expect(Number.isNaN(toBase({ value: 1, unit: 'nonsense' }))).toBe(true);
  });
});

/** Codes of the Unified Code for Units of Measure; its inHg and mmHg are 2.9e-6 low, so they are left out. */
const ucumCodes: Readonly<Record<string, string>> = {
  m: 'm',
  cm: 'cm',
  mm: 'mm',
  µm: 'um',
  in: '[in_i]',
  ft: '[ft_i]',
  thou: '[mil_i]',
  '°': 'deg',
  rad: 'rad',
  arcmin: "'",
  'mm²': 'mm2',
  'cm²': 'cm2',
  'm²': 'm2',
  'in²': '[sin_i]',
  'mm³': 'mm3',
  'cm³': 'cm3',
  L: 'L',
  'in³': '[cin_i]',
  fl_oz: '[foz_us]',
  gal: '[gal_us]',
  imp_gal: '[gal_br]',
  imp_fl_oz: '[foz_br]',
  N·m: 'N.m',
  cN·m: 'cN.m',
  dN·m: 'dN.m',
  daN·m: 'daN.m',
  N·mm: 'N.mm',
  kgf·m: 'kgf.m',
  kgf·cm: 'kgf.cm',
  in·lbf: '[in_i].[lbf_av]',
  ft·lbf: '[ft_i].[lbf_av]',
  N: 'N',
  kN: 'kN',
  lbf: '[lbf_av]',
  kgf: 'kgf',
  Pa: 'Pa',
  kPa: 'kPa',
  MPa: 'MPa',
  bar: 'bar',
  mbar: 'mbar',
  psi: '[psi]',
  atm: 'atm',
  kg: 'kg',
  g: 'g',
  lb: '[lb_av]',
  oz: '[oz_av]',
  '°C': 'Cel',
  '°F': '[degF]',
  K: 'K',
  s: 's',
  min: 'min',
  h: 'h',
  d: 'd',
  J: 'J',
  kJ: 'kJ',
  W: 'W',
  kW: 'kW',
  hp: '[HP]',
  V: 'V',
  mV: 'mV',
  A: 'A',
  mA: 'mA',
  Ω: 'Ohm',
  kΩ: 'kOhm',
  mΩ: 'mOhm',
  MΩ: 'MOhm',
};

describe('against the UCUM library', () => {
  const ucum = UcumLhcUtils.getInstance();
  const names = Object.keys(ucumCodes);
  for (const from of names) {
    const to = names.find((name) => name !== from && sameKind(name, from));
    if (to === undefined) continue;
    it(`${from} in ${to}`, () => {
      for (const value of [1, 3.7, 212]) {
        const answer = ucum.convertUnitTo(ucumCodes[from] ?? '', value, ucumCodes[to] ?? '');
        expect(answer.status, `${answer.msg}`).toBe('succeeded');
        expectNear(convert(value, from, to), answer.toVal ?? Number.NaN, 1e-12);
      }
    });
  }
  it('refuses the same mass for a force', () => {
    expect(ucum.convertUnitTo('[lb_av]', 1, 'N').status).not.toBe('succeeded');
  });
});

/** Definitions for GNU units; `rad` there is a dose of radiation, and an ounce-force is a sixteenth of a pound's. */
const gnuDefinitions: Readonly<Record<string, string>> = {
  m: 'm',
  cm: 'cm',
  mm: 'mm',
  µm: 'micron',
  in: 'inch',
  ft: 'foot',
  thou: 'thou',
  µin: 'microinch',
  '°': 'degree',
  rad: 'radian',
  turn: 'turn',
  arcmin: 'arcmin',
  'mm²': 'mm^2',
  'cm²': 'cm^2',
  'm²': 'm^2',
  'in²': 'in^2',
  'mm³': 'mm^3',
  'cm³': 'cm^3',
  L: 'liter',
  'in³': 'in^3',
  fl_oz: 'usfloz',
  gal: 'usgallon',
  imp_gal: 'brgallon',
  imp_fl_oz: 'brfloz',
  N·m: 'N m',
  cN·m: 'cN m',
  dN·m: 'dN m',
  daN·m: 'daN m',
  N·mm: 'N mm',
  kgf·m: 'kgf m',
  kgf·cm: 'kgf cm',
  in·lbf: 'lbf inch',
  ft·lbf: 'lbf foot',
  in·ozf: '1|16 lbf inch',
  N: 'N',
  kN: 'kN',
  lbf: 'lbf',
  kgf: 'kgf',
  ozf: '1|16 lbf',
  Pa: 'Pa',
  kPa: 'kPa',
  MPa: 'MPa',
  bar: 'bar',
  mbar: 'mbar',
  psi: 'psi',
  inHg: 'inHg',
  mmHg: 'mmHg',
  inH2O: 'inH2O',
  atm: 'atm',
  'kgf/cm²': 'kgf/cm^2',
  'N/mm²': 'N/mm^2',
  kg: 'kg',
  g: 'g',
  lb: 'lb',
  oz: 'oz',
  s: 's',
  min: 'min',
  h: 'hour',
  d: 'day',
  rpm: 'rpm',
  'rad/s': 'radian/s',
  V: 'V',
  mV: 'mV',
  A: 'A',
  mA: 'mA',
  Ω: 'ohm',
  kΩ: 'kohm',
  mΩ: 'mohm',
  MΩ: 'Mohm',
  J: 'J',
  kJ: 'kJ',
  W: 'W',
  kW: 'kW',
  hp: 'horsepower',
  PS: 'metrichorsepower',
  'N/mm': 'N/mm',
  'lbf/in': 'lbf/inch',
  'kgf/mm': 'kgf/mm',
  '%': 'percent',
  count: '1',
};

const gnuUnits = spawnSync('units', ['--version'], { encoding: 'utf8' });
const hasGnuUnits = gnuUnits.status === 0;
if (!hasGnuUnits)
  console.log('The program `units` is not installed: the comparison with GNU units is skipped.');

describe.skipIf(!hasGnuUnits)('against GNU units', () => {
  it('converts every unit to the first of its kind alike', () => {
    const names = Object.keys(gnuDefinitions);
    const compared: string[] = [];
    for (const from of names) {
      const to = names.find((name) => sameKind(name, from));
      if (to === undefined || to === from) continue;
      const answer = spawnSync(
        'units',
        ['--terse', '--digits', '16', gnuDefinitions[from] ?? '', gnuDefinitions[to] ?? ''],
        { encoding: 'utf8' },
      );
      expect(answer.status, `${from} in ${to}: ${answer.stdout}`).toBe(0);
      expectNear(convert(1, from, to), Number(answer.stdout.trim()), 1e-12);
      compared.push(from);
    }
    expect(compared.length).toBeGreaterThan(50);
  });

  it('converts temperatures alike', () => {
    for (const fahrenheit of [-40, 0, 32, 68, 212]) {
      const answer = spawnSync('units', ['--terse', '--digits', '16', `tempF(${fahrenheit})`, 'tempC'], {
        encoding: 'utf8',
      });
      expect(convert(fahrenheit, '°F', '°C')).toBeCloseTo(Number(answer.stdout.trim()), 9);
    }
  });
});

describe('kinds of products and quotients, and how they are said', () => {
  // By dimension; what the trade names is named, the rest is a quotient or nothing.
  const products: readonly (readonly [
    Parameters<typeof kindOfProduct>[0],
    Parameters<typeof kindOfProduct>[1],
    string,
  ])[] = [
    ['length', 'length', 'area'],
    ['area', 'length', 'volume'],
    ['force', 'length', 'torque'],
    ['pressure', 'area', 'force'],
    ['power', 'time', 'energy'],
    ['velocity', 'time', 'length'],
    ['speed', 'time', 'angle'],
    ['current', 'resistance', 'voltage'],
    ['voltage', 'current', 'power'],
    ['force/length', 'length', 'force'],
    ['pressure/time', 'time', 'pressure'],
    ['volume/time', 'time', 'volume'],
  ];
  it.each(products)('%s times %s is %s', (a, b, product) => {
    expect(kindOfProduct(a, b)).toBe(product);
    expect(kindOfProduct(b, a)).toBe(product);
  });
  it.each(products.slice(0, 9))(
    'and what %s times %s makes, divided by either, is the other',
    (a, b, product) => {
      const whole = product as typeof a;
      expect(kindOfQuotient(whole, a)).toBe(b);
      expect(kindOfQuotient(whole, b)).toBe(a);
    },
  );
  it('a count, a percentage or a mixture changes no kind', () => {
    for (const neutral of ['count', 'ratio', 'mixture'] as const) {
      expect(kindOfProduct('length', neutral)).toBe('length');
      expect(kindOfProduct(neutral, 'torque')).toBe('torque');
      expect(kindOfQuotient('pressure', neutral)).toBe('pressure');
    }
  });
  it('quotients have the name that the trade has, or none', () => {
    expect(kindOfQuotient('angle', 'time')).toBe('speed');
    expect(kindOfQuotient('length', 'time')).toBe('velocity');
    expect(kindOfQuotient('energy', 'time')).toBe('power');
    expect(kindOfQuotient('force', 'area')).toBe('pressure');
    expect(kindOfQuotient('volume', 'time')).toBe('volume/time');
    expect(kindOfQuotient('length', 'length')).toBe('count');
    expect(kindOfQuotient('velocity', 'pressure')).toBeUndefined();
    expect(kindOfQuotient('mass', 'velocity')).toBeUndefined();
    expect(kindOfQuotient('force/length', 'mass')).toBeUndefined();
    expect(kindOfProduct('torque', 'mass')).toBeUndefined();
    expect(kindOf('J/s')).toBe('power');
    expect(kindOf('turn/min')).toBe('speed');
    expect(kindOf('N/mm²')).toBe('pressure');
    expect(kindOf('/s')).toBeUndefined();
    expect(kindOf('mm/')).toBeUndefined();
    expect(kindOf('mm/nonsense')).toBeUndefined();
  });

  // What each unit measures and how a message says it.
  const said: readonly (readonly [string, string])[] = [
    ['mm', 'a length'],
    ['°', 'an angle'],
    ['arcmin', 'an angle'],
    ['mm²', 'an area'],
    ['cm²', 'an area'],
    ['m²', 'an area'],
    ['in²', 'an area'],
    ['mm³', 'a volume'],
    ['cm³', 'a volume'],
    ['imp_gal', 'a volume'],
    ['N·m', 'a torque'],
    ['N·mm', 'a torque'],
    ['daN·m', 'a torque'],
    ['J', 'an energy'],
    ['kJ', 'an energy'],
    ['W', 'a power'],
    ['kW', 'a power'],
    ['hp', 'a power'],
    ['PS', 'a power'],
    ['lbf', 'a force'],
    ['ozf', 'a force'],
    ['psi', 'a pressure'],
    ['atm', 'a pressure'],
    ['lb', 'a mass'],
    ['°F', 'a temperature'],
    ['min', 'a time'],
    ['months', 'a time in months or years'],
    ['rpm', 'a speed of rotation'],
    ['m/s', 'a speed'],
    ['V', 'a voltage'],
    ['mV', 'a voltage'],
    ['A', 'a current'],
    ['mA', 'a current'],
    ['Ω', 'a resistance'],
    ['kΩ', 'a resistance'],
    ['mΩ', 'a resistance'],
    ['MΩ', 'a resistance'],
    ['%', 'a percentage'],
    ['count', 'a count'],
    [':1', 'a mixture'],
    ['N/mm', 'a force per length'],
    ['mm/h', 'a speed'],
    ['°/mm', 'an angle per length'],
    ['N/°', 'a force per angle'],
  ];
  it.each(said)('%s measures %s', (unit, phrase) => {
    const kind = kindOf(unit);
    expect(kind && kindPhrase(kind)).toBe(phrase);
  });

  it('units of one kind are the same, unknown ones of none', () => {
    expect(sameKind('mm', 'in')).toBe(true);
    expect(sameKind('N·m', 'J')).toBe(false);
    expect(sameKind('nonsense', 'rubbish')).toBe(false);
    expect(sameKind('mm', 'nonsense')).toBe(false);
    expect(convert(50, '%', 'count')).toBeUndefined();
    expect(convert(1, 'turn', 'rad')).toBeCloseTo(2 * Math.PI, 12);
    expect(convert(1, 'N/°', 'N/rad')).toBeCloseTo(180 / Math.PI, 10);
    expect(convert(1, 'rad/s', 'turn/s')).toBeCloseTo(1 / (2 * Math.PI), 12);
    expect(findUnit('°/s')?.factor).toBeCloseTo(Math.PI / 180, 15);
    expect(findUnit('in')?.factor).toBeCloseTo(0.0254, 15);
    expect(findUnit('m/°')?.everyday).toBe(false);
    expect(findUnit('N/°')?.factor).toBeCloseTo(180 / Math.PI, 12);
    expect(findUnit('rpm')?.factor).toBeCloseTo(Math.PI / 30, 15);
    expect(findUnit('%')?.factor).toBe(0.01);
  });
});
