/** Months and years against days: only from a date. */
import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { compareSpans, convert, spanInDays } from '../../server/quantities/index.ts';

describe('spans of time', () => {
  it('count months on the calendar', () => {
    expect(spanInDays({ value: 1, unit: 'months' }, '2026-01-31')).toBe(28);
    expect(spanInDays({ value: 1, unit: 'months' }, '2024-01-31')).toBe(29);
    expect(spanInDays({ value: 1, unit: 'years' }, '2026-03-02')).toBe(365);
    expect(spanInDays({ value: 1, unit: 'years' }, '2024-02-29')).toBe(365);
    expect(spanInDays({ value: 5, unit: 'years' }, '2026-05-03')).toBe(1826);
    expect(spanInDays({ value: 36, unit: 'h' }, '2026-05-03')).toBe(1.5);
    expect(spanInDays({ value: 0.5, unit: 'years' }, '2026-01-01')).toBe(181);
    expect(spanInDays({ value: 0.5, unit: 'months' }, '2026-04-01')).toBe(15);
  });
  it('never convert without a date', () => {
    expect(convert(1, 'months', 'd')).toBeUndefined();
    expect(spanInDays({ value: 1, unit: 'mm' }, '2026-05-03')).toBeUndefined();
    for (const date of ['2026-02-30', '2026-5-3', '3.5.2026', '', '2026-13-01'])
      expect(spanInDays({ value: 1, unit: 'd' }, date), date).toBeUndefined();
  });
  it('compare', () => {
    const month = { value: 1, unit: 'months' };
    expect(compareSpans(month, { value: 30, unit: 'd' }, '2026-02-01')).toBeLessThan(0);
    expect(compareSpans(month, { value: 30, unit: 'd' }, '2026-01-01')).toBeGreaterThan(0);
    expect(compareSpans(month, { value: 30, unit: 'd' }, '2026-04-01')).toBe(0);
    expect(compareSpans(month, { value: 30, unit: '°' }, '2026-04-01')).toBeUndefined();
  });
  it('agree with the Temporal calendar', () => {
    const dates = fc.date({ min: new Date('1990-01-01'), max: new Date('2090-01-01'), noInvalidDate: true });
    fc.assert(
      fc.property(dates, fc.integer({ min: 0, max: 600 }), (date, months) => {
        const start = Temporal.PlainDate.from(date.toISOString().slice(0, 10));
        const days = start.until(start.add({ months }), { largestUnit: 'days' }).days;
        expect(spanInDays({ value: months, unit: 'months' }, start.toString())).toBe(days);
      }),
    );
  });
});
