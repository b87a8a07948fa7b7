/** Lives of parts: since when each counts, when it ends, and how much of it is left. */
import { addCalendar, addMinutes, formatInstant, isRefusal, parseInstant } from '../calculations/index.ts';
import { convert, kindOf, type Quantity, spanInDays } from '../quantities/index.ts';
import type { Rebuild } from './bind.ts';
import type { PartDeclaration } from './declarations.ts';
import type { Entry } from './entries.ts';
import { machineHours } from './hours.ts';

/** The life of one part that is in the machine and of which a log says when it went in new. */
export interface Life {
  readonly name: string;
  readonly item: string;
  readonly declaration: PartDeclaration;
  /** The fitting that stands, and the one that put it in as a new one: in this log, or in an earlier one. */
  readonly fitted: Entry;
  readonly newSince: Entry;
  /** When it went in new (YYYY-MM-DD), and the machine's hours then (h); undefined where the logs do not say. */
  readonly since: string | undefined;
  readonly sinceHours: number | undefined;
  /** The last day of its calendar life, and the machine's hours (h) at which its running life ends. */
  readonly endsOn: string | undefined;
  readonly endsAtHours: number | undefined;
}

/** Whether a life counts by the calendar (days, months, years) or by running hours (h, min, s). */
export function isCalendarLife({ unit }: Quantity): boolean {
  return kindOf(unit) === 'calendar' || unit === 'd';
}

/** The lives of the parts that are in the machine at the end of the log, those that an earlier log fitted included. */
export function livesOf(rebuild: Rebuild): readonly Life[] {
  const lives: Life[] = [];
  for (const { name, declaration, members } of rebuild.parts) {
    if (declaration.life.length === 0) continue;
    const earlier = rebuild.carried?.parts.get(name);
    for (const { item, state, fitted, newSince } of members) {
      if (state !== 'in' && state !== 'not-mentioned') continue;
      const carried = earlier?.find((part) => part.item === item);
      const standing = fitted ?? carried?.fitted;
      const began = newSince ?? carried?.newSince;
      if (standing === undefined || began === undefined) continue;
      const since =
        newSince === undefined ? carried?.newOn?.date : (newSince.moment ?? newSince.step?.moment)?.date;
      const sinceHours = newSince === undefined ? carried?.newAtHours : machineHours(rebuild, newSince);
      lives.push({
        name,
        item,
        declaration,
        fitted: standing,
        newSince: began,
        since,
        sinceHours,
        endsOn: since === undefined ? undefined : endOfCalendarLife(declaration, since),
        endsAtHours: sinceHours === undefined ? undefined : endOfRunningLife(declaration, sinceHours),
      });
    }
  }
  return lives;
}

function endOfCalendarLife({ life }: PartDeclaration, since: string): string | undefined {
  const start = parseInstant(since);
  if (isRefusal(start)) return undefined;
  const days = life
    .filter(isCalendarLife)
    .map((span) => spanInDays(span, since))
    .filter((span) => span !== undefined);
  return days.length === 0
    ? undefined
    : formatInstant(addMinutes(start, Math.round(Math.min(...days)) * 1440));
}

function endOfRunningLife({ life }: PartDeclaration, since: number): number | undefined {
  const hours = life
    .filter((span) => !isCalendarLife(span))
    .map(({ value, unit }) => convert(value, unit, 'h'))
    .filter((span) => span !== undefined);
  return hours.length === 0 ? undefined : since + Math.min(...hours);
}

/** The log's own day: that of its release, else the last that any of its lines gives. */
export function logDate({ release, timed }: Pick<Rebuild, 'release' | 'timed'>): string | undefined {
  return (release?.moment ?? timed.at(-1)?.moment)?.date;
}

/** Days from one day to another (YYYY-MM-DD), negative when the second is earlier. Undefined when one is no day. */
export function daysBetween(from: string, to: string): number | undefined {
  const [start, end] = [parseInstant(from), parseInstant(to)];
  return isRefusal(start) || isRefusal(end) ? undefined : Math.round((end.minutes - start.minutes) / 1440);
}

/**
 * The time from one day to a later one as a builder says it: `4 years 11 months`, `7 months`, `19 days`. Whole months
 * from the first day on, none counted that is not full; days where there are fewer than two months.
 */
export function spanInWords(from: string, to: string): string | undefined {
  const start = parseInstant(from);
  const days = daysBetween(from, to);
  if (days === undefined || isRefusal(start)) return undefined;
  let months = 0;
  for (;;) {
    const next = addCalendar(start, { months: months + 1 });
    if (next === undefined || next.minutes > start.minutes + days * 1440) break;
    months++;
  }
  const count = (many: number, word: string) => `${many} ${word}${many === 1 ? '' : 's'}`;
  if (months < 2) return count(days, 'day');
  const years = Math.floor(months / 12);
  const rest = months % 12;
  if (years === 0) return count(months, 'month');
  return rest === 0 ? count(years, 'year') : `${count(years, 'year')} ${count(rest, 'month')}`;
}
