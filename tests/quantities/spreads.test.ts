/** Spreads: how they are built, what lies in them, and by how much a value misses them. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { QuantityNode, SpreadNode } from '../../grammar/syntax-tree.ts';
import {
  atLeast,
  atMost,
  bareSpread,
  compareQuantities,
  computedSpread,
  contains,
  containsSpread,
  convert,
  deviationSpread,
  exactSpread,
  formatSpread,
  isSpread,
  plusMinus,
  type Quantity,
  quantity,
  quantityOf,
  rangeSpread,
  readNumber,
  type Spread,
  type SpreadResult,
  spreadFromDeviations,
  spreadIn,
  spreadOf,
  standing,
  units,
  type WrittenNumber,
  width,
  withinPercent,
} from '../../server/quantities/index.ts';

function q(text: string): Quantity {
  const [number = '', unit = ''] = text.split(' ');
  const read = quantity(number, unit);
  if (read === undefined) throw new Error(`no quantity: ${text}`);
  return read;
}
const n = (text: string) => readNumber(text) as WrittenNumber;

function ok(result: SpreadResult | undefined): Spread {
  if (result === undefined || !isSpread(result)) throw new Error(JSON.stringify(result));
  return result;
}

describe('building', () => {
  it('a range, each end in its own unit', () => {
    const spread = ok(rangeSpread(q('0.05 mm'), q('0.003 in')));
    expect(spread.unit).toBe('mm');
    expect(spread.lower?.value).toBe(0.05);
    expect(spread.upper?.value).toBeCloseTo(0.0762, 15);
    // The limit shows one place more than the inch carries, or 0.078 mm would seem to lie in 0.05..0.08 mm.
    expect(formatSpread(spread)).toBe('0.05..0.076 mm');
  });
  it('with the digits each end was written with', () => {
    expect(formatSpread(ok(rangeSpread(q('0 mm'), q('0.05 mm'))))).toBe('0..0.05 mm');
    expect(formatSpread(ok(rangeSpread(q('67.500 mm'), q('67.520 mm'))))).toBe('67.500..67.520 mm');
    expect(formatSpread(ok(rangeSpread(q('1/4 in'), q('3/8 in'))))).toBe('0.250..0.375 in');
  });
  it('one-sided', () => {
    expect(formatSpread(atMost(q('0.05 mm')))).toBe('<= 0.05 mm');
    expect(formatSpread(atLeast(q('1.5 bar')))).toBe('>= 1.5 bar');
    expect(width(atMost(q('0.05 mm')))).toBeUndefined();
  });
  it('a bare torque within 5 %, or what the table says', () => {
    const spread = ok(bareSpread(q('24 N·m')));
    expect(formatSpread(spread)).toBe('22.8..25.2 N·m');
    expect(spread).toMatchObject({ shape: 'exact', bare: { written: '24' } });
    expect(formatSpread(ok(bareSpread(q('24 N·m'), q('8 %'))))).toBe('22.08..25.92 N·m');
    expect(formatSpread(ok(bareSpread(q('24 N·m'), q('2 N·m'))))).toBe('22..26 N·m');
    expect(formatSpread(ok(bareSpread(q('2.5 N·m'))))).toBe('2.375..2.625 N·m');
  });
  it('± in the same unit, in another, and in percent', () => {
    expect(formatSpread(ok(plusMinus(q('24 N·m'), q('2 N·m'))))).toBe('22..26 N·m');
    expect(width(ok(plusMinus(q('24 N·m'), q('20 in·lbf'))))).toBeCloseTo(2 * 20 * 0.1129848290276167, 9);
    expect(formatSpread(ok(plusMinus(q('-10 mm'), q('5 %'))))).toBe('-10.5..-9.5 mm');
    expect(formatSpread(ok(plusMinus(q('40 %'), q('5 %'))))).toBe('35..45 %');
  });
  it('a tolerance on a temperature is a difference', () => {
    const spread = ok(plusMinus(q('20 °C'), q('9 °F')));
    expect([spread.lower?.value, spread.upper?.value]).toEqual([15, 25]);
  });
  it('deviations, upper first, either sign', () => {
    expect(formatSpread(ok(deviationSpread(q('67.5 mm'), n('0.02'), n('0'))))).toBe('67.50..67.52 mm');
    expect(formatSpread(ok(deviationSpread(q('67.5 mm'), n('0.04'), n('0.02'))))).toBe('67.52..67.54 mm');
    expect(formatSpread(ok(deviationSpread(q('67.5 mm'), n('-0.01'), n('-0.03'))))).toBe('67.47..67.49 mm');
    expect(ok(deviationSpread(q('67.5 mm'), n('0.02'), n('0'))).upper?.value).toBe(67.52);
  });
  it('worked-out deviations in µm: 42 H8 is +39/0 (ISO 286-2)', () => {
    const spread = ok(spreadFromDeviations(q('42 mm'), 39, 0, 'µm'));
    expect(formatSpread(spread)).toBe('42.000..42.039 mm');
    expect(spread.upper?.value).toBe(42.039);
  });
  it('worked-out ends', () => {
    expect(formatSpread(computedSpread(0.06, 0.12, 'mm', 3))).toBe('0.060..0.120 mm');
    expect(formatSpread(computedSpread(undefined, 0.12, 'mm', 3))).toBe('<= 0.120 mm');
    expect(formatSpread(computedSpread(0.06, undefined, 'mm', 3))).toBe('>= 0.060 mm');
  });
  it('refuses in a sentence', () => {
    expect(rangeSpread(q('0.12 mm'), q('0.06 mm'))).toEqual({
      refused: 'reversed',
      explanation: 'A range gives its smaller end first: 0.06..0.12.',
    });
    expect(rangeSpread(q('1 mm'), q('2 N·m'))).toMatchObject({ refused: 'unit-mismatch' });
    expect(plusMinus(q('24 N·m'), q('2 J'))).toMatchObject({ refused: 'unit-mismatch' });
    expect(plusMinus(q('24 N·m'), q('-2 N·m'))).toMatchObject({ refused: 'negative-tolerance' });
    expect(deviationSpread(q('67.5 mm'), n('-0.04'), n('0.02'))).toEqual({
      refused: 'reversed',
      explanation: 'The upper deviation stands first: +0.02/-0.04.',
    });
    expect(spreadFromDeviations(q('42 mm'), 0, 39, 'µm')).toMatchObject({ refused: 'reversed' });
    expect(deviationSpread(q('42 mm'), n('1'), n('0'), 'N')).toMatchObject({ refused: 'unit-mismatch' });
  });
});

describe('membership', () => {
  const bore = ok(rangeSpread(q('67.500 mm'), q('67.520 mm')));
  it('includes the ends', () => {
    expect(contains(bore, q('67.500 mm'))).toBe(true);
    expect(contains(bore, q('67.52 mm'))).toBe(true);
    expect(contains(bore, q('67.5201 mm'))).toBe(false);
    expect(contains(exactSpread(q('24 N·m')), q('24.0 N·m'))).toBe(true);
  });
  it('is not put out by the last bits of a sum', () => {
    expect(contains(atMost(q('0.3 mm')), { value: 0.1 + 0.2, unit: 'mm' })).toBe(true);
    expect(contains(atLeast(q('0 mm')), { value: 67.53 - 67.5 - 0.03, unit: 'mm' })).toBe(true);
    expect(contains(atMost(q('0.3 mm')), { value: 0.300000001, unit: 'mm' })).toBe(false);
  });
  it('converts the reading', () => {
    expect(contains(bore, q('2.6579 in'))).toBe(true);
    expect(contains(bore, q('2.66 in'))).toBe(false);
    expect(contains(bore, q('67.51 N·m'))).toBeUndefined();
    expect(standing(bore, q('67.51 N'))).toEqual({ where: 'not-comparable' });
  });
  it('says which end was passed and by how much', () => {
    const wear = atMost(q('0.120 mm'));
    expect(standing(wear, q('0.132 mm'))).toMatchObject({ where: 'above', bound: 0.12 });
    const past = standing(wear, q('0.132 mm'));
    expect(past.where === 'above' && past.by).toBeCloseTo(0.012, 12);
    const short = standing(bore, q('67.4 mm'));
    expect(short.where === 'below' && short.by).toBeCloseTo(0.1, 12);
    expect(standing(bore, q('67.51 mm'))).toEqual({ where: 'inside' });
  });
  it('of a whole spread', () => {
    const wide = ok(rangeSpread(q('67.4 mm'), q('67.6 mm')));
    expect(containsSpread(wide, bore)).toBe(true);
    expect(containsSpread(bore, wide)).toBe(false);
    expect(containsSpread(atMost(q('68 mm')), bore)).toBe(true);
    expect(containsSpread(bore, atMost(q('67.51 mm')))).toBe(false);
    expect(containsSpread(wide, atMost(q('2 N·m')))).toBeUndefined();
    expect(containsSpread(wide, ok(rangeSpread(q('2.657 in'), q('2.658 in'))))).toBe(true);
  });
  it('of percent and order', () => {
    expect(withinPercent(q('25.2 N·m'), q('24 N·m'), 5)).toBe(true);
    expect(withinPercent(q('25.3 N·m'), q('24 N·m'), 5)).toBe(false);
    expect(withinPercent(q('212 in·lbf'), q('24 N·m'), 5)).toBe(true);
    expect(withinPercent(q('24 J'), q('24 N·m'), 5)).toBe(false);
    expect(compareQuantities(q('12 in·lbf'), q('1 ft·lbf'))).toBe(0);
    expect(compareQuantities(q('13 in·lbf'), q('1 ft·lbf'))).toBeGreaterThan(0);
    expect(compareQuantities(q('1 mm'), q('1 N'))).toBeUndefined();
  });

  const finite = fc.integer({ min: -1_000_000, max: 1_000_000 }).map((value) => value / 1000);
  it('stays the same when spread and value are converted alike', () => {
    const lengths = units.filter(({ kind }) => kind === 'length').map(({ name }) => name);
    fc.assert(
      fc.property(finite, finite, finite, fc.constantFrom(...lengths), (a, b, value, unit) => {
        const spread = computedSpread(Math.min(a, b), Math.max(a, b), 'mm', 3);
        const converted = spreadIn(spread, unit) as Spread;
        const there = convert(value, 'mm', unit) as number;
        expect(contains(converted, { value: there, unit })).toBe(contains(spread, { value, unit: 'mm' }));
        expect(contains(spread, { value: there, unit })).toBe(contains(spread, { value, unit: 'mm' }));
      }),
    );
  });
  it('compares plainly when the units are the same', () => {
    fc.assert(
      fc.property(finite, finite, finite, (a, b, value) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        const inside = contains(computedSpread(low, high, 'mm', 3), { value, unit: 'mm' });
        expect(inside).toBe(value >= low && value <= high);
      }),
    );
  });
});

describe('a spread in another unit', () => {
  it('shows the digits that it carries', () => {
    const torque = ok(plusMinus(q('24 N·m'), q('2 N·m')));
    expect(formatSpread(spreadIn(torque, 'ft·lbf') as Spread)).toBe('16.2..19.2 ft·lbf');
    expect(formatSpread(spreadIn(torque, 'in·lbf') as Spread)).toBe('195..230 in·lbf');
    expect(spreadIn(torque, 'J')).toBeUndefined();
    expect(spreadIn(torque, 'N·m')).toBe(torque);
    expect(formatSpread(spreadIn(atMost(q('0.05 mm')), 'thou') as Spread)).toBe('<= 2.0 thou');
  });
});

/** Nodes as the parser makes them; spans play no part here. */
const span = { start: 0, end: 0 };
function quantityNode(number: string | undefined, unit?: string, plus?: QuantityNode): QuantityNode {
  return {
    ...span,
    kind: 'quantity',
    number: number === undefined ? undefined : { ...span, text: number, value: Number(number) },
    unit:
      unit === undefined ? undefined : { ...span, text: unit, name: unit === 'nonsense' ? undefined : unit },
    qualifier: undefined,
    equivalent: undefined,
    plus,
  };
}
const whole = { ...span, equivalent: undefined };

describe('from the syntax tree', () => {
  it('a quantity with its own unit, a given one, or none', () => {
    expect(quantityOf(quantityNode('24.0', 'N·m'))).toEqual(q('24.0 N·m'));
    expect(quantityOf(quantityNode('24.0', 'N·m'), 'mm')).toEqual(q('24.0 N·m'));
    expect(quantityOf(quantityNode('67.532'), 'mm')).toEqual(q('67.532 mm'));
    expect(quantityOf(quantityNode('67.532'))).toBeUndefined();
    expect(quantityOf(quantityNode(undefined, 'mm'))).toBeUndefined();
    expect(quantityOf(quantityNode('5', 'nonsense'), 'mm')).toBeUndefined();
    expect(quantityOf(quantityNode('1', 'h', quantityNode('20', 'min')))).toMatchObject({
      value: 80,
      unit: 'min',
    });
  });

  const spread = (node: SpreadNode, options = {}) => formatSpread(ok(spreadOf(node, options)));
  it('a spread with the unit at either end', () => {
    expect(
      spread({ ...whole, kind: 'range', low: quantityNode('0'), high: quantityNode('0.05', 'mm') }),
    ).toBe('0..0.05 mm');
    expect(
      spread({ ...whole, kind: 'range', low: quantityNode('0', 'mm'), high: quantityNode('0.05') }),
    ).toBe('0..0.05 mm');
    const plain = { ...whole, kind: 'plus-minus' } as const;
    expect(spread({ ...plain, nominal: quantityNode('24'), tolerance: quantityNode('2', 'N·m') })).toBe(
      '22..26 N·m',
    );
    expect(spread({ ...plain, nominal: quantityNode('24', 'N·m'), tolerance: quantityNode('2') })).toBe(
      '22..26 N·m',
    );
    expect(spread({ ...plain, nominal: quantityNode('24', 'N·m'), tolerance: quantityNode('5', '%') })).toBe(
      '22.8..25.2 N·m',
    );
    expect(
      spreadOf({ ...plain, nominal: quantityNode('24'), tolerance: quantityNode('5', '%') }),
    ).toBeUndefined();
  });
  it('bare values with and without a tolerance', () => {
    const node = { ...whole, kind: 'exact', value: quantityNode('24', 'N·m') } as const;
    expect(spread(node)).toBe('24 N·m');
    expect(spread(node, { bareTolerance: q('5 %') })).toBe('22.8..25.2 N·m');
  });
  it('one-sided, deviations, placeholders', () => {
    expect(spread({ ...whole, kind: 'at-most', value: quantityNode('0.08', 'mm') })).toBe('<= 0.08 mm');
    expect(spread({ ...whole, kind: 'at-least', value: quantityNode('0.08') }, { unit: 'mm' })).toBe(
      '>= 0.08 mm',
    );
    const deviations = { ...whole, kind: 'deviations', nominal: quantityNode('67.5') } as const;
    const upper = { ...span, text: '+0.02', value: 0.02 };
    const lower = { ...span, text: '-0.01', value: -0.01 };
    const unit = { ...span, text: 'mm', name: 'mm' };
    expect(spread({ ...deviations, upper, lower, unit })).toBe('67.49..67.52 mm');
    expect(spreadOf({ ...deviations, upper, lower, unit: undefined })).toBeUndefined();
    expect(spreadOf({ ...whole, kind: 'placeholder' })).toBeUndefined();
    expect(spreadOf({ ...whole, kind: 'at-most', value: quantityNode(undefined, 'mm') })).toBeUndefined();
  });
  it('an ISO class by the table it is given', () => {
    const node = {
      ...whole,
      kind: 'iso-class',
      nominal: quantityNode('42', 'mm'),
      isoClass: { ...span, text: 'H8' },
    } as const;
    const asked: unknown[] = [];
    const isoLimits = (size: number, isoClass: string) => {
      asked.push(size, isoClass);
      return { lowerDeviation: 0, upperDeviation: 39 };
    };
    expect(spread(node, { isoLimits })).toBe('42.000..42.039 mm');
    expect(asked).toEqual([42, 'H8']);
    const refuse = () => ({ refused: 'not-defined', explanation: 'there is none' });
    expect(spreadOf(node, { isoLimits: refuse })).toEqual({
      refused: 'no-class',
      explanation: 'there is none',
    });
    expect(spreadOf(node)).toBeUndefined();
    const torque = { ...node, nominal: quantityNode('42', 'N·m') };
    expect(spreadOf(torque, { isoLimits })).toMatchObject({ refused: 'unit-mismatch' });
  });
});
