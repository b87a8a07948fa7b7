/** Reads dates and times: ISO 8601 forms only, real days of the calendar, every other form with its remedy. */
import { ambiguousDate, fault, writeFix } from './syntax-errors.ts';
import {
  DateToken,
  emit,
  isDigit,
  Placeholder,
  runEnd,
  type Scan,
  Stray,
  skipBlanks,
  Time,
} from './tokens.ts';

const datePattern = /(\d{4})-(\d{2})-(\d{2})(?!\d)/y;
const timePattern = /(\d{2}):(\d{2})(?::(\d{2}))?(Z|[+-]\d{2}:\d{2})?(?![\d:.Zz]|[+-]\d)/y;
const looseDate = /(\d{1,4})([-./])(\d{1,2})\2(\d{1,4})(?!\d)/y;
/** `3 May 2026`, `3. Mai 2026`, `3-May-2026`, and `20260503`. */
const dayMonthYear = /(\d{1,2})\.?[ -]?(\p{L}{3,9})\.?[ ,-]{0,2}(\d{4})(?![\p{L}\p{N}])/uy;
const closedDate = /(\d{4})(\d{2})(\d{2})(?!\d)/y;
const looseTime =
  /(\d{1,2})[:.hH]?(\d{2})?(?:[:.](\d{2}))?(?:[.,]\d+)?(?: ?([ap]\.?m\.?)(?![\p{L}\p{N}]))?(Z|[+-]\d{2}(?::?\d{2})?)?/iuy;

const offsetAfterBlank = /[ \t]+(Z|[+-]\d{2}:\d{2})(?![\p{L}\p{N}:])/uy;

/** How the months begin, in English and in German. */
const monthNames = [
  ['jan', 'jän'],
  ['feb'],
  ['mar', 'mär'],
  ['apr'],
  ['may', 'mai'],
  ['jun'],
  ['jul'],
  ['aug'],
  ['sep'],
  ['oct', 'okt'],
  ['nov'],
  ['dec', 'dez'],
];

const monthLengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Whether the calendar has that day. */
export function isCalendarDay(year: number, month: number, day: number): boolean {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const length = month === 2 && leap ? 29 : (monthLengths[month - 1] ?? 0);
  return day >= 1 && day <= length;
}

/** Reads `?`, or a date, a time or both; stops at anything else. */
export function lexWhen(scan: Scan): void {
  while (skipBlanks(scan)) {
    const code = scan.text.charCodeAt(scan.at);
    if (code === 63 && scan.last === 0) {
      emit(scan, Placeholder, scan.at, scan.at + 1, '?');
      return;
    }
    if (!isDigit(code)) return;
    if (scan.last === 0 && lexDate(scan)) continue;
    lexTime(scan);
    return;
  }
}

/** Reads a date, and the `T` that may join it to a time. */
export function lexDate(scan: Scan): boolean {
  const { text, at: start } = scan;
  datePattern.lastIndex = start;
  const exact = datePattern.exec(text);
  if (exact !== null) {
    const end = start + 10;
    if (!isCalendarDay(Number(exact[1]), Number(exact[2]), Number(exact[3]))) {
      scan.faults.push(fault(start, end, `\`${exact[0]}\` is no day of the calendar.`));
      scan.doubtful = true;
    }
    emit(scan, DateToken, start, end, exact[0]);
    if ((text[end] === 'T' || text[end] === 't') && isDigit(text.charCodeAt(end + 1))) scan.at = end + 1;
    return true;
  }
  looseDate.lastIndex = start;
  const loose = looseDate.exec(text);
  if (loose === null) return lexWrittenOutDate(scan);
  const end = looseDate.lastIndex;
  const readings = readingsOf(loose[1] ?? '', loose[3] ?? '', loose[4] ?? '');
  if (readings.length === 1 && loose[1]?.length === 4)
    scan.faults.push(
      fault(start, end, `A date has two digits for month and day: \`${readings[0]}\`.`, [
        writeFix(start, end, readings[0] ?? ''),
      ]),
    );
  else scan.faults.push(ambiguousDate(start, end, loose[0], readings));
  if (readings.length !== 1) scan.doubtful = true;
  emit(scan, DateToken, start, end, readings[0] ?? loose[0]);
  return true;
}

/** Reads a date with the name of its month, or without anything between its digits. */
function lexWrittenOutDate(scan: Scan): boolean {
  const { text, at: start } = scan;
  dayMonthYear.lastIndex = start;
  closedDate.lastIndex = start;
  const named = dayMonthYear.exec(text);
  const found = named ?? closedDate.exec(text);
  if (found === null) return false;
  const begins = found[2]?.slice(0, 3).toLowerCase() ?? '';
  const month =
    named === null
      ? Number(found[2])
      : monthNames.findIndex((names) => names.some((name) => begins === name)) + 1;
  const [year, day] = named === null ? [found[1], found[3]] : [found[3], found[1]];
  if (month < 1 || month > 12) return false;
  const end = start + found[0].length;
  const two = (number: number) => String(number).padStart(2, '0');
  const reading = `${year}-${two(month)}-${two(Number(day))}`;
  if (isCalendarDay(Number(year), month, Number(day)))
    scan.faults.push(
      fault(start, end, `A date is written \`${reading}\`, not \`${found[0]}\`.`, [
        writeFix(start, end, reading),
      ]),
    );
  else {
    scan.faults.push(fault(start, end, `\`${found[0]}\` is no day of the calendar.`));
    scan.doubtful = true;
  }
  emit(scan, DateToken, start, end, reading);
  return true;
}

/** The days that a date in another form may mean: day first, and month first where both are days. */
function readingsOf(first: string, second: string, third: string): string[] {
  const iso = (year: string, month: string, day: string): string[] => {
    const full = year.length === 2 ? `20${year}` : year;
    return full.length === 4 && isCalendarDay(Number(full), Number(month), Number(day))
      ? [`${full}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`]
      : [];
  };
  if (first.length > 2) return iso(first, second, third);
  return [...new Set([...iso(third, second, first), ...iso(third, first, second)])];
}

/** Reads a time with its offset. */
function lexTime(scan: Scan): void {
  const { text, at: start } = scan;
  timePattern.lastIndex = start;
  const exact = timePattern.exec(text);
  if (exact !== null) {
    const end = timePattern.lastIndex;
    const [, hour, minute, second, offset] = exact;
    if (!isTime(hour, minute, second) || !isOffset(offset)) {
      scan.faults.push(
        fault(start, end, `\`${exact[0]}\` is no time of the day: hours go from 00 to 23, minutes to 59.`),
      );
      scan.doubtful = true;
    }
    if (offset === undefined && lexLooseOffset(scan, start, end, exact[0])) return;
    emit(scan, Time, start, end, exact[0]);
    return;
  }
  const stop = runEnd(scan, start);
  looseTime.lastIndex = start;
  const loose = looseTime.exec(text);
  const end = loose === null ? stop : Math.max(stop, start + loose[0].length);
  const written = text.slice(start, end);
  const reading = loose === null ? undefined : readingOfTime(loose, written);
  scan.faults.push(
    fault(
      start,
      end,
      reading === undefined
        ? `${/^\d{4}-/.test(written) ? 'A date is written as in `2026-05-03`' : 'A time is written as in `07:40`'}, not \`${written}\`.`
        : `${/^\d{2}:\d{2}(?::\d{2})?[+-]/.test(written) ? 'An offset has hours and minutes with a colon' : 'A time has two digits for hours and for minutes'}: \`${reading}\`, not \`${written}\`.`,
      reading === undefined ? [] : [writeFix(start, end, reading)],
    ),
  );
  if (reading === undefined) {
    scan.doubtful = true;
    emit(scan, Stray, start, end, written);
  } else emit(scan, Time, start, end, reading);
}

/** An offset after a blank: it is glued to its time. */
function lexLooseOffset(scan: Scan, start: number, end: number, time: string): boolean {
  const { text } = scan;
  offsetAfterBlank.lastIndex = end;
  const match = offsetAfterBlank.exec(text);
  const offset = match?.[1];
  if (offset === undefined || !isOffset(offset)) return false;
  const stop = offsetAfterBlank.lastIndex;
  scan.faults.push(
    fault(stop - offset.length, stop, `An offset is glued to its time: \`${time}${offset}\`.`, [
      writeFix(start, stop, time + offset),
    ]),
  );
  emit(scan, Time, start, stop, time + offset);
  return true;
}

function readingOfTime(parts: RegExpExecArray, written: string): string | undefined {
  const [, hours = '', minutes = '00', seconds, half, offset = ''] = parts;
  const rest = written.slice(parts[0].length);
  if (rest !== '' && rest !== ':') return undefined;
  let hour = Number(hours);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return undefined;
    hour = (hour % 12) + (half.toLowerCase().startsWith('p') ? 12 : 0);
  }
  const clock = [String(hour).padStart(2, '0'), minutes, ...(seconds === undefined ? [] : [seconds])];
  if (!isTime(clock[0], clock[1], clock[2])) return undefined;
  const zone = /^[+-]\d{2}(?:\d{2})?$/.test(offset)
    ? `${offset.slice(0, 3)}:${offset.slice(3).padEnd(2, '0')}`
    : offset.toUpperCase();
  return isOffset(zone === '' ? undefined : zone) ? clock.join(':') + zone : undefined;
}

/** A second 60 is a leap second (RFC 3339, section 5.7). */
function isTime(hour = '', minute = '', second = '00'): boolean {
  return Number(hour) < 24 && Number(minute) < 60 && Number(second) < 61;
}

function isOffset(offset = 'Z'): boolean {
  return offset === 'Z' || (Number(offset.slice(1, 3)) < 24 && Number(offset.slice(4, 6)) < 60);
}
