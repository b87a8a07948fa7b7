/**
 * What limits leave to what they are worked out from: the range that the limits of the parts give a derived one, and the
 * range that is left for the one reading that is still missing.
 */
import type { ExpressionNode, TargetNode } from '../../grammar/index.ts';
import {
  convert,
  convertedDecimals,
  formatNumber,
  formatSpread,
  fromBase,
  kindOf,
  toBase,
  withUnit,
} from '../quantities/index.ts';
import type { Characteristic, Instance } from './characteristics.ts';
import type { LimitDeclaration } from './declarations.ts';
import {
  added,
  arithmetic,
  constant,
  evaluate,
  type Interval,
  intervalsOf,
  kindOfResult,
  type MissingPlace,
  membersFor,
  namesIn,
  ofAll,
  onThermometer,
} from './expressions.ts';
import { expandPath, writeTarget } from './items.ts';
import type { Scope } from './scope.ts';
import { decidingLimits } from './uncertainty.ts';

/** What may be, in base units; an end that nothing holds is infinite. */
interface Room {
  readonly low: number;
  readonly high: number;
}

/** What a limit allows for new parts; undefined for words. */
function roomOf(declaration: LimitDeclaration): Interval | undefined {
  const spread = declaration.limit ?? declaration.wear;
  const kind = spread === undefined ? undefined : kindOf(spread.unit);
  if (spread === undefined || kind === undefined) return undefined;
  // Of one that is worked out the limit may be of a difference, which is no place on a thermometer.
  if (kind === 'temperature' && declaration.expression !== undefined) return undefined;
  const { lower, upper, unit } = spread;
  return {
    low: lower === undefined ? Number.NEGATIVE_INFINITY : toBase({ value: lower.value, unit }),
    high: upper === undefined ? Number.POSITIVE_INFINITY : toBase({ value: upper.value, unit }),
    kind,
    lowFrom: undefined,
    highFrom: undefined,
  };
}

/** The line of a name that holds for a member while a grade is fitted; the plain one where no line names the grade. */
function lineFor(
  lines: readonly LimitDeclaration[],
  target: TargetNode,
  item: string,
  grade: string | undefined,
): LimitDeclaration | undefined {
  const members = lines.flatMap((line) => line.space.items.map((one) => ({ item: one, line })));
  const matching = membersFor(target, item, members).map(({ line }) => line);
  return (
    matching.find((line) => line.grade?.grade === grade) ?? matching.find((line) => line.grade === undefined)
  );
}

/** What the limits of its parts allow a derived limit, and the lines that say so. */
export interface AllowedByParts {
  readonly low: number;
  readonly high: number;
  readonly lines: readonly LimitDeclaration[];
}

/**
 * The range that the limits for new parts give an expression for one member, in base units, while a grade is fitted
 * (undefined: none); a difference of temperatures as `unit` shows it. Undefined where some part has no limit, or the expression asks for less than its parts allow by its
 * nature: a taper, an out-of-round or a range is a limit of its own.
 */
export function allowedByParts(
  expression: ExpressionNode,
  item: string,
  grade: string | undefined,
  unit: string,
  scope: Scope,
): AllowedByParts | undefined {
  const lines: LimitDeclaration[] = [];
  /** With `high`, each part is at one end of its room: the upper one where its name is among them. */
  const work = (node: ExpressionNode, high?: ReadonlySet<string>): Interval | undefined => {
    switch (node.kind) {
      case 'constant':
        return constant(node.quantity);
      case 'reading': {
        const line = lineFor(scope.limits.get(node.target.name.text) ?? [], node.target, item, grade);
        if (line === undefined) return undefined;
        if (!lines.includes(line)) lines.push(line);
        const room = roomOf(line);
        if (high === undefined || room === undefined) return room;
        const end = high.has(writtenName(node.target)) ? room.high : room.low;
        return { ...room, low: end, high: end };
      }
      case 'call': {
        if (node.name !== 'min' && node.name !== 'max' && node.name !== 'mean') return undefined;
        const values = node.arguments.map((one) => work(one, high));
        const known = values.filter((value) => value !== undefined);
        return known.length < values.length ? undefined : ofAll(node.name, known);
      }
      case 'binary': {
        const left = added(node, node.left) ?? work(node.left, high);
        const right = added(node, node.right) ?? work(node.right, high);
        if (left === undefined || right === undefined) return undefined;
        const kind = kindOfResult(node.operator, left.kind, right.kind);
        return kind === undefined ? undefined : arithmetic(node.operator, left, right, kind);
      }
    }
  };
  const value = work(expression);
  if (value === undefined) return undefined;
  const { low, high } = onThermometer({ ...value, ...atEnds(expression, work) }, unit);
  return { low, high, lines };
}

/** A target as it names readings: the same twice in an expression is the same reading. */
function writtenName({ name, items, place }: TargetNode): string {
  const paths = [...(items ?? []), ...(place === undefined ? [] : [place])].map((path) =>
    expandPath(path).join(' '),
  );
  return [name.text, ...paths].join(' | ');
}

function hasCall(node: ExpressionNode): boolean {
  return node.kind === 'call' || (node.kind === 'binary' && (hasCall(node.left) || hasCall(node.right)));
}

/** Few enough for all their ends to be tried. */
const MOST_PARTS = 8;

/**
 * What an expression that names a part twice comes to, by the ends of its parts: in `(swept + chamber) / chamber` the
 * chamber is not small above the line and large below it. Undefined where no part is named twice, or an end is open.
 */
function atEnds(
  expression: ExpressionNode,
  work: (node: ExpressionNode, high: ReadonlySet<string>) => Interval | undefined,
): Room | undefined {
  // Of `max(bore) - min(bore)` each may be another of the bores.
  if (hasCall(expression)) return undefined;
  const named = namesIn(expression).map(writtenName);
  const parts = [...new Set(named)];
  if (parts.length === named.length || parts.length > MOST_PARTS) return undefined;
  const ends: number[] = [];
  for (let corner = 0; corner < 2 ** parts.length; corner++) {
    const value = work(expression, new Set(parts.filter((_, i) => (corner >> i) % 2 === 1)));
    if (value === undefined || !Number.isFinite(value.low) || !Number.isFinite(value.high)) return undefined;
    ends.push(value.low, value.high);
  }
  return { low: Math.min(...ends), high: Math.max(...ends) };
}

/** The reading that a derived limit still lacks, and what it may be. */
export interface MissingRange {
  readonly name: string;
  readonly item: string;
  /** The places that have no reading: `['']` for the member itself. */
  readonly places: readonly string[];
  /** In `unit`; undefined where nothing holds that end. Both ends belong to the range. */
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly unit: string;
  readonly decimals: number;
  /** The lines of its own limit that have a range: several where there are sizes or grades to choose from. */
  readonly choices: readonly LimitDeclaration[];
  /** Those that lie wholly inside, and those that at least reach in. */
  readonly fitting: readonly LimitDeclaration[];
  readonly reaching: readonly LimitDeclaration[];
}

/**
 * What the one reading that a derived limit still lacks may be for the limit to be met, whatever the readings that were
 * taken as ranges are. Undefined when nothing or more than one thing is missing, none of the others was read yet, or the
 * expression cannot be turned round.
 */
export function rangeForMissing(
  characteristic: Characteristic,
  instance: Instance,
): MissingRange | undefined {
  const { worked, declaration } = instance;
  const first = worked?.missing[0];
  if (worked === undefined || first === undefined || worked.readings.length === 0) return undefined;
  if (worked.missing.some((one) => one.name !== first.name || one.item !== first.item)) return undefined;
  const limits = decidingLimits(declaration, instance.fittedNew !== undefined);
  if (declaration.expression === undefined || limits === undefined) return undefined;
  // A thermometer in K or °F does not show the number of a difference in base units.
  if (kindOf(limits.unit) === 'temperature' && limits.unit !== '°C') return undefined;
  const room: Room = {
    low:
      limits.lower === undefined
        ? Number.NEGATIVE_INFINITY
        : toBase({ value: limits.lower.value, unit: limits.unit }),
    high:
      limits.upper === undefined
        ? Number.POSITIVE_INFINITY
        : toBase({ value: limits.upper.value, unit: limits.unit }),
  };
  const left = roomLeft(declaration.expression, room, { characteristic, instance, unknown: worked.missing });
  const source = sourceNamed(characteristic, first.name);
  if (left === undefined || source === undefined) return undefined;
  const own = source.declarations.filter((line) => line.space.index.has(first.item));
  const unit = (own[0]?.limit ?? own[0]?.wear)?.unit;
  if (unit === undefined) return undefined;
  const end = (base: number) => (Number.isFinite(base) ? fromBase(base, unit) : undefined);
  const low = end(left.low);
  const high = end(left.high);
  if (low === undefined && high === undefined) return undefined;
  const shown = { written: '', value: high ?? low ?? 0, decimals: worked.decimals, fraction: false };
  const decimals = Math.max(
    0,
    convertedDecimals({ ...shown, unit: worked.unit ?? unit }, unit) ?? worked.decimals,
  );
  const choices = own.filter((line) => line.limit !== undefined);
  /** Where a line's ends lie: above the lower end of the room, below its upper end. */
  const within = ({ limit }: LimitDeclaration) => {
    const ends = [limit?.lower, limit?.upper].map((bound) =>
      bound === undefined || limit === undefined ? undefined : convert(bound.value, limit.unit, unit),
    );
    const slack = 1e-9 * Math.max(Math.abs(low ?? 0), Math.abs(high ?? 0));
    return ends.map((value) => ({
      aboveLow: low === undefined || (value ?? Number.NaN) >= low - slack,
      belowHigh: high === undefined || (value ?? Number.NaN) <= high + slack,
    }));
  };
  const fitting = choices.filter((line) => within(line).every((end) => end.aboveLow && end.belowHigh));
  const reaching = choices.filter((line) => {
    const [lower, upper] = within(line);
    return (
      (line.limit?.lower === undefined || lower?.belowHigh === true) &&
      (line.limit?.upper === undefined || upper?.aboveLow === true)
    );
  });
  return {
    name: first.name,
    item: first.item,
    places: worked.missing.map(({ place }) => place),
    low,
    high,
    unit,
    decimals,
    choices,
    fitting,
    reaching,
  };
}

/** The characteristic of that name among those that one is worked out from, however far down. */
function sourceNamed({ sources }: Characteristic, name: string): Characteristic | undefined {
  for (const source of sources) {
    if (source.name === name) return source;
    const deeper = sourceNamed(source, name);
    if (deeper !== undefined) return deeper;
  }
  return undefined;
}

interface Unknown {
  readonly characteristic: Characteristic;
  readonly instance: Instance;
  readonly unknown: readonly MissingPlace[];
}

/** Turns an expression round: what is left for the unknown when the whole must lie in `room`. */
function roomLeft(node: ExpressionNode, room: Room, of: Unknown): Room | undefined {
  switch (node.kind) {
    case 'constant':
      return undefined;
    case 'reading':
      return roomOfTarget(node.target, room, of);
    case 'call':
      return roomInCall(node, room, of);
    case 'binary': {
      const [inLeft, inRight] = [holdsUnknown(node.left, of), holdsUnknown(node.right, of)];
      if (inLeft === inRight) return undefined;
      const other = workedPart(inLeft ? node.right : node.left, of);
      if (other === undefined) return undefined;
      const next = inLeft ? besideLeft(node.operator, room, other) : besideRight(node.operator, room, other);
      return next === undefined ? undefined : roomLeft(inLeft ? node.left : node.right, next, of);
    }
  }
}

/** The unknown stands on the left: x + b, x − b, x × b, x ÷ b. */
function besideLeft(operator: '+' | '-' | '*' | '/', { low, high }: Room, other: Interval): Room | undefined {
  switch (operator) {
    case '+':
      return { low: low - other.low, high: high - other.high };
    case '-':
      return { low: low + other.high, high: high + other.low };
    default: {
      if (other.low <= 0) return undefined;
      const by = (end: number, factor: number) => (operator === '*' ? end / factor : end * factor);
      return {
        low: Math.max(by(low, other.low), by(low, other.high)),
        high: Math.min(by(high, other.low), by(high, other.high)),
      };
    }
  }
}

/** The unknown stands on the right: b + x, b − x, b × x, b ÷ x. */
function besideRight(operator: '+' | '-' | '*' | '/', room: Room, other: Interval): Room | undefined {
  const { low, high } = room;
  if (operator === '+' || operator === '*') return besideLeft(operator, room, other);
  if (operator === '-') return { low: other.high - high, high: other.low - low };
  // Of a quotient of sizes above nothing.
  if (other.low <= 0 || high <= 0) return undefined;
  return { low: other.high / high, high: low > 0 ? other.low / low : Number.POSITIVE_INFINITY };
}

/** A bare name stands for all of its readings, so each of them has the whole room. */
function roomOfTarget(target: TargetNode, room: Room, of: Unknown): Room | undefined {
  const source = of.characteristic.sources.find((one) => one.name === target.name.text);
  const [first] = of.unknown;
  if (source === undefined || first === undefined) return undefined;
  if (source.name === first.name) return room;
  const [instance, ...more] = membersFor(target, of.instance.item, source.instances);
  const expression = instance?.declaration.expression;
  if (instance === undefined || more.length > 0 || expression === undefined) return undefined;
  return roomLeft(expression, room, { characteristic: source, instance, unknown: of.unknown });
}

function roomInCall(node: ExpressionNode & { kind: 'call' }, room: Room, of: Unknown): Room | undefined {
  const at = node.arguments.findIndex((argument) => holdsUnknown(argument, of));
  const argument = node.arguments[at];
  if (argument === undefined) return undefined;
  const isSingle = argument.kind === 'reading' && node.arguments.length === 1;
  if (!isSingle && (node.name === 'taper' || node.name === 'out-of-round')) return undefined;
  const others = isSingle
    ? readingsBeside(node, argument.target, of)
    : node.arguments.filter((_, i) => i !== at).map((other) => workedPart(other, of));
  const known = others.filter((one) => one !== undefined);
  if (known.length < others.length) return undefined;
  const left = beside(node.name, known, isSingle ? of.unknown.length : 1, room);
  return left === undefined ? undefined : roomLeft(argument, left, of);
}

/** What is left for one argument of a function beside the others. */
function beside(
  name: (ExpressionNode & { kind: 'call' })['name'],
  others: readonly Interval[],
  unknowns: number,
  { low, high }: Room,
): Room | undefined {
  const lows = others.map((one) => one.low);
  const highs = others.map((one) => one.high);
  const total = (ends: readonly number[]) => ends.reduce((sum, end) => sum + end, 0);
  switch (name) {
    case 'mean':
      if (others.length === 0) return { low, high };
      if (unknowns > 1) return undefined;
      return {
        low: low * (others.length + 1) - total(lows),
        high: high * (others.length + 1) - total(highs),
      };
    case 'max':
      return { low: Math.max(...lows) >= low ? Number.NEGATIVE_INFINITY : low, high };
    case 'min':
      return { low, high: Math.min(...highs) <= high ? Number.POSITIVE_INFINITY : high };
    default:
      if (others.length === 0) return undefined;
      return { low: Math.max(...highs) - high, high: Math.min(...lows) + high };
  }
}

/** The readings that a function of one name compares the missing one with. */
function readingsBeside(
  { name }: ExpressionNode & { kind: 'call' },
  target: TargetNode,
  of: Unknown,
): readonly Interval[] {
  const all = intervalsOf(target, { item: of.instance.item, sources: of.characteristic.sources });
  if (name !== 'taper' && name !== 'out-of-round') return all.map(({ interval }) => interval);
  // Of a taper those in its direction, of an out-of-round those in its section.
  const group = (place: string) => {
    const slash = place.lastIndexOf('/');
    return name === 'taper' ? place.slice(slash + 1) : place.slice(0, Math.max(0, slash));
  };
  const wanted = new Set(of.unknown.map(({ place }) => group(place)));
  return wanted.size === 1
    ? all.filter(({ place }) => wanted.has(group(place))).map(({ interval }) => interval)
    : [];
}

function holdsUnknown(node: ExpressionNode, { unknown, characteristic, instance }: Unknown): boolean {
  const [first] = unknown;
  const found = evaluate(node, instance.declaration, {
    item: instance.item,
    sources: characteristic.sources,
  }).missing;
  return found.some((one) => one.name === first?.name && one.item === first.item);
}

function workedPart(node: ExpressionNode, { characteristic, instance }: Unknown): Interval | undefined {
  return evaluate(node, instance.declaration, { item: instance.item, sources: characteristic.sources }).value;
}

/**
 * What a missing reading may be, for a sentence: `shim[front] may be 0.22..0.26 mm`, with the sizes of the table that
 * fit. Ends are rounded into the range.
 */
export function writeMissingRange(range: MissingRange): string {
  const { low, high, unit, decimals, places } = range;
  const at = places.length === 1 ? places[0] : '';
  const target = writeTarget(range.name, range.item, at);
  const inward = (end: number, round: (n: number) => number) =>
    formatNumber(round(end * 10 ** decimals) / 10 ** decimals, decimals);
  const from = low === undefined ? undefined : inward(low, (n) => Math.ceil(n - 1e-6));
  const to = high === undefined ? undefined : inward(high, (n) => Math.floor(n + 1e-6));
  if (from !== undefined && to !== undefined && Number(from) > Number(to))
    return `no ${target} will do: the other readings already rule it out`;
  const span =
    from === undefined
      ? `at most ${withUnit(to ?? '?', unit)}`
      : to === undefined
        ? `at least ${withUnit(from, unit)}`
        : withUnit(from === to ? from : `${from}..${to}`, unit);
  return `${target} may be ${span}${writeChoices(range)}`;
}

function writeChoices({ choices, fitting, reaching }: MissingRange): string {
  const [only] = choices;
  if (only?.limit === undefined) return '';
  if (choices.length === 1)
    return reaching.length === 0 ? `, which its own limit of ${formatSpread(only.limit)} does not reach` : '';
  const name = (line: LimitDeclaration) =>
    `${line.grade?.grade ?? 'the standard size'}${line.limit === undefined ? '' : ` (${formatSpread(line.limit)})`}`;
  if (fitting.length > 0)
    return `; of the sizes in the table ${fitting.map(name).join(' and ')} ${fitting.length === 1 ? 'fits' : 'fit'}`;
  return reaching.length === 0
    ? '; no size in the table reaches that'
    : `; of the sizes in the table ${reaching.map(name).join(' and ')} may fit, by what is measured`;
}
