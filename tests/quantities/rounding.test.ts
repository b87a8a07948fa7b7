/** Written numbers, and the digits a converted value is shown with. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compoundQuantity,
  computedQuantity,
  convert,
  convertDifference,
  convertQuantity,
  convertQuantityDifference,
  decimalsOfPlace,
  formatAmount,
  formatNumber,
  formatQuantity,
  lastPlace,
  type Quantity,
  quantity,
  quantityAndEquivalent,
  readNumber,
  roundTo,
  units,
} from '../../server/quantities/index.ts';

function q(text: string): Quantity {
  const [number = '', unit = ''] = text.split(' ');
  const read = quantity(number, unit);
  if (read === undefined) throw new Error(`no quantity: ${text}`);
  return read;
}

describe('written numbers', () => {
  const cases: readonly (readonly [text: string, value: number, decimals: number])[] = [
    ['24', 24, 0],
    ['24.0', 24, 1],
    ['212', 212, 0],
    ['-0.02', -0.02, 2],
    ['−0.02', -0.02, 2],
    ['.5', 0.5, 1],
    ['-.5', -0.5, 1],
    ['0', 0, 0],
    ['007', 7, 0],
    ['-0', 0, 0],
  ];
  for (const [text, value, decimals] of cases)
    it(`reads ${text}`, () => expect(readNumber(text)).toMatchObject({ value, decimals, fraction: false }));

  it('reads fractions exactly', () => {
    expect(readNumber('3/8')).toMatchObject({ value: 0.375, fraction: true, written: '3/8' });
    expect(readNumber('1-3/8')).toMatchObject({ value: 1.375, fraction: true });
    expect(readNumber('1⅜')).toMatchObject({ value: 1.375, fraction: true, written: '1-3/8' });
    expect(readNumber('½')).toMatchObject({ value: 0.5, written: '1/2' });
    expect(readNumber('⅞')).toMatchObject({ value: 0.875, written: '7/8' });
    expect(readNumber('-1-3/8')).toMatchObject({ value: -1.375 });
    expect(lastPlace(q('1-3/8 in'))).toBe(0);
    expect(lastPlace(q('24.0 mm'))).toBeCloseTo(0.1, 15);
  });

  it('reads every vulgar fraction that a keyboard has', () => {
    const signs = '¼ ½ ¾ ⅓ ⅔ ⅕ ⅖ ⅗ ⅘ ⅙ ⅚ ⅛ ⅜ ⅝ ⅞ ⅐ ⅑ ⅒'.split(' ');
    const plain = '1/4 1/2 3/4 1/3 2/3 1/5 2/5 3/5 4/5 1/6 5/6 1/8 3/8 5/8 7/8 1/7 1/9 1/10'.split(' ');
    expect(signs.map((sign) => readNumber(sign)?.written)).toEqual(plain);
    expect(signs.map((sign) => readNumber(`12${sign}`)?.written)).toEqual(plain.map((one) => `12-${one}`));
    expect(readNumber('12-15/16')?.value).toBe(12.9375);
    expect(readNumber('15/16')?.value).toBe(0.9375);
    expect(readNumber('−1-3/8')?.value).toBe(-1.375);
    expect(readNumber('.125')?.decimals).toBe(3);
    for (const text of ['½x', '1½x', '½½', '5−3', '½5']) expect(readNumber(text), text).toBeUndefined();
  });

  it('reads nothing else', () => {
    for (const text of [
      '',
      '5.',
      '67,53',
      '1e3',
      '+5',
      '3/0',
      '1 3/8',
      '1-3',
      '--1',
      '1/2/3',
      'x',
      '0x10',
      '1_000',
      '٣',
    ])
      expect(readNumber(text), text).toBeUndefined();
    expect(quantity('5', 'nonsense')).toBeUndefined();
    expect(quantity('five', 'mm')).toBeUndefined();
  });

  it('adds the parts of a compound time', () => {
    expect(compoundQuantity([q('1 h'), q('20 min')])).toMatchObject({ value: 80, unit: 'min', decimals: 0 });
    expect(compoundQuantity([q('30 min')])).toEqual(q('30 min'));
    expect(compoundQuantity([q('1 h'), q('20 mm')])).toBeUndefined();
    expect(compoundQuantity([])).toBeUndefined();
  });

  it('takes more decimals than any number has digits', () => {
    const long = q(`20.${'0'.repeat(120)} min`);
    expect(compoundQuantity([q('1 h'), long])).toMatchObject({ value: 80, unit: 'min' });
    expect(Number(computedQuantity(0.25, 101, 'mm').written)).toBe(0.25);
  });
});

describe('rounding and formatting', () => {
  it('writes a value of any size without an exponent', () => {
    expect(formatNumber(2.5e21, 3)).toBe('2500000000000000000000');
    expect(formatNumber(-1e22, 0)).toBe('-10000000000000000000000');
  });

  it('takes an exact half to the even digit (SP 811 B.7.1), whatever a double makes of it', () => {
    expect(formatNumber(2.5, 0)).toBe('2');
    expect(formatNumber(3.5, 0)).toBe('4');
    expect(formatNumber(-2.5, 0)).toBe('-2');
    expect(formatNumber(1.005, 2)).toBe('1.00');
    expect(formatNumber(1.015, 2)).toBe('1.02');
    expect(formatNumber(67.53 - 67.455, 2)).toBe('0.08');
    expect(formatNumber(2.51, 0)).toBe('3');
  });
  it('writes an ASCII minus and no negative zero', () => {
    expect(formatNumber(-0.004, 2)).toBe('0.00');
    expect(formatNumber(-0.02, 2)).toBe('-0.02');
    expect(Object.is(roundTo(-0.2, 0), 0)).toBe(true);
  });
  it('rounds above the units too', () => {
    expect(formatNumber(1234, -2)).toBe('1200');
    expect(roundTo(1250, -2)).toBe(1200);
    expect(formatNumber(82737.09, -2)).toBe('82700');
  });
  it('takes a half to the even hundred, and to the even tenth', () => {
    expect([50, 150, 250, 350, -50, -150].map((value) => roundTo(value, -2))).toEqual([
      0, 200, 200, 400, 0, -200,
    ]);
    expect([0.05, 0.15, 0.25, 0.35].map((value) => roundTo(value, 1))).toEqual([0, 0.2, 0.2, 0.4]);
    expect(roundTo(149.999, -2)).toBe(100);
    expect(roundTo(1234.5678, 0)).toBe(1235);
    expect(roundTo(1e15 + 0.5, 3)).toBe(1e15 + 0.5);
    expect(formatNumber(0.1 + 0.2, 20)).toBe('0.300000000000000');
    expect(decimalsOfPlace(0)).toBe(15);
    expect(decimalsOfPlace(-1)).toBe(15);
  });
  it('keeps at least three digits above the units, and none that was not known', () => {
    expect(formatQuantity(convertQuantity(q('10 bar'), 'psi') as Quantity)).toBe('145 psi');
    expect(formatQuantity(convertQuantity(q('88 ft·lbf'), 'in·lbf') as Quantity)).toBe('1060 in·lbf');
    expect(formatQuantity(convertQuantity(q('0 bar'), 'Pa') as Quantity)).toBe('0 Pa');
    expect(formatQuantity(convertQuantity(q('1/2 turn'), '°') as Quantity)).toBe('180 °');
    expect(convertQuantity(q('1/2 turn'), '°')).toMatchObject({ decimals: 0, fraction: true });
    expect(convertQuantity(q('1-3/8 in'), 'mm')).toMatchObject({
      decimals: 3,
      written: '34.925',
      fraction: true,
    });
    expect(convertQuantity(q('24.0 mm'), 'mm')).toEqual(q('24.0 mm'));
    expect(convertQuantity(q('24 mm'), 'N')).toBeUndefined();
  });
  it('a difference that is large in small units', () => {
    const show = (text: string, unit: string) =>
      formatQuantity(convertQuantityDifference(q(text), unit) as Quantity);
    expect(show('18 °F', '°C')).toBe('10.0 °C');
    expect(show('0.5 °C', 'K')).toBe('0.5 K');
    expect(show('2 m', 'mm')).toBe('2000 mm');
    expect(show('12 kPa', 'Pa')).toBe('12000 Pa');
    expect(show('1.5 °C', '°C')).toBe('1.5 °C');
    expect(convertQuantityDifference(q('2 m'), 'N')).toBeUndefined();
  });
  it('puts the unit after a blank, but not in a mixture', () => {
    expect(formatAmount(0.1319, 'mm', 3)).toBe('0.132 mm');
    expect(formatAmount(50, ':1', 0)).toBe('50:1');
    expect(formatQuantity(q('24.0 N·m'))).toBe('24.0 N·m');
  });
  it('knows the place that is not coarser', () => {
    expect([0.3048, 1.36, 1, 0.1, 12, 10, 0.000394].map(decimalsOfPlace)).toEqual([1, 0, 0, 1, -1, -1, 4]);
  });
  it('survives what is no number', () => {
    expect(formatNumber(Number.NaN, 2)).toBe('NaN');
    expect(roundTo(Number.POSITIVE_INFINITY, 2)).toBe(Number.POSITIVE_INFINITY);
    expect(roundTo(1e300, 2)).toBe(1e300);
  });
});

describe('converted values', () => {
  it('36 ft is 11.0 m: the worked example of NIST SP 811, B.7.2', () => {
    expect(formatQuantity(convertQuantity(q('36 ft'), 'm') as Quantity)).toBe('11.0 m');
  });

  // Worked out by the rule; the pairs in N·m, in·lbf and ft·lbf are what workshop manuals print (common practice).
  const cases: readonly (readonly [from: string, to: string])[] = [
    ['88 ft·lbf', '119 N·m'],
    ['24 N·m', '212 in·lbf'],
    ['24 N·m', '17.7 ft·lbf'],
    ['10 N·m', '89 in·lbf'],
    ['10.0 N·m', '88.5 in·lbf'],
    ['67.53 mm', '2.6587 in'],
    ['67.530 mm', '2.65866 in'],
    ['0.05 mm', '2.0 thou'],
    ['3 thou', '0.08 mm'],
    ['21 °C', '70 °F'],
    ['40 °F', '4.4 °C'],
    ['21 °C', '294 K'],
    ['21.5 °C', '294.65 K'],
    ['10 bar', '145 psi'],
    ['14.5 psi', '1.000 bar'],
    ['12 psi', '82700 Pa'],
    ['2 h', '7200 s'],
    ['88 ft·lbf', '1060 in·lbf'],
    ['1 ft', '12 in'],
    ['0.5 bar', '50 kPa'],
    ['25.4 mm', '1.000 in'],
    ['0 mm', '0.00 in'],
    ['1-3/8 in', '34.925 mm'],
    ['3/8 in', '9.525 mm'],
    ['1/2 in', '12.7 mm'],
    ['1/64 in', '0.397 mm'],
    ['1/2 turn', '180 °'],
    ['1-1/2 h', '90 min'],
    ['18 months', '1.50 years'],
    ['-0.02 mm', '-0.0008 in'],
  ];
  for (const [from, to] of cases)
    it(`${from} is ${to}`, () => {
      const unit = to.slice(to.indexOf(' ') + 1);
      expect(formatQuantity(convertQuantity(q(from), unit) as Quantity)).toBe(to);
    });

  it('keeps the value itself exact', () => {
    expect(convertQuantity(q('36 ft'), 'm')?.value).toBe(10.9728);
    expect(convertQuantity(q('24.0 mm'), 'mm')).toEqual(q('24.0 mm'));
    expect(convertQuantity(q('24 mm'), 'N·m')).toBeUndefined();
  });

  it('never uses the zero point of a difference', () => {
    expect(formatQuantity(convertQuantityDifference(q('18 °F'), '°C') as Quantity)).toBe('10.0 °C');
    expect(formatQuantity(convertQuantityDifference(q('5 °C'), '°F') as Quantity)).toBe('9 °F');
    expect(formatQuantity(convertQuantityDifference(q('5 °C'), 'K') as Quantity)).toBe('5 K');
    expect(convertQuantityDifference(q('5 °C'), 'mm')).toBeUndefined();
  });

  const pairs = units.flatMap((a) =>
    units.filter((b) => b.kind === a.kind).map((b) => [a.name, b.name] as const),
  );
  const writtenQuantity = fc
    .tuple(
      fc.constantFrom(...pairs),
      fc.integer({ min: -99_999, max: 99_999 }),
      fc.integer({ min: 0, max: 4 }),
    )
    .map(([[from, to], digits, decimals]) => ({
      from: q(`${(digits / 10 ** decimals).toFixed(decimals)} ${from}`),
      to,
    }));

  it('lose nothing: converted back and rounded to the written place they are the written value', () => {
    fc.assert(
      fc.property(writtenQuantity, ({ from, to }) => {
        const shown = convertQuantity(from, to) as Quantity;
        const back = convert(Number(shown.written), to, from.unit) as number;
        expect(formatNumber(back, from.decimals)).toBe(formatNumber(from.value, from.decimals));
      }),
      { numRuns: 2000 },
    );
  });

  it('invent nothing: the last place shown is worth at least a tenth of the written one', () => {
    fc.assert(
      fc.property(writtenQuantity, ({ from, to }) => {
        const shown = convertQuantity(from, to) as Quantity;
        const place = convertDifference(10 ** -from.decimals, from.unit, to) as number;
        const exceptions = shown.decimals <= 0 || to === 'K' || from.unit === 'K';
        expect(exceptions || 10 ** -shown.decimals > place / 10.0000001).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });

  it('agree as equivalents of what they were converted from', () => {
    fc.assert(
      fc.property(writtenQuantity, ({ from, to }) => {
        const shown = convertQuantity(from, to) as Quantity;
        const equivalent = quantity(shown.written, to) as Quantity;
        expect(quantityAndEquivalent(from, equivalent)).toEqual({ agrees: true });
      }),
      { numRuns: 2000 },
    );
  });
});
