// Dates, times and calendar arithmetic against RFC 3339 examples and the Temporal polyfill.
import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, test } from 'vitest';
import {
  addCalendar,
  addMinutes,
  formatInstant,
  type Instant,
  instantOf,
  isRefusal,
  minutesBetween,
  parseInstant,
  parseTimeOfDay,
  wallMinutes,
} from '../../server/calculations/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

function at(text: string): Instant {
  const result = parseInstant(text);
  if (isRefusal(result)) throw new Error(result.explanation);
  return result;
}

describe('check values (RFC 3339 sec. 5.8; Temporal)', () => {
  const rows = readCheckValues('datetime_examples.csv');

  for (const { input, expected } of rows.filter(
    (row) => /^\d{4}-\S+$/.test(row.input!) && !row.input!.includes('['),
  )) {
    test(`${input} is ${expected}`, () => {
      const right = expected === 'leap second' ? '1990-12-31T23:59:59Z' : expected!;
      expect(at(input!).minutes).toBe(at(right).minutes);
      expect(at(input!).minutes).toBe(Temporal.Instant.from(input!).epochMilliseconds / 60_000);
    });
  }

  for (const { input, expected } of rows.filter((row) => row.input!.includes(' + PT'))) {
    test(`${input} is ${expected}`, () => {
      const [from, duration] = input!.split(' + ');
      const hours = Number(/^PT(\d+)H$/.exec(duration!)![1]);
      expect(addMinutes(at(from!), hours * 60).minutes).toBe(at(expected!).minutes);
    });
  }

  test('a day across a change of the clocks: 24 h later is 24 h later (Temporal)', () => {
    const cured = addMinutes(at('2024-03-09T10:00-05:00'), 24 * 60);
    expect(cured.minutes).toBe(at('2024-03-10T15:00Z').minutes);
    expect(formatInstant(cured)).toBe('2024-03-10 10:00-05:00');
    expect(minutesBetween(at('2024-03-09T10:00-05:00'), at('2024-03-10T10:00-04:00'))).toBe(23 * 60);
  });
});

describe('forms', () => {
  test.each([
    ['2026-05-03', 'day', '2026-05-03'],
    ['2026-05-03 17:40', 'minute', '2026-05-03 17:40'],
    ['2026-05-03T17:40', 'minute', '2026-05-03 17:40'],
    ['2026-05-03 17:40:05', 'second', '2026-05-03 17:40:05'],
    ['2026-05-03T17:40Z', 'minute', '2026-05-03 17:40Z'],
    ['2026-05-03 17:40+02:00', 'minute', '2026-05-03 17:40+02:00'],
    ['2026-05-03 17:40-09:30', 'minute', '2026-05-03 17:40-09:30'],
    ['2026-05-03 17:40-00:00', 'minute', '2026-05-03 17:40Z'],
    ['0044-03-15', 'day', '0044-03-15'],
  ])('%s', (text, precision, written) => {
    expect(at(text).precision).toBe(precision);
    expect(formatInstant(at(text))).toBe(written);
    expect(parseInstant(written)).toEqual(at(text));
  });

  test.each([
    ['03/05/2026', 'not-a-date'],
    ['3.5.2026', 'not-a-date'],
    ['2026-5-3', 'not-a-date'],
    ['2026-05-03 7:40', 'not-a-date'],
    ['2026-05-03 17', 'not-a-date'],
    ['2026-05-03Z', 'not-a-date'],
    ['2026-05-03 17:40 +02:00', 'not-a-date'],
    ['', 'not-a-date'],
    ['2026-02-29', 'no-such-date'],
    ['2026-13-01', 'no-such-date'],
    ['2026-00-10', 'no-such-date'],
    ['2026-04-31', 'no-such-date'],
    ['2026-05-03 24:00', 'no-such-time'],
    ['2026-05-03 17:60', 'no-such-time'],
    ['2026-05-03 17:40:61', 'no-such-time'],
    ['2026-05-03 17:40+24:00', 'no-such-time'],
  ])('%s is refused: %s', (text, reason) => {
    expect(parseInstant(text)).toMatchObject({ refused: reason });
  });

  test.each([
    ['yesterday', 'yesterday is not a date: write it as 2026-05-03'],
    ['2026-02-29', 'there is no 2026-02-29'],
    ['2026-05-00', 'there is no 2026-05-00'],
    ['2026-05-03 24:00', 'there is no 24:00'],
    ['2026-05-03 17:40+24:00', 'there is no offset +24:00'],
    ['2026-05-03 17:40+02:60', 'there is no offset +02:60'],
  ])('%s: %s', (text, explanation) => {
    expect(parseInstant(text)).toMatchObject({ explanation });
  });

  test('the furthest offset and the last minute are still times', () => {
    expect(at('2026-05-03 17:40+23:59').offset).toBe(23 * 60 + 59);
    expect(at('2026-05-03 17:40-00:30').offset).toBe(-30);
    expect(at('2026-05-03 23:59').precision).toBe('minute');
    expect(at('2026-05-03 17:40z')).toEqual(at('2026-05-03 17:40Z'));
    expect(at('2026-05-03 17:40Z').offset).toBe(0);
  });

  test('from parts', () => {
    expect(instantOf('2026-05-03')).toBe(at('2026-05-03').minutes);
    expect(instantOf('2026-05-03', '17:40')).toBe(at('2026-05-03 17:40').minutes);
    expect(instantOf('2026-05-03', '17:40', '+02:00')).toBe(at('2026-05-03 15:40Z').minutes);
    expect(instantOf('2026-05-03', '25:00')).toBeUndefined();
    expect(instantOf('yesterday')).toBeUndefined();
  });

  test('times of day', () => {
    expect(parseTimeOfDay('18:10')).toBe(18 * 60 + 10);
    expect(parseTimeOfDay('00:00:30')).toBe(0.5);
    expect(parseTimeOfDay('23:59:60')).toBeCloseTo(1440 - 1 / 60, 9);
    for (const wrong of ['24:00', '7:40', '18', '', '12:61']) expect(parseTimeOfDay(wrong)).toBeUndefined();
  });
});

describe('differences', () => {
  test('two with offsets in universal time', () => {
    expect(minutesBetween(at('1996-12-19T16:39:57-08:00'), at('1996-12-20T00:39:57Z'))).toBe(0);
  });

  test('a time without an offset is compared with any other as written', () => {
    expect(minutesBetween(at('2026-05-03 17:40+02:00'), at('2026-05-03 18:10'))).toBe(30);
    expect(minutesBetween(at('2026-05-03 18:10'), at('2026-05-03 17:40'))).toBe(-30);
    expect(wallMinutes(at('2026-05-03 17:40+02:00'))).toBe(at('2026-05-03 17:40').minutes);
  });
});

describe('calendar', () => {
  test.each([
    ['2026-01-31', 0, 1, '2026-02-28'],
    ['2024-01-31', 0, 1, '2024-02-29'],
    ['2024-02-29', 1, 0, '2025-02-28'],
    ['2026-03-02', 1, 0, '2027-03-02'],
    ['2026-11-30', 0, 3, '2027-02-28'],
    ['2026-03-31 10:00+02:00', 0, -1, '2026-02-28 10:00+02:00'],
  ])('%s and %d years %d months is %s', (from, years, months, to) => {
    expect(formatInstant(addCalendar(at(from), { years, months })!)).toBe(to);
  });

  test('as the Temporal polyfill does it', () => {
    const day = fc.date({ min: new Date('1900-01-01'), max: new Date('2100-12-31'), noInvalidDate: true });
    const number = fc.integer({ min: -40, max: 40 });
    fc.assert(
      fc.property(day, number, number, (date, years, months) => {
        const text = date.toISOString().slice(0, 10);
        const added = Temporal.PlainDate.from(text).add({ months: years * 12 + months });
        expect(formatInstant(addCalendar(at(text), { years, months })!)).toBe(added.toString());
      }),
    );
  });

  test('parts of months and years out of reach give nothing', () => {
    expect(addCalendar(at('2026-05-03'), { months: 0.5 })).toBeUndefined();
    expect(addCalendar(at('2026-05-03'), { years: 9000 })).toBeUndefined();
    expect(formatInstant(addMinutes(at('9999-12-31'), 1440))).toBeUndefined();
    expect(formatInstant(addMinutes(at('2026-05-03'), Number.NaN))).toBeUndefined();
  });
});

test('what is written reads back the same', () => {
  const when = fc.date({ min: new Date('0100-01-01'), max: new Date('9000-01-01'), noInvalidDate: true });
  const offset = fc.integer({ min: -14 * 60, max: 14 * 60 });
  fc.assert(
    fc.property(when, offset, (date, minutes) => {
      const instant: Instant = {
        minutes: Math.floor(date.getTime() / 60_000),
        offset: minutes,
        precision: 'minute',
      };
      expect(parseInstant(formatInstant(instant)!)).toEqual(instant);
    }),
  );
});
