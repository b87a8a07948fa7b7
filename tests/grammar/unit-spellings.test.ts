/** Which spellings are read as units, and where a unit ends in a line. */
import { describe, expect, it } from 'vitest';
import {
  canonicalUnit,
  isUnitSpelling,
  nearestUnits,
  readUnit,
  unitNames,
} from '../../grammar/unit-spellings.ts';

/** The language page's list, as it prints it. */
const languagePage =
  'm cm mm µm in ft thou ° rad turn mm² cm² m² in² mm³ cm³ L in³ fl_oz gal N·m cN·m kgf·m kgf·cm in·lbf ft·lbf ' +
  'in·ozf dN·m N kN lbf kgf Pa kPa MPa bar mbar psi inHg mmHg inH2O kg g lb oz °C °F K s min h d months years rpm ' +
  'V A Ω kΩ % count';

describe('canonical names', () => {
  it('are each their own spelling, and all those of the language page are among them', () => {
    for (const name of unitNames) expect(canonicalUnit(name)).toBe(name);
    expect(unitNames).toEqual(expect.arrayContaining(languagePage.split(' ')));
    expect(new Set(unitNames).size).toBe(unitNames.length);
  });
});

const spellings: readonly (readonly [name: string, spellings: readonly string[]])[] = [
  [
    'N·m',
    [
      'N.m',
      'N⋅m',
      'N*m',
      'N-m',
      'Nm',
      'N m',
      'm·N',
      'm N',
      'NM',
      'newton-metres',
      'N\u00a0m',
      'N\u2009m',
      'N\u202fm',
    ],
  ],
  [
    'in·lbf',
    [
      'in-lb',
      'in.lbf',
      'inlb',
      'lb-in',
      'lbf·in',
      'in lbs',
      'lbs in',
      'inch-pounds',
      'IN-LB',
      'in. lb',
      'in.-lbs',
      'lbin',
    ],
  ],
  ['ft·lbf', ['ft lb', 'ft-lbs', 'ftlb', 'lb ft', 'lbf.ft', 'foot-pounds', 'FT-LB', 'ft. lbs']],
  ['in·ozf', ['in-oz', 'oz-in', 'ozf·in', 'oz in', 'inoz']],
  ['kgf·m', ['kg·m', 'kgm', 'kg-m', 'm·kg', 'mkg', 'kgf m', 'kp·m']],
  ['kgf·cm', ['kg·cm', 'kgcm', 'kg-cm', 'cmkg', 'kgf.cm']],
  ['cN·m', ['cNm', 'cN m', 'cN.m']],
  ['dN·m', ['dNm']],
  ['daN·m', ['daNm', 'm·daN']],
  ['µm', ['\u00b5m', '\u03bcm', 'um', 'microns']],
  ['thou', ['mil', 'mils']],
  ['in', ['inch', 'inches']],
  ['°', ['deg', 'degrees', 'º']],
  ['turn', ['turns', 'rev', 'revs']],
  ['mm²', ['mm2', 'mm^2']],
  ['in³', ['in3', 'in^3', 'cu in', 'cuin']],
  ['cm³', ['cc', 'mL', 'ml', 'cm3']],
  ['L', ['l', 'litres', 'liter']],
  ['fl_oz', ['fl oz', 'floz', 'fl-oz', 'fl.oz', 'US fl oz']],
  ['gal', ['gals', 'gallons', 'US gal']],
  ['imp_gal', ['imp gal', 'UK gal']],
  ['lb', ['lbs', 'pounds', 'LBS']],
  ['lbf', ['LBF']],
  ['psi', ['PSI', 'lb/in2', 'lbf/in²', 'lbs/in²']],
  ['inHg', ['in Hg', 'in-Hg']],
  ['inH2O', ['inH₂O', 'in H2O']],
  ['mmHg', ['mm Hg']],
  ['mbar', ['hPa', 'millibar']],
  ['°C', ['C', 'degC', 'deg C', '° C', 'ºC', '℃', '°\u00a0C']],
  ['°F', ['F', 'degF', '℉']],
  ['K', ['kelvin']],
  ['h', ['hr', 'hrs', 'hour', 'hours']],
  ['min', ['mins', 'minute', 'minutes']],
  ['s', ['sec', 'secs', 'seconds']],
  ['d', ['day', 'days']],
  ['months', ['month', 'mo']],
  ['years', ['year', 'yr', 'yrs']],
  ['rpm', ['RPM', 'r/min', 'rev/min', 'turns/min']],
  ['Ω', ['\u2126', '\u03a9', 'ohm', 'ohms']],
  ['kΩ', ['kohm', 'k\u2126']],
  ['J', ['joules']],
  ['N/mm', ['N/mm']],
  ['kPa/min', ['kPa/mins']],
  ['L/min', ['l/min']],
  ['m/s', ['m/sec']],
  ['kgf/cm²', ['kg/cm2', 'kgf/cm²']],
  ['lbf/in', ['lb/in', 'lbs/in']],
  ['kgf/mm', ['kg/mm']],
  ['N·m/°', ['Nm/deg']],
];

describe('spellings', () => {
  for (const [name, variants] of spellings)
    it(`of ${name}`, () => {
      for (const variant of variants) expect(canonicalUnit(variant), variant).toBe(name);
    });

  it('has no unit for what is none', () => {
    for (const text of [
      '',
      ' ',
      '1',
      '1/min',
      'mN',
      'nm',
      'x',
      'inx',
      'in-lbx',
      'N·',
      '·m',
      'mm/',
      '/mm',
      'mm/foo',
      'mm/%',
      'm/s/s',
      'N m m',
      '"',
      '″',
      "'",
      'TIR',
      'with',
      'to',
      'of',
      'at',
      'as',
      'H8',
      'g6',
      'constructor',
      '__proto__',
    ])
      expect(isUnitSpelling(text), text).toBe(false);
  });

  it('asks for one look-up a spelling: a million take well under a second', () => {
    canonicalUnit('mm');
    const start = performance.now();
    for (let i = 0; i < 1_000_000; i += 1) canonicalUnit('N·m');
    expect(performance.now() - start).toBeLessThan(1000);
  });
});

describe('where a unit ends', () => {
  // The caret stands where the unit ends; a text without one begins with no unit.
  const cases: readonly (readonly [marked: string, name: string | undefined])[] = [
    ['N·m^..26 N·m', 'N·m'],
    ['mm^ .. 0.003 in', 'mm'],
    ['mm^..0.003 in', 'mm'],
    ['N m^', 'N·m'],
    ['N^ with TW1', 'N'],
    ['N^  m', 'N'],
    ['in lb^ with', 'in·lbf'],
    ['ft lb^)', 'ft·lbf'],
    ['N\u00a0m^ (212', 'N·m'],
    ['in-lb^', 'in·lbf'],
    ['in-lbx', undefined],
    ['in.lbx', undefined],
    ['inches^,', 'in'],
    ['in^ as found', 'in'],
    ['in^.', 'in'],
    ['in. lb^.', 'in·lbf'],
    ['in^. 24', 'in'],
    ['mm_', undefined],
    ['mmx', undefined],
    ['mm2^ ', 'mm²'],
    ['mm^^2^)', 'mm²'],
    ['mm⁴', undefined],
    ['mm^-6', 'mm'],
    ['mm^*3', 'mm'],
    ['mm^ - 6', 'mm'],
    ['mm^/foo', 'mm'],
    ['mm^/2', 'mm'],
    ['mm^/', 'mm'],
    ['N/mm^ ', 'N/mm'],
    ['N·m/°^|', 'N·m/°'],
    ['kPa/min^|', 'kPa/min'],
    ['kPa^/minx', 'kPa'],
    ['%^,', '%'],
    ['%^ N·m', '%'],
    ['°^ ATDC', '°'],
    ['°^ATDC', '°'],
    ['°^BTDC 3', '°'],
    ['°X', undefined],
    ['°C^ by', '°C'],
    ['deg C^', '°C'],
    ['deg^ by', '°'],
    ['fl oz^', 'fl_oz'],
    ['US fl oz^ of', 'fl_oz'],
    ['N m^ at', 'N·m'],
    ['h^ of m', 'h'],
    ['h^ 20 min', 'h'],
    ['min^ "idle"', 'min'],
    ['count^', 'count'],
    ['lb^ of', 'lb'],
    ['C^#', '°C'],
    ['with', undefined],
    [' mm', undefined],
    ['', undefined],
  ];
  for (const [marked, name] of cases)
    it(`in ${JSON.stringify(marked)}`, () => {
      const end = marked.lastIndexOf('^');
      const text = end < 0 ? marked : marked.slice(0, end).replace('^^', '^') + marked.slice(end + 1);
      const length = end < 0 ? 0 : marked.slice(0, end).replace('^^', '^').length;
      expect(readUnit(text, 0)).toEqual(name === undefined ? undefined : { name, end: length });
      const shifted = readUnit(`24 ${text}`, 3);
      expect(shifted).toEqual(name === undefined ? undefined : { name, end: length + 3 });
    });
});

describe('nearest units', () => {
  const cases: readonly (readonly [text: string, nearest: string])[] = [
    ['nm', 'N·m'],
    ['MM', 'mm'],
    ['milimeter', 'mm'],
    ['newtonmeter', 'N·m'],
    ['PSi', 'psi'],
    ['in-lbx', 'in·lbf'],
    ['ftlbz', 'ft·lbf'],
    ['hourss', 'h'],
    ['kpa/minn', 'kPa/min'],
    ['KPAS', 'kPa'],
  ];
  for (const [text, nearest] of cases)
    it(`to ${text}`, () => {
      const found = nearestUnits(text);
      expect(found[0]).toBe(nearest);
      expect(found.length).toBeLessThanOrEqual(3);
    });

  it('offers nothing else where only the case is wrong', () => {
    expect(nearestUnits('nm')).toEqual(['N·m']);
    expect(nearestUnits('MM')).toEqual(['mm']);
  });

  it('offers none where nothing is near', () => {
    for (const text of ['banana', 'x', '', 'gearbox-oil']) expect(nearestUnits(text)).toEqual([]);
  });
});
