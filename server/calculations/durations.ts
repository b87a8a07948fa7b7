// Dates and times as a log writes them, turned into minutes that can be compared, without a clock or time zones.
import { type Refusal, refuse } from './refusal.ts';

const minutesInDay = 1440;

/** A moment that a log states. */
export interface Instant {
  /**
   * Minutes since 1970-01-01 00:00. With an offset: of universal time. Without one: of the local clock, as
   * written. Seconds and their fractions are fractions of a minute.
   */
  readonly minutes: number;
  /** Offset of the local clock from universal time, in minutes; `undefined` if none was written. */
  readonly offset: number | undefined;
  /** `day`: only a date was written, and `minutes` is the start of that day. */
  readonly precision: 'day' | 'minute' | 'second';
}

export type InstantRefusal = Refusal<'not-a-date' | 'no-such-date' | 'no-such-time'>;

const pattern = /^(\d{4}-\d{2}-\d{2})(?:[ Tt](\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?)([Zz]|[+-]\d{2}:\d{2})?)?$/;

/**
 * Reads `YYYY-MM-DD`, `YYYY-MM-DD HH:MM` or `…:SS` (or with `T`), with `Z` or `±HH:MM` straight after the time:
 * RFC 3339, section 5.6, with the seconds and the offset left to the writer. Second 60 is accepted as second 59,
 * as calendars without leap seconds do.
 */
export function parseInstant(text: string): Instant | InstantRefusal {
  const match = pattern.exec(text);
  const [, date, time, offset] = match ?? [];
  if (date === undefined) return refuse('not-a-date', `${text} is not a date: write it as 2026-05-03`);
  const days = daysOf(date);
  if (days === undefined) return refuse('no-such-date', `there is no ${date}`);
  if (time === undefined) return { minutes: days * minutesInDay, offset: undefined, precision: 'day' };
  const inDay = parseTimeOfDay(time);
  if (inDay === undefined) return refuse('no-such-time', `there is no ${time}`);
  const offsetMinutes = parseOffset(offset);
  if (offsetMinutes === 'wrong') return refuse('no-such-time', `there is no offset ${offset}`);
  return {
    minutes: toMillisecond(days * minutesInDay + inDay - (offsetMinutes ?? 0)),
    offset: offsetMinutes,
    precision: time.length > 5 ? 'second' : 'minute',
  };
}

/**
 * The same from parts, in minutes: see `Instant.minutes`. `undefined` if a part is not one of the forms above.
 * Only minutes that both have an offset, or both have none, can be compared.
 */
export function instantOf(date: string, time?: string, offset?: string): number | undefined {
  const instant = parseInstant(time === undefined ? date : `${date}T${time}${offset ?? ''}`);
  return 'refused' in instant ? undefined : instant.minutes;
}

/** Minutes since midnight of `HH:MM`, `HH:MM:SS` or `HH:MM:SS.fff`; `undefined` if there is no such time. */
export function parseTimeOfDay(text: string): number | undefined {
  const match = /^(\d{2}):(\d{2})(?::(\d{2}(?:\.\d+)?))?$/.exec(text);
  if (!match) return undefined;
  const [hours, minutes, seconds] = [Number(match[1]), Number(match[2]), Number(match[3] ?? 0)];
  if (hours > 23 || minutes > 59 || seconds >= 61) return undefined;
  return toMillisecond(hours * 60 + minutes + (seconds >= 60 ? 59 : seconds) / 60);
}

/** The time of the local clock in minutes since 1970-01-01 00:00, as it was written. */
export function wallMinutes(instant: Instant): number {
  return instant.minutes + (instant.offset ?? 0);
}

/**
 * Minutes from one moment to another, negative if the second is earlier. Two with offsets are compared in
 * universal time. Where either has none, both are taken as written on one clock.
 */
export function minutesBetween(from: Instant, to: Instant): number {
  const universal = from.offset !== undefined && to.offset !== undefined;
  return toMillisecond(universal ? to.minutes - from.minutes : wallMinutes(to) - wallMinutes(from));
}

/** A moment so many minutes later: a fixed time, whatever the local clock does meanwhile. The offset is kept. */
export function addMinutes(instant: Instant, minutes: number): Instant {
  return { ...instant, minutes: toMillisecond(instant.minutes + minutes) };
}

/**
 * A moment so many calendar months and years later, at the same time of the local clock. A day that the month
 * does not have becomes its last one: a month after 31 January is 28 or 29 February. `undefined` if a number is
 * not whole or the year leaves 0 to 9999.
 */
export function addCalendar(
  instant: Instant,
  { years = 0, months = 0 }: { years?: number; months?: number },
): Instant | undefined {
  if (!Number.isInteger(years) || !Number.isInteger(months)) return undefined;
  const wall = wallMinutes(instant);
  const days = Math.floor(wall / minutesInDay);
  const { year, month, day } = civilOf(days);
  const monthsFromZero = year * 12 + (month - 1) + years * 12 + months;
  const newYear = Math.floor(monthsFromZero / 12);
  const newMonth = monthsFromZero - newYear * 12 + 1;
  if (newYear < 0 || newYear > 9999) return undefined;
  const newDays = dayNumber(newYear, newMonth, Math.min(day, daysInMonth(newYear, newMonth)));
  return { ...instant, minutes: toMillisecond(instant.minutes + (newDays - days) * minutesInDay) };
}

/** The moment in the form `parseInstant` reads, to the precision it had; whole seconds. `undefined` past year 9999. */
export function formatInstant(instant: Instant): string | undefined {
  const seconds = Math.floor(toMillisecond(wallMinutes(instant)) * 60 + 1e-6);
  const date = new Date(seconds * 1000);
  if (!(date.getUTCFullYear() >= 0 && date.getUTCFullYear() <= 9999)) return undefined;
  const iso = date.toISOString();
  if (instant.precision === 'day') return iso.slice(0, 10);
  const time = iso.slice(11, instant.precision === 'second' ? 19 : 16);
  return `${iso.slice(0, 10)} ${time}${formatOffset(instant.offset)}`;
}

function formatOffset(offset: number | undefined): string {
  if (offset === undefined) return '';
  if (offset === 0) return 'Z';
  const size = Math.abs(offset);
  const pad = (value: number) => String(value).padStart(2, '0');
  return `${offset < 0 ? '-' : '+'}${pad(Math.floor(size / 60))}:${pad(size % 60)}`;
}

/** Minutes to the nearest millisecond, so that the same moment written with two offsets is the same number. */
function toMillisecond(minutes: number): number {
  return Math.round(minutes * 60_000) / 60_000;
}

function parseOffset(text: string | undefined): number | undefined | 'wrong' {
  if (text === undefined) return undefined;
  if (text === 'Z' || text === 'z') return 0;
  const hours = Number(text.slice(1, 3));
  const minutes = Number(text.slice(4, 6));
  if (hours > 23 || minutes > 59) return 'wrong';
  const size = hours * 60 + minutes;
  return text.startsWith('-') && size > 0 ? -size : size;
}

function daysOf(date: string): number | undefined {
  const [year, month, day] = [Number(date.slice(0, 4)), Number(date.slice(5, 7)), Number(date.slice(8, 10))];
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) return undefined;
  return dayNumber(year, month, day);
}

/** Days since 1970-01-01. `Date.UTC` alone would take years below 100 for the twentieth century. */
function dayNumber(year: number, month: number, day: number): number {
  return new Date(0).setUTCFullYear(year, month - 1, day) / 86_400_000;
}

function civilOf(days: number): { year: number; month: number; day: number } {
  const date = new Date(days * 86_400_000);
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() };
}

function daysInMonth(year: number, month: number): number {
  return new Date(new Date(0).setUTCFullYear(year, month, 0)).getUTCDate();
}
