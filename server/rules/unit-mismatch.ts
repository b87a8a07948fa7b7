/** A unit that measures another kind of thing than is wanted. */
import {
  clauseNode,
  clauseValue,
  type ExpressionNode,
  hasClause,
  type QuantityNode,
  type Span,
  type SpreadNode,
} from '../../grammar/index.ts';
import {
  formatQuantity,
  kindOf,
  kindPhrase,
  type Quantity,
  type QuantityKind,
  quantityOf,
  sameKind,
} from '../quantities/index.ts';
import {
  clauseAt,
  type Declaration,
  type Entry,
  isSameQualifier,
  kindOfResult,
  type LimitDeclaration,
  locate,
  type Reading,
  type Report,
  type Scope,
  type ToolDeclaration,
  toolKind,
  writeTarget,
} from '../rebuild/index.ts';
import { nothing, ofSteps, rule } from './rule.ts';
import { putRight } from './standing.ts';
import { refOf } from './wording.ts';

function measures(quantity: Quantity): string {
  return `${formatQuantity(quantity)} is ${kindPhrase(kindOf(quantity.unit) ?? 'count')}`;
}

/** The clauses of a torque, besides the torque itself, whose unit is of another kind than they state. */
function* torqueClauses(entry: Entry): Iterable<Report> {
  const { statement } = entry;
  const angle = clauseValue(statement, 'angle');
  const drag = clauseValue(statement, 'drag');
  const adapter = clauseValue(statement, 'adapter');
  const wanted: readonly (readonly [QuantityNode | undefined, string, string])[] = [
    [angle?.kind === 'exact' ? angle.value : undefined, 'angle', '° or turn'],
    [drag?.kind === 'exact' ? drag.value : undefined, 'torque', 'N·m or in·lbf'],
    [clauseValue(statement, 'set'), 'torque', 'N·m or in·lbf'],
    [adapter?.length, 'length', 'mm or in'],
    [adapter?.angle, 'angle', '° or turn'],
  ];
  for (const [node, kind, units] of wanted) {
    const quantity = node === undefined ? undefined : quantityOf(node);
    if (node === undefined || quantity === undefined || kindOf(quantity.unit) === kind) continue;
    yield {
      at: locate(entry.path, entry.block, node),
      message: `${measures(quantity)}, and ${kind === 'angle' ? 'an angle' : `a ${kind}`} is wanted here, such as ${units}.`,
    };
  }
}

/** A reading before top dead centre under a limit after it, or one that does not say. */
function judgeQualifier(reading: Reading, declaration: LimitDeclaration): Report | undefined {
  const { qualifier } = declaration;
  if (isSameQualifier(reading.qualifier, qualifier)) return undefined;
  const subject = writeTarget(reading.name, reading.item, reading.place);
  const { path, block } = reading.entry;
  const text = block.text.slice(reading.at.start, reading.at.end);
  const unit = reading.node.kind === 'exact' ? reading.node.value.unit : undefined;
  const difference =
    reading.qualifier === undefined
      ? `which does not say whether it is ${qualifier}, as its limit does`
      : `and its limit ${qualifier === undefined ? `says nothing of ${reading.qualifier}` : `is ${qualifier}`}`;
  return {
    at: reading.at,
    message: `${subject} is ${text}, ${difference}${refOf(declaration)}.${reading.qualifier === undefined && unit !== undefined ? ` If it was, write ${text} ${qualifier}.` : ''}`,
    related: [{ at: declaration.at, message: 'the limit stands here' }],
    ...(qualifier !== undefined && reading.qualifier === undefined && unit !== undefined
      ? {
          fixes: [
            {
              title: `Write ${text} ${qualifier}`,
              edits: [{ ...locate(path, block, { start: unit.end, end: unit.end }), text: ` ${qualifier}` }],
            },
          ],
        }
      : {}),
  };
}

/** The kind that an expression comes to by the limits of its parts, and where two of them do not go together. */
function kindOfExpression(
  node: ExpressionNode,
  scope: Scope,
  clash: (span: Span, left: QuantityKind, right: QuantityKind, operator: string) => void,
): QuantityKind | undefined {
  switch (node.kind) {
    case 'constant':
      return node.quantity.unit === undefined ? 'count' : kindOf(node.quantity.unit.name ?? '');
    case 'reading': {
      const line = scope.limits.get(node.target.name.text)?.[0];
      return kindOf((line?.limit ?? line?.wear)?.unit ?? '');
    }
    case 'call':
      return node.arguments.map((one) => kindOfExpression(one, scope, clash))[0];
    case 'binary': {
      const left = kindOfExpression(node.left, scope, clash);
      const right = kindOfExpression(node.right, scope, clash);
      if (left === undefined || right === undefined) return undefined;
      const kind = kindOfResult(node.operator, left, right);
      if (kind === undefined) clash(node, left, right, node.operator);
      return kind;
    }
  }
}

const VERBS: Readonly<Record<string, string>> = {
  '+': 'added',
  '-': 'subtracted',
  '*': 'multiplied',
  '/': 'divided',
};

/** A derived limit whose parts, or whose own range, are of kinds that do not go together. */
function* judgeExpression(declaration: LimitDeclaration, scope: Scope): Iterable<Report> {
  const { expression, path, block } = declaration;
  if (expression === undefined) return;
  const clashes: Report[] = [];
  const kind = kindOfExpression(expression, scope, (span, left, right, operator) =>
    clashes.push({
      at: locate(path, block, span),
      message: `${capital(kindPhrase(left))} and ${kindPhrase(right)} cannot be ${VERBS[operator]} here.`,
    }),
  );
  yield* clashes;
  const own = (declaration.limit ?? declaration.wear)?.unit;
  const wanted = own === undefined ? undefined : kindOf(own);
  // What is left of a division is a plain number, and 0.5 is 50 %.
  if (kind === 'count' && wanted === 'ratio') return;
  if (clashes.length === 0 && kind !== undefined && wanted !== undefined && kind !== wanted)
    yield {
      at: locate(path, block, expression),
      message: `This comes to ${kindPhrase(kind)}, and the limit beside it is ${kindPhrase(wanted)} in ${own}.`,
    };
}

function capital(text: string): string {
  return `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
}

/** The clauses of a declaration, with the kinds that each may be of. */
const KINDS = {
  torque: ['torque'],
  drag: ['torque'],
  stages: ['torque'],
  angle: ['angle'],
  retorque: ['time'],
  length: ['length'],
  cure: ['time'],
  open: ['time'],
  hours: ['time'],
  life: ['time', 'calendar'],
} as const;

/** Clauses of a declaration in a unit of another kind than they state. */
function* judgeClauses({ statement, path, block }: Declaration): Iterable<Report> {
  for (const name of Object.keys(KINDS) as (keyof typeof KINDS)[]) {
    const clause = clauseNode(statement, name);
    if (clause?.value === undefined) continue;
    const wanted: readonly string[] = KINDS[name];
    for (const node of [clause.value].flat()) {
      const value = node.kind === 'quantity' ? node : firstQuantity(node);
      const quantity = value === undefined ? undefined : quantityOf(value);
      if (quantity === undefined || wanted.includes(kindOf(quantity.unit) ?? '')) continue;
      const [first = 'count'] = wanted;
      yield {
        at: locate(path, block, node),
        message: `${measures(quantity)}, and ${kindPhrase(first as QuantityKind)} is wanted here.`,
      };
    }
  }
}

/** What a tool's certificate states is of the kind that the tool reads, or in % of it. */
function* judgeRegister(tool: ToolDeclaration): Iterable<Report> {
  const { range, statement, path, block } = tool;
  for (const name of ['accuracy', 'resolution', 'uncertainty'] as const) {
    const stated = tool[name];
    const at = clauseNode(statement, name);
    if (range === undefined || stated === undefined || at?.value === undefined) continue;
    if (stated.unit === '%' || sameKind(stated.unit, range.unit)) continue;
    yield {
      at: locate(path, block, at.value),
      message: `${measures(stated)}, and ${tool.name} reads ${kindPhrase(kindOf(range.unit) ?? 'count')} in ${range.unit}.`,
    };
  }
}

/** The first quantity of a spread that has a unit. */
function firstQuantity(node: SpreadNode): QuantityNode | undefined {
  const all =
    node.kind === 'range'
      ? [node.low, node.high]
      : node.kind === 'plus-minus'
        ? [node.nominal, node.tolerance]
        : node.kind === 'placeholder'
          ? []
          : 'value' in node
            ? [node.value]
            : [node.nominal];
  return all.find((one) => one.unit !== undefined && one.unit.name !== '%');
}

/** How far a bare torque below may be off: a torque, or in % of it. */
function judgeTolerance({ statement, path, block }: Declaration): Report | undefined {
  const { tolerance } = statement;
  const quantity = tolerance === undefined ? undefined : quantityOf(tolerance);
  if (tolerance === undefined || quantity === undefined) return undefined;
  if (quantity.unit === '%' || kindOf(quantity.unit) === 'torque') return undefined;
  return {
    at: locate(path, block, tolerance),
    message: `${measures(quantity)}, and a torque or % is wanted here. Until then a bare torque below is met within 5 %.`,
  };
}

/** How long a machine ran, and the hours until which something holds or that it has at release. */
function judgeHours({ statement, path, block }: Entry): Report | undefined {
  const until = clauseValue(statement, 'until');
  const node =
    statement.kind === 'run'
      ? statement.quantity
      : until !== undefined && 'number' in until
        ? until
        : clauseValue(statement, 'hours');
  const quantity = node === undefined ? undefined : quantityOf(node);
  if (node === undefined || quantity === undefined || kindOf(quantity.unit) === 'time') return undefined;
  return {
    at: locate(path, block, node),
    message: `${measures(quantity)}, and a time is wanted here, such as ${statement.kind === 'run' ? 'min or h' : 'h'}.`,
  };
}

const RATES: ReadonlySet<string> = new Set(['speed', 'velocity', 'power']);
const PURE_NUMBERS: ReadonlySet<string> = new Set(['ratio', 'count', 'mixture']);
const ELECTRICAL: ReadonlySet<string> = new Set(['voltage', 'current', 'resistance']);

/** What may be worked out from what another kind of tool shows: a torque from a spring balance and its arm. */
const WORKED_OUT: Readonly<Record<string, readonly QuantityKind[]>> = {
  angle: ['length'],
  area: ['length'],
  volume: ['length', 'mass'],
  torque: ['force', 'mass'],
  force: ['mass', 'pressure'],
  mass: ['force'],
  pressure: ['force'],
};

/** Whether a value of one kind may be had with a tool for another; one meter reads all that is electrical. */
function mayCome(kind: QuantityKind, own: QuantityKind): boolean {
  if (kind === own || kind.includes('/') || RATES.has(kind) || PURE_NUMBERS.has(kind)) return true;
  if (ELECTRICAL.has(own) && ELECTRICAL.has(kind)) return true;
  return WORKED_OUT[kind]?.includes(own) === true;
}

/** The tool that a line itself names, where it cannot have given what the line states. */
function judgeTool(entry: Entry, stated: Quantity | undefined): Report | undefined {
  const { tool, statement, path, block } = entry;
  if (tool === undefined || stated === undefined) return undefined;
  const own = toolKind(tool);
  const kind = kindOf(stated.unit);
  if (own === undefined || kind === undefined || mayCome(kind, own)) return undefined;
  const at = clauseNode(statement, 'with')?.value;
  if (at === undefined) return undefined;
  return {
    at: locate(path, block, at),
    message: `${measures(stated)}, and ${tool.name} measures ${kindPhrase(own)}: name the tool that it was done with.`,
    related: [{ at: tool.at, message: `${tool.name} is registered here` }],
  };
}

/** The clauses of a torque that have units of their own. */
const CLAUSES = ['angle', 'drag', 'set', 'adapter'] as const;

/** The entries that state a length of time in their own right. */
const HOURS: ReadonlySet<string> = new Set(['run', 'accept', 'release']);

/** The torque and the temperature of an entry whose unit is of another kind than is wanted. */
function* judgeEntry(entry: Entry): Iterable<Report> {
  const at = clauseAt(entry, 'to') ?? locate(entry.path, entry.block, entry.statement);
  const mended = putRight(entry);
  if (entry.torque !== undefined && kindOf(entry.torque.unit) !== 'torque')
    yield {
      at,
      message: `${measures(entry.torque)}, and a torque is wanted here, such as N·m or in·lbf.`,
      mended,
    };
  for (const report of judgeTemperature(entry)) yield { ...report, mended };
  if (entry.kind === 'torque') for (const report of torqueClauses(entry)) yield { ...report, mended };
  const hours = judgeHours(entry);
  if (hours !== undefined) yield hours;
  const tool = toolAtOdds(entry);
  if (tool !== undefined) yield { ...tool, mended };
}

/** The tool of a torque that no torque can be set with; an angle is turned with another. */
function toolAtOdds(entry: Entry): Report | undefined {
  return entry.kind === 'torque' && entry.angle === undefined ? judgeTool(entry, entry.torque) : undefined;
}

/** The temperature that a line itself states: what its step states is told there. */
function* judgeTemperature({
  path,
  block,
  statement,
}: Pick<Entry, 'path' | 'block' | 'statement'>): Iterable<Report> {
  const node = clauseValue(statement, 'temp');
  const quantity = node === undefined ? undefined : quantityOf(node);
  if (node === undefined || quantity === undefined || kindOf(quantity.unit) === 'temperature') return;
  yield {
    at: locate(path, block, node),
    message: `${measures(quantity)}, and a temperature is wanted here, such as °C.`,
  };
}

const temperaturesOfSteps = ofSteps(judgeTemperature);

/** A reading in a unit of another kind than its limit, with another qualifier, or in words. */
function judgeReading(reading: Reading, declaration: LimitDeclaration): Report | undefined {
  const quantity = reading.high ?? reading.low;
  const wanted = declaration.limit ?? declaration.wear;
  if (wanted === undefined || (quantity === undefined && reading.word === undefined)) return undefined;
  if (quantity !== undefined && sameKind(quantity.unit, wanted.unit))
    return judgeQualifier(reading, declaration);
  const found = quantity === undefined ? `"${reading.word}" is a word` : measures(quantity);
  return {
    at: reading.at,
    message: `${found}, and ${writeTarget(reading.name, reading.item)} is ${kindPhrase(kindOf(wanted.unit) ?? 'count')}: its limit is in ${wanted.unit}.`,
    related: [{ at: declaration.at, message: 'the limit stands here' }],
  };
}

/** Reports readings, torques, temperatures and times in a unit of the wrong kind. */
export const unitMismatch = rule({
  id: 'unit-mismatch',
  severity: 'error',
  title: 'unit of the wrong kind',
  subject: 'entry',
  check(entry) {
    // Most lines are of one kind with what they are judged by, and say nothing else.
    const { torque, statement } = entry;
    const plain =
      !hasClause(statement, 'temp') &&
      (torque === undefined || kindOf(torque.unit) === 'torque') &&
      (entry.kind !== 'torque' || !CLAUSES.some((name) => hasClause(statement, name))) &&
      !HOURS.has(entry.kind);
    return plain && toolAtOdds(entry) === undefined ? nothing : judgeEntry(entry);
  },
  also: {
    rebuild: ({ steps }) => temperaturesOfSteps(steps),
    *characteristic({ instances }) {
      // A line may hold many readings: of its tool it is told once.
      const told = new Set<Entry>();
      for (const { declaration, readings } of instances)
        for (const { reading, history } of readings) {
          // A slip that was corrected is none any more.
          if (history === 'corrected') continue;
          const report = judgeReading(reading, declaration);
          if (report !== undefined) yield report;
          const { entry } = reading;
          if (report !== undefined || told.has(entry)) continue;
          const tool = judgeTool(entry, reading.high ?? reading.low);
          if (tool === undefined) continue;
          told.add(entry);
          yield tool;
        }
    },
    *declaration(declaration, { scope }) {
      const { path, block } = declaration;
      for (const { span, refusal } of declaration.refusals)
        if (refusal.refused === 'unit-mismatch')
          yield { at: locate(path, block, span), message: refusal.explanation };
      yield* judgeClauses(declaration);
      const tolerance = judgeTolerance(declaration);
      if (tolerance !== undefined) yield tolerance;
      if (declaration.kind === 'tool') yield* judgeRegister(declaration);
      if (declaration.kind !== 'limit') return;
      yield* judgeExpression(declaration, scope);
      const { limit, wear } = declaration;
      const at = clauseNode(declaration.statement, 'wear');
      if (limit !== undefined && wear !== undefined && at !== undefined && !sameKind(limit.unit, wear.unit))
        yield {
          at: locate(path, block, at),
          message: `The wear limit is in ${wear.unit} and the range for new parts in ${limit.unit}: they measure different things.`,
        };
    },
  },
});
