/** What the parser says when a line does not read: each fault with its words and, where one is plain, its remedy. */
import { distance } from 'fastest-levenshtein';
import {
  type ClauseName,
  type ClauseSpec,
  type FixedName,
  type FixedSpec,
  type StatementKind,
  type StatementSpec,
  statementKinds,
  statements,
  type ValueKind,
} from './statements.ts';
import type { SyntaxFault, SyntaxFix } from './syntax-tree.ts';
import { canonicalUnit, nearestUnits } from './unit-spellings.ts';

/** A fix that puts `text` in the place of what stands between `start` and `end`. */
export function replaceFix(title: string, start: number, end: number, text: string): SyntaxFix {
  return { title, edits: [{ start, end, text }] };
}

/** The usual fix: write this instead. */
export function writeFix(start: number, end: number, text: string): SyntaxFix {
  return replaceFix(`Write ${quoted(text.trim())}`, start, end, text);
}

export function fault(
  start: number,
  end: number,
  message: string,
  fixes: readonly SyntaxFix[] = [],
): SyntaxFault {
  return { rule: 'syntax', start, end, message, fixes };
}

/** What was written, as it is shown in a message. */
export function quoted(text: string): string {
  const short = text.length > 40 ? `${text.slice(0, 39)}…` : text;
  return `\`${short}\``;
}

/** `a`, `a or b`, `a, b or c`. */
export function either(words: readonly string[], joiner = 'or'): string {
  const last = words.at(-1) ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} ${joiner} ${last}`;
}

/** The words that differ from `word` in few letters, nearest first. */
export function nearestWords(word: string, words: Iterable<string>): string[] {
  const wanted = word.toLowerCase();
  const allowed = wanted.length < 3 ? 0 : wanted.length < 5 ? 1 : 2;
  const ranked: [number, string][] = [];
  for (const candidate of words) {
    const edits = isSwap(candidate, wanted) ? 1 : distance(candidate.toLowerCase(), wanted);
    if (edits <= allowed && edits < candidate.length) ranked.push([edits, candidate]);
  }
  ranked.sort((a, b) => a[0] - b[0]);
  return ranked.map(([, candidate]) => candidate).slice(0, 3);
}

/** Two neighbouring letters changed places: the commonest slip at a keyboard. */
function isSwap(a: string, b: string): boolean {
  if (a.length !== b.length) return false;
  let i = 0;
  while (i < a.length && a[i] === b[i]) i++;
  return a[i] === b[i + 1] && a[i + 1] === b[i] && a.slice(i + 2) === b.slice(i + 2);
}

/** A first word that begins no statement. */
export function unknownStatement(start: number, end: number, word: string): SyntaxFault {
  const [remark] = /^(?:\/\/|--|;|%)/.exec(word) ?? [];
  if (remark !== undefined)
    return fault(start, end, `A comment begins with \`#\`, not with ${quoted(remark)}.`, [
      writeFix(start, start + remark.length, word === remark ? '#' : '# '),
    ]);
  if (/^[-*•]$/.test(word))
    return fault(start, end, `A line needs no ${quoted(word)} before it.`, [
      replaceFix(`Remove the ${quoted(word)}`, start, end, ''),
    ]);
  const users = usersOf(word);
  const meant = statementKinds.filter((kind) => statements[kind].others?.includes(word.toLowerCase()));
  const near = meant.length > 0 || users.length > 0 ? meant : nearestWords(word, statementKinds);
  if (users.length > 0 && meant.length === 0)
    return fault(
      start,
      end,
      `${quoted(word)} belongs to ${usersText(users)} and begins no line; to continue the line above, begin with \`...\`.`,
      [replaceFix('Continue the line above', start, start, '... ')],
    );
  const hint = near.length === 0 ? '' : `; did you mean ${either(near.map(quoted))}?`;
  return fault(
    start,
    end,
    `A line begins with a word such as \`measure\` or \`torque\`, not with ${quoted(word)}${hint || '.'}`,
    near.map((one) => writeFix(start, end, one)),
  );
}

/** The statements that take a clause by that word. */
export function usersOf(word: string): string[] {
  return Object.values(statements)
    .filter(({ clauses }) => clauses.some(({ words }) => words.includes(word)))
    .map(({ keyword }) => keyword);
}

function usersText(users: readonly string[]): string {
  return users.length > 4
    ? `${users.slice(0, 3).map(quoted).join(', ')} and others`
    : either(users.map(quoted), 'and');
}

/** A word where a clause could begin that begins none of this statement's. */
export function unknownClause(start: number, end: number, word: string, spec: StatementSpec): SyntaxFault {
  const words = spec.clauses.flatMap((clause) => clause.words);
  const near = nearestWords(word, words);
  if (near.length > 0)
    return fault(
      start,
      end,
      `${quoted(word)} is no word of ${quoted(spec.keyword)}; did you mean ${either(near.map(quoted))}?`,
      near.map((one) => writeFix(start, end, one)),
    );
  const users = usersOf(word);
  if (users.length > 0)
    return fault(
      start,
      end,
      `${quoted(word)} belongs to ${usersText(users)}, not to ${quoted(spec.keyword)}${takes(words)}`,
    );
  if (Object.hasOwn(statements, word))
    return fault(start, end, `${quoted(word)} begins a statement of its own: put it on the next line.`, [
      replaceFix('Put it on the next line', start, start, '\n'),
    ]);
  return fault(start, end, `${quoted(word)} was not expected here${takes(words, spec.keyword)}`);
}

function takes(words: readonly string[], keyword?: string): string {
  const subject = keyword === undefined ? 'which' : quoted(keyword);
  if (words.length === 0) return keyword === undefined ? '.' : `; ${subject} takes nothing more.`;
  return keyword === undefined
    ? `, which takes ${either(words.map(quoted))}.`
    : `; ${subject} may go on with ${either(words.map(quoted))}.`;
}

/** Something that is no word, where a clause or the end of the line was expected. */
export function unexpected(start: number, end: number, found: string, spec: StatementSpec): SyntaxFault {
  const words = spec.clauses.flatMap((clause) => clause.words);
  return fault(start, end, `${quoted(found)} was not expected here${takes(words, spec.keyword)}`);
}

/** What each kind of value looks like, for `expected …`. */
export const expectations: Readonly<Record<ValueKind, string>> = {
  flag: 'nothing',
  word: 'a word',
  choice: 'a word',
  name: 'a name such as `TW1`',
  names: 'a name such as `TW1`',
  string: 'a text in quotes',
  strings: 'words in quotes',
  quantity: 'a quantity such as `24 N·m`',
  quantities: 'a quantity such as `24 N·m`',
  spread: 'a limit such as `0.05..0.08 mm` or `24 ± 2 N·m`',
  spreads: 'a quantity such as `0.5 bar`',
  value: 'a reading such as `67.53 mm`',
  when: 'a date and time such as `2026-05-03 17:40`',
  target: 'what the line is about, such as `case-m8[1..10]`',
  targets: 'a name such as `case-joint`',
  members: 'parts, by commas',
  expression: 'what it is worked out from, such as `bore - piston-skirt`',
  unit: 'a unit such as `mm`',
  thread: 'a thread such as `M8x1.25`',
  class: 'a property class such as `8.8` or `A2-70`',
  grade: 'a grade such as `os1`',
  integer: 'a whole number',
  order: '`cross`, `centre-out`, `any` or the items in order',
  layout: '`circle` or `rows 2`',
  adapter: 'a length and an angle such as `40 mm, 0 °`',
  until: 'hours or a date, such as `350 h`',
  'target-grade': 'a part and its grade, such as `cylinder os1`',
  tolerance: '`±` and a quantity, such as `± 8 %`',
  inspection: 'an inspection, or words in quotes',
  'limit-value': 'a limit such as `0.05..0.08 mm`, or words in quotes',
  mark: 'a mark of 16 or 64 hexadecimal digits',
  note: 'a text',
};

/** A name of each kind, as it may be written; what a statement declares goes by its keyword. */
const exampleNames: Readonly<Record<string, string>> = {
  tool: 'TW1',
  person: 'AQ',
  sealant: 'grey-rtv',
  applied: 'grey-rtv',
  assembly: 'bottom-end',
  fastener: 'case-m8',
  'open-item': 'R1',
  machine: 'pump-gearbox',
  stack: 'fuel-pump',
  joint: 'case-joint',
  inspection: 'pins-flush',
  material: 'steel',
  lubricant: 'oiled',
  lock: 'wire',
};

/** What a clause or a fixed part of a statement takes, with an example of its own kind. */
export function expectationOf(part: ClauseSpec | FixedSpec, keyword: StatementKind): string {
  const { name, value } = part;
  if (value === 'name' || value === 'names') {
    const { refers = name } = part;
    return `a name such as \`${exampleNames[refers === 'new' ? keyword : refers] ?? 'TW1'}\``;
  }
  const unit = value === 'quantity' || value === 'quantities' ? likelyUnits[name]?.[0] : undefined;
  const what = unit === undefined ? expectations[value] : `a quantity such as \`24 ${unit}\``;
  return 'after' in part && part.after !== undefined ? `\`${part.after}\` and ${what}` : what;
}

/** Units that a builder is likely to mean where a number has none. */
const likelyUnits: Partial<Record<ClauseName | FixedName, readonly string[]>> = {
  hours: ['h'],
  range: ['mm', 'N·m', 'in'],
  accuracy: ['%'],
  resolution: ['mm', 'in'],
  uncertainty: ['mm', 'in'],
  length: ['mm', 'in'],
  cure: ['h', 'min'],
  open: ['min', 'h'],
  wear: ['mm', 'in'],
  limit: ['mm', 'in'],
  torque: ['N·m', 'in·lbf', 'ft·lbf'],
  stages: ['N·m', 'in·lbf', 'ft·lbf'],
  to: ['N·m', 'in·lbf', 'ft·lbf'],
  set: ['N·m', 'in·lbf', 'ft·lbf'],
  drag: ['N·m', 'in·lbf'],
  angle: ['°'],
  retorque: ['h'],
  life: ['h', 'years', 'months'],
  temp: ['°C', '°F'],
  until: ['h'],
  quantity: ['min', 'h'],
  tolerance: ['%'],
  adapter: ['mm', 'in'],
  when: ['bar', 'min'],
};

/** A number that needs a unit and has none. */
export function missingUnit(
  start: number,
  end: number,
  number: string,
  where: ClauseName | FixedName,
  isQuotient = false,
): SyntaxFault {
  const usual = likelyUnits[where] ?? [];
  // A whole number in a table may be so many teeth or turns, and what is divided most often is a ratio.
  const counts = where === 'limit' && (isQuotient || /^\d+$/.test(number));
  const units = !counts ? usual : isQuotient ? ['count', ...usual] : [...usual, 'count'];
  return {
    rule: 'missing-unit',
    start,
    end,
    message: `${quoted(number)} has no unit${units.length === 0 ? '.' : `: write ${either(units.map((unit) => quoted(`${number} ${unit}`)))}.`}`,
    fixes: units.map((unit) => replaceFix(`Write ${quoted(`${number} ${unit}`)}`, end, end, ` ${unit}`)),
  };
}

/** A word after a number that is no unit; it may also be a misspelt clause. */
export function unknownUnit(
  start: number,
  end: number,
  word: string,
  clauses: ReadonlyMap<string, ClauseSpec>,
): SyntaxFault {
  const units = nearestUnits(word).filter((unit) => unit !== word);
  const words = nearestWords(word, clauses.keys()).filter((one) => one.length > 2);
  const offers = [...units, ...words].slice(0, 4);
  return {
    rule: 'unknown-unit',
    start,
    end,
    message:
      offers.length === 0
        ? `${quoted(word)} is not a unit.`
        : `${quoted(word)} is not a unit; did you mean ${either(offers.map(quoted))}?`,
    fixes: offers.map((offer) => writeFix(start, end, offer)),
  };
}

/** What a number with a comma may be: `67.53`, `1200` or `1.200`, `1200.5` of `1,200.5` and of `1.200,5`. */
function commaReadings(written: string): readonly string[] {
  const joined = written.replaceAll(',', '');
  if (/^\d{1,3}(\.\d{3})+,\d+$/.test(written)) return [written.replaceAll('.', '').replace(',', '.')];
  if (/,.*[,.]/.test(written)) return /^\d{1,3}(,\d{3})+(\.\d+)?$/.test(written) ? [joined] : [];
  const point = written.replace(',', '.');
  return /,\d{3}$/.test(written) ? [joined, point] : [point];
}

/** A comma between digits: a decimal point, or before exactly three digits perhaps thousands. */
export function decimalComma(start: number, end: number, written: string, inList: boolean): SyntaxFault {
  const readings = [...commaReadings(written)];
  if (inList && /^\d+,\d+$/.test(written)) readings.push(written.replace(',', ', '));
  return {
    rule: 'decimal-comma',
    start,
    end,
    message:
      readings.length === 0
        ? `${quoted(written)} is no number: write it with a point and without thousands separators.`
        : readings.length === 1
          ? `A number is written with a point and without thousands separators: ${quoted(readings[0] ?? '')}, not ${quoted(written)}.`
          : `${quoted(written)} may be ${either(readings.map(quoted))}: write a number with a point and without thousands separators.`,
    fixes: readings.map((reading) => writeFix(start, end, reading)),
  };
}

/** A date that is not ISO 8601's: every reading that is a day of the calendar is offered. */
export function ambiguousDate(
  start: number,
  end: number,
  written: string,
  readings: readonly string[],
): SyntaxFault {
  return {
    rule: 'ambiguous-date',
    start,
    end,
    message:
      readings.length === 0
        ? `${quoted(written)} is no day of the calendar; a date is written as in \`2026-05-03\`: year, month, day.`
        : `${quoted(written)} is read differently from country to country; write ${either(readings.map(quoted))}.`,
    fixes: readings.map((reading) => writeFix(start, end, reading)),
  };
}

/** Whether a text is a unit, for messages that offer one. */
export function isUnit(text: string): boolean {
  return canonicalUnit(text) !== undefined;
}
