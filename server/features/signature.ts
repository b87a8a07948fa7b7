/** The form of a statement with what stands at the cursor: fixed parts and clauses, from the one table. */
import type { ClauseSpec, FixedSpec, StatementSpec, ValueKind } from '../../grammar/index.ts';
import { cursorAt, type StatementCursor } from './cursor.ts';

export interface Signature {
  readonly label: string;
  readonly about: string;
  /** Offsets in the label. */
  readonly parameters: readonly { readonly start: number; readonly end: number; readonly about: string }[];
  /** Which of them stands at the cursor. */
  readonly active: number;
}

const values: Partial<Readonly<Record<ValueKind, string>>> = {
  string: '"text"',
  strings: '"word" …',
  names: 'name …',
  target: 'name[items]',
  targets: 'name[items] …',
  'target-grade': 'name[items] grade',
  members: 'part, part …',
  quantity: 'number unit',
  quantities: 'number unit, …',
  spread: 'low..high unit',
  spreads: 'value, …',
  'limit-value': 'low..high unit',
  value: 'value unit',
  when: 'date time',
  until: 'hours or date',
  adapter: 'length, angle',
  tolerance: '± value',
  layout: 'circle | rows n',
  order: 'cross | centre-out | any | items',
  integer: 'number',
};

function formOf(part: FixedSpec | ClauseSpec): string {
  const value = values[part.value] ?? part.value;
  if (!('words' in part)) return part.after === undefined ? value : `${part.after} ${value}`;
  const word = part.words.join(' | ');
  if (part.value === 'flag' || part.value === 'word') return word;
  return `${word} ${part.value === 'choice' ? (part.choices ?? []).join(' | ') : value}`;
}

/**
 * The form of the statement at an offset. `onlyWanted`: only where a value must or may go on, as after a keyword, so
 * that nothing pops up beside a line that is whole.
 */
export function signatureAt(text: string, offset: number, onlyWanted: boolean): Signature | undefined {
  const cursor = cursorAt(text, offset);
  if (cursor.kind !== 'statement') return undefined;
  const { statement } = cursor;
  if (onlyWanted && (statement.open.length === 0 || (statement.clausesAllowed && !statement.quoted)))
    return undefined;
  const parts: readonly (FixedSpec | ClauseSpec)[] = [...statement.spec.fixed, ...statement.spec.clauses];
  if (parts.length === 0) return undefined;
  let label: string = statement.spec.keyword;
  const parameters = parts.map((part) => {
    const form = formOf(part);
    const mayLack = 'words' in part ? part.required !== true : part.optional === true;
    const open = mayLack ? ['[', ']'] : ['', ''];
    const start = label.length + 1;
    label += ` ${open[0]}${form}${open[1]}`;
    return { start, end: label.length, about: part.about };
  });
  return { label, about: statement.spec.about, parameters, active: activeOf(statement, parts) };
}

/** The part that the cursor stands in; between clauses the first required one that is not written, else any. */
function activeOf(statement: StatementCursor, parts: readonly (FixedSpec | ClauseSpec)[]): number {
  const open = statement.open.find(({ state }) => state === 'inside') ?? statement.open[0];
  const at = open === undefined ? -1 : parts.indexOf(open.part);
  if (at >= 0) return at;
  const missing = nextClause(statement.spec, statement);
  return missing === undefined ? 0 : parts.indexOf(missing);
}

function nextClause(spec: StatementSpec, { used }: StatementCursor): ClauseSpec | undefined {
  const left = spec.clauses.filter((clause) => !used.has(clause.name));
  return left.find((clause) => clause.required === true) ?? left[0];
}
