/** What a line is about, and so what value and tool it wants: the limit or the group under the cursor's statement. */
import type { ClauseSpec, FixedSpec } from '../../grammar/index.ts';
import {
  contains,
  everydayUnits,
  formatSpread,
  kindOf,
  type Quantity,
  type QuantityKind,
  quantity,
  type Spread,
} from '../quantities/index.ts';
import {
  type Declaration,
  type LimitDeclaration,
  type Scope,
  type ToolDeclaration,
  toolKind,
} from '../rebuild/index.ts';
import type { Piece, StatementCursor } from './cursor.ts';

/** The name that the statement's target carries, wherever the target stands. */
export function subjectName({ spec, before, after }: StatementCursor): string | undefined {
  const pieces = [...before, ...after];
  if (spec.fixed[0]?.value === 'target') return pieces[1]?.kind === 'word' ? pieces[1].text : undefined;
  const to = pieces.findIndex((piece) => piece.text === 'to');
  return spec.keyword === 'apply' && pieces[to + 1]?.kind === 'word' ? pieces[to + 1]?.text : undefined;
}

/** The declaration that the statement speaks of; of several limits of one name the first. */
export function subjectOf(statement: StatementCursor, scope: Scope): Declaration | undefined {
  const name = subjectName(statement);
  if (name === undefined || statement.spec.place === 'declaration') return undefined;
  return scope.limits.get(name)?.[0] ?? scope.shared.get(name);
}

/** The quantity that stands after a word on the line, `=` included. */
function quantityAfter(word: string, { before, after }: StatementCursor): Quantity | undefined {
  const pieces = [...before, ...after];
  const at = pieces.findIndex((piece) => piece.text === word);
  const number = pieces[at + 1];
  const unit = pieces[at + 2];
  if (at < 0 || number?.kind !== 'number' || unit?.kind !== 'unit') return undefined;
  return quantity(number.text, unit.text);
}

/** What a tool must reach: the value on the line, else what the limit or the group allows. */
export function wantedValue(statement: StatementCursor, scope: Scope): Quantity | Spread | undefined {
  const written =
    quantityAfter('set', statement) ?? quantityAfter('to', statement) ?? quantityAfter('=', statement);
  if (written !== undefined) return written;
  const subject = subjectOf(statement, scope);
  if (subject?.kind === 'limit') return subject.limit ?? subject.wear;
  return subject?.kind === 'fastener' ? subject.torque : undefined;
}

/** How well a tool suits, best first, and why in a few words. */
export function suitOf(
  tool: ToolDeclaration,
  wanted: Quantity | Spread | undefined,
  date: string | undefined,
): { readonly rank: 0 | 1 | 2 | 3; readonly words: string } {
  const words = [tool.text];
  let rank: 0 | 1 | 2 | 3 = 0;
  if (tool.range !== undefined) words.push(formatSpread(tool.range));
  if (tool.due !== undefined && date !== undefined && tool.due < date) {
    rank = 1;
    words.push(`calibration ran out ${tool.due}`);
  } else if (tool.due !== undefined) words.push(`calibration due ${tool.due}`);
  if (wanted !== undefined) {
    const kind = toolKind(tool);
    if (kind !== undefined && kind !== kindOf(wanted.unit)) return { rank: 3, words: words.join(' · ') };
    if (!reachesAll(tool.range, wanted)) {
      rank = 2;
      words.push('does not reach');
    }
  }
  return { rank, words: words.join(' · ') };
}

function reachesAll(range: Spread | undefined, wanted: Quantity | Spread): boolean {
  if (range === undefined) return true;
  if ('written' in wanted) return contains(range, wanted) !== false;
  return [wanted.lower, wanted.upper].every(
    (end) =>
      end === undefined ||
      end.value === 0 ||
      contains(range, { value: end.value, unit: wanted.unit }) !== false,
  );
}

/** The kind of quantity that a clause or fixed part takes, where its name says it. */
const kinds: Readonly<Record<string, QuantityKind>> = {
  hours: 'time',
  cure: 'time',
  open: 'time',
  retorque: 'time',
  quantity: 'time',
  length: 'length',
  adapter: 'length',
  temp: 'temperature',
  torque: 'torque',
  to: 'torque',
  set: 'torque',
  stages: 'torque',
  drag: 'torque',
  angle: 'angle',
};
/** What the common units are where nothing says which kind is meant. */
const common: readonly string[] = [
  'mm',
  'N·m',
  'bar',
  'g',
  '°C',
  'in',
  'in·lbf',
  'ft·lbf',
  'psi',
  '%',
  'Ω',
  'V',
];

/** Units fit for a part of a statement, the likeliest first. */
export function unitsFor(
  part: FixedSpec | ClauseSpec,
  pieces: readonly Piece[],
  statement: StatementCursor,
  scope: Scope,
): readonly string[] {
  const first = likelyUnits(part, pieces, statement, scope);
  const lead = first[0];
  const kind =
    lead !== undefined && lead !== '%'
      ? kindOf(lead)
      : part.name === 'accuracy'
        ? undefined
        : kinds[part.name];
  const rest =
    kind === undefined ? (first.length === 0 ? common : []) : everydayUnits(kind).map(({ name }) => name);
  const years = part.name === 'life' ? ['years', 'months', 'h'] : [];
  return [...new Set([...first, ...years, ...rest])];
}

function likelyUnits(
  part: FixedSpec | ClauseSpec,
  pieces: readonly Piece[],
  statement: StatementCursor,
  scope: Scope,
): readonly string[] {
  const written = [...statement.before, ...statement.after].filter((piece) => piece.kind === 'unit');
  const subject = subjectOf(statement, scope);
  const known = (...spreads: readonly (Spread | undefined)[]) =>
    spreads.filter((spread) => spread !== undefined).map((spread) => spread.unit);
  switch (part.name) {
    case 'value':
    case 'in':
      return subject?.kind === 'limit' ? known(subject.limit, subject.wear) : [];
    case 'when': {
      const condition =
        subject?.kind === 'limit'
          ? conditionUnits(subject)[pieces.filter((piece) => piece.text === ',').length]
          : undefined;
      return condition === undefined ? [] : [condition];
    }
    case 'to':
    case 'set':
      return subject?.kind === 'fastener' ? known(subject.torque) : [];
    case 'drag':
      return subject?.kind === 'fastener' ? known(subject.drag, subject.torque) : [];
    case 'angle':
      return ['°'];
    case 'temp':
      return ['°C'];
    case 'adapter':
      return pieces.some((piece) => piece.text === ',') ? ['°'] : ['mm'];
    case 'accuracy':
      return ['%', ...written.slice(0, 1).map((piece) => piece.text)];
    case 'tolerance':
      return ['%', 'N·m'];
    case 'wear':
    case 'limit':
    case 'stages':
    case 'resolution':
    case 'uncertainty':
    case 'torque':
      return written.slice(0, 1).map((piece) => piece.text);
    case 'hours':
    case 'until':
    case 'retorque':
      return ['h'];
    case 'quantity':
      return ['min', 'h'];
    case 'cure':
      return ['h'];
    case 'open':
      return ['min'];
    default:
      return [];
  }
}

/** The units of the conditions that a limit states, in its order. */
export function conditionUnits(limit: LimitDeclaration): readonly (string | undefined)[] {
  return limit.conditions.map((condition) => {
    switch (condition.kind) {
      case 'exact':
      case 'at-most':
      case 'at-least':
        return condition.value.unit?.name;
      case 'range':
        return (condition.high.unit ?? condition.low.unit)?.name;
      case 'plus-minus':
        return (condition.nominal.unit ?? condition.tolerance.unit)?.name;
      case 'deviations':
        return (condition.unit ?? condition.nominal.unit)?.name;
      case 'iso-class':
        return condition.nominal.unit?.name;
      default:
        return undefined;
    }
  });
}
