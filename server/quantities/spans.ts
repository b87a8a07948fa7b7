/** Spans of time counted from a day: the only way in which months and years compare with days and hours. */
import { type Amount, convert } from './conversion.ts';
import { kindOf } from './units.ts';

const millisecondsInDay = 86_400_000;

/**
 * The length in days of a span that begins on `start` (YYYY-MM-DD). A month ends on the same day of the next one, or
 * on its last day where that has no such day; a part of a month is that part of the month it falls in. Undefined
 * when the amount is no span of time or `start` no date.
 */
export function spanInDays(span: Amount, start: string): number | undefined {
  const kind = kindOf(span.unit);
  const from = dayOf(start);
  if (from === undefined) return undefined;
  if (kind === 'time') return convert(span.value, span.unit, 'd');
  if (kind !== 'calendar') return undefined;
  const months = convert(span.value, span.unit, 'months');
  if (months === undefined) return undefined;
  const nearest = Math.round(months);
  if (Math.abs(months - nearest) < 1e-9) return monthsLater(from, nearest) - from;
  const before = Math.floor(months);
  const [low, high] = [monthsLater(from, before), monthsLater(from, before + 1)];
  return low + (months - before) * (high - low) - from;
}

/**
 * Compares two spans that begin on the same day: less than 0 when the first is shorter. Undefined as for
 * `spanInDays`.
 */
export function compareSpans(a: Amount, b: Amount, start: string): number | undefined {
  const [first, second] = [spanInDays(a, start), spanInDays(b, start)];
  return first === undefined || second === undefined ? undefined : first - second;
}

/** Days since 1970-01-01; undefined when there is no such day. */
function dayOf(date: string): number | undefined {
  const time = /^\d{4}-\d{2}-\d{2}$/.test(date) ? Date.parse(`${date}T00:00:00Z`) : Number.NaN;
  if (Number.isNaN(time) || new Date(time).toISOString().slice(0, 10) !== date) return undefined;
  return time / millisecondsInDay;
}

function monthsLater(day: number, months: number): number {
  const date = new Date(day * millisecondsInDay);
  const [year, month] = [date.getUTCFullYear(), date.getUTCMonth() + months];
  const lastOfMonth = new Date(new Date(0).setUTCFullYear(year, month + 1, 0)).getUTCDate();
  const inMonth = Math.min(date.getUTCDate(), lastOfMonth);
  return new Date(0).setUTCFullYear(year, month, inMonth) / millisecondsInDay;
}
