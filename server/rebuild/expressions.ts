/** Works a derived limit out from the readings that stand: interval arithmetic with units, member by member. */
import type { ExpressionNode, QuantityNode, Span, TargetNode } from '../../grammar/index.ts';
import {
  type FormDeviation,
  type FormRefusal,
  isRefusal,
  outOfRound,
  type PlacedReading,
  taper,
  withoutNoise,
} from '../calculations/index.ts';
import {
  certain,
  convertDifference,
  decimalsOfPlace,
  fromBase,
  kindOf,
  kindOfProduct,
  kindOfQuotient,
  type QuantityKind,
  quantityOf,
  toBase,
  type Uncertain,
  workedOut,
} from '../quantities/index.ts';
import type { Characteristic, Instance } from './characteristics.ts';
import type { LimitDeclaration } from './declarations.ts';
import type { Reading } from './entries.ts';
import { expandPath, itemsMatch } from './items.ts';

/** What makes a value uncertain, source by source; undefined while some of it is not known. */
export type Contributions = Uncertain['contributions'] | undefined;

/** Every value that something can have, in base units (m, kg, N·m …), with what makes each end uncertain. */
export interface Interval {
  readonly low: number;
  readonly high: number;
  readonly kind: QuantityKind;
  readonly lowFrom: Contributions;
  readonly highFrom: Contributions;
  /**
   * Of temperatures: how many readings of a thermometer it holds, 1 where nothing is said. A difference holds none: it
   * has no freezing point to count from.
   */
  readonly thermometers?: number;
}

/** A place at which a reading is wanted. */
export interface MissingPlace {
  readonly name: string;
  readonly item: string;
  readonly place: string;
}

/** The value of an expression: every result that the readings can give lies between `low` and `high`. */
export interface Worked {
  /** Undefined while nothing can be worked out. */
  readonly value: Interval | undefined;
  /** Of a difference of temperatures: itself in K, where `value` stands where a thermometer in its unit would. */
  readonly difference: Interval | undefined;
  /** Decimals and unit that the readings carry, for showing. */
  readonly decimals: number;
  readonly unit: string | undefined;
  /** Some reading that it needs is not there. */
  readonly missing: readonly MissingPlace[];
  /** The readings it stands on. */
  readonly readings: readonly Reading[];
  /** Parts whose kinds of unit do not go together. */
  readonly mismatch:
    | { readonly span: Span; readonly left: QuantityKind; readonly right: QuantityKind }
    | undefined;
}

/** How a reading of a member enters: as it was read, with its uncertainty, or as it would be at 20 °C. */
export type Take = (reading: Reading, instance: Instance) => Interval | undefined;

/** A reading as it was read. A bound on one side only says nothing that can be reckoned with. */
export const asRead: Take = ({ low, high }) => {
  if (low === undefined || high === undefined) return undefined;
  const value = toBase(high);
  const kind = kindOf(high.unit) ?? 'count';
  return {
    low: low === high ? value : toBase(low),
    high: value,
    kind,
    lowFrom: undefined,
    highFrom: undefined,
  };
};

const NOTHING: Contributions = certain(0).contributions;

/** One value of an interval that enters a result, and how much the result changes for a change of one in it. */
interface Part {
  readonly from: Contributions;
  readonly sensitivity: number;
}

/** By the law of propagation of uncertainty (JCGM 100:2008, equation 13); see quantities/uncertainty.ts. */
function combined(parts: readonly Part[]): Contributions {
  const terms: { x: Uncertain; sensitivity: number }[] = [];
  for (const { from, sensitivity } of parts) {
    if (from === undefined) return undefined;
    terms.push({ x: { value: 0, contributions: from }, sensitivity });
  }
  return workedOut(0, terms).contributions;
}

/** A reading, or what a derived limit comes to, where it was taken. */
interface Placed {
  readonly at: PlacedReading;
  readonly from: Contributions;
}

/** What it works with: the member that is worked out, and where its readings are. */
export interface Bindings {
  readonly item: string;
  readonly sources: readonly Characteristic[];
  readonly take?: Take;
}

/** Evaluates the expression of a derived limit for one member. */
export function evaluate(
  expression: ExpressionNode,
  declaration: LimitDeclaration,
  bindings: Bindings,
): Worked {
  const limitUnit = (declaration.limit ?? declaration.wear)?.unit;
  const evaluator = evaluatorFor(bindings, limitUnit);
  const result = evaluator.work(expression);
  // What is left of a division is a plain number; beside a limit in % it is a part of a hundred (0.5 is 50 %).
  const isPart = result?.kind === 'count' && limitUnit !== undefined && kindOf(limitUnit) === 'ratio';
  const whole: Interval | undefined = isPart ? { ...result, kind: 'ratio' } : result;
  const { decimals, missing, readings, mismatch } = evaluator.found;
  const unit = limitUnit ?? evaluator.found.unit;
  const difference = whole !== undefined && isDifference(whole) ? whole : undefined;
  const value = difference === undefined || unit === undefined ? whole : onThermometer(difference, unit);
  return { value, difference, decimals, unit, missing, readings, mismatch };
}

const thermometersIn = ({ kind, thermometers }: Interval): number =>
  thermometers ?? (kind === 'temperature' ? 1 : 0);

/** Whether it is a difference of temperatures, such as the rise from one to another. */
function isDifference(value: Interval): boolean {
  return value.kind === 'temperature' && Math.abs(thermometersIn(value)) < 1e-9;
}

/**
 * A difference of temperatures put where a thermometer in `unit` would show its number, so that it compares with a limit
 * and is shown as any other value: 25 K beside `10..20 K` is 25 K, and 45 °F beside `18..36 °F`.
 */
export function onThermometer(difference: Interval, unit: string): Interval {
  if (!isDifference(difference)) return difference;
  const shown = (value: number) => toBase({ value: fromBase(value, unit) - fromBase(0, unit), unit });
  return { ...difference, low: shown(difference.low), high: shown(difference.high) };
}

/** The instances of a source that go with a member, as a target of its expression names them. */
export function membersFor<Member extends { readonly item: string }>(
  target: TargetNode,
  item: string,
  members: readonly Member[],
): readonly Member[] {
  const named = target.items?.flatMap(expandPath);
  if (target.items?.some((path) => path.segments[0]?.kind === 'all')) return members;
  if (named !== undefined)
    return members.filter((one) =>
      named.some((path) => one.item === path || one.item.startsWith(`${path}/`)),
    );
  const matching = members.filter((one) => itemsMatch(one.item, item));
  // A name without members of its own stands for all of a source none of whose members goes with it.
  return matching.length === 0 ? members : matching;
}

function evaluatorFor({ item, sources, take = asRead }: Bindings, shownIn: string | undefined) {
  const found = {
    missing: [] as MissingPlace[],
    readings: [] as Reading[],
    mismatch: undefined as Worked['mismatch'],
    decimals: 0,
    unit: undefined as string | undefined,
  };

  /** The digits of a reading, in the unit in which the result is shown. */
  function carry(decimals: number, unit: string | undefined): void {
    found.unit ??= unit;
    const to = shownIn ?? found.unit;
    const place =
      unit === undefined || to === undefined || to === unit
        ? undefined
        : convertDifference(10 ** -decimals, unit, to);
    found.decimals = Math.max(found.decimals, place === undefined ? decimals : decimalsOfPlace(place));
  }

  /** What a derived source comes to, taken in the same way. */
  function workedSource(source: Characteristic, instance: Instance): Worked | undefined {
    const { expression } = instance.declaration;
    if (take === asRead || expression === undefined) return instance.worked;
    return evaluate(expression, instance.declaration, { item: instance.item, sources: source.sources, take });
  }

  function placed(
    target: TargetNode,
    strict: boolean,
  ): { list: Placed[]; intervals: { place: string; interval: Interval }[] } {
    const list: Placed[] = [];
    const intervals: { place: string; interval: Interval }[] = [];
    const add = (place: string, one: Interval) => {
      intervals.push({ place, interval: one });
      list.push({ at: { place, value: one.high }, from: one.highFrom });
      if (one.low !== one.high) list.push({ at: { place, value: one.low }, from: one.lowFrom });
    };
    const source = sources.find((one) => one.name === target.name.text);
    if (source === undefined) return { list, intervals };
    const wantedPlaces = target.place === undefined ? undefined : expandPath(target.place);
    const onPlace = (place: string) =>
      wantedPlaces === undefined ||
      wantedPlaces.some((wanted) => place === wanted || place.startsWith(`${wanted}/`));
    for (const instance of membersFor(target, item, source.instances)) {
      if (instance.worked !== undefined && instance.standing.length === 0) {
        const worked = workedSource(source, instance);
        if (worked?.value === undefined) found.missing.push(...(worked?.missing ?? []));
        else {
          add(instance.item, worked.difference ?? worked.value);
          carry(worked.decimals, worked.unit);
          found.readings.push(...worked.readings);
        }
        continue;
      }
      for (const place of instance.missing)
        if (onPlace(place)) found.missing.push({ name: source.name, item: instance.item, place });
      for (const reading of instance.standing) {
        if (!onPlace(reading.place)) continue;
        const interval = take(reading, instance);
        if (interval === undefined) continue;
        const quantity = reading.high ?? reading.low;
        if (quantity !== undefined) carry(quantity.decimals, quantity.unit);
        found.readings.push(reading);
        add(reading.place, interval);
      }
    }
    if (strict && found.missing.length > 0) return { list: [], intervals: [] };
    return { list, intervals };
  }

  function work(node: ExpressionNode): Interval | undefined {
    switch (node.kind) {
      case 'constant':
        return constant(node.quantity);
      case 'reading':
        return hull(placed(node.target, false).intervals.map((one) => one.interval));
      case 'call':
        return call(node);
      case 'binary': {
        const left = added(node, node.left) ?? work(node.left);
        const right = added(node, node.right) ?? work(node.right);
        if (left === undefined || right === undefined) return undefined;
        return binary(node, left, right);
      }
    }
  }

  function call(node: ExpressionNode & { kind: 'call' }): Interval | undefined {
    const first = node.arguments[0];
    if (first === undefined) return undefined;
    if (first.kind === 'reading' && node.arguments.length === 1) {
      // A mean and a minimum of part of the readings say nothing of the whole.
      const { list, intervals } = placed(first.target, node.name === 'mean' || node.name === 'min');
      const kind = intervals[0]?.interval.kind;
      if (kind === undefined) return undefined;
      switch (node.name) {
        case 'min':
        case 'max':
        case 'mean':
          return ofAll(
            node.name,
            intervals.map((one) => one.interval),
          );
        case 'range':
          return apart(greatestOf(list), leastOf(list), kind);
        case 'taper':
        case 'out-of-round': {
          const form = (node.name === 'taper' ? taper : outOfRound)(
            list.map((one) => one.at),
            { partial: true },
          );
          return deviation(form, list, kind);
        }
      }
    }
    const values = node.arguments.map(work);
    const known = values.filter((value) => value !== undefined);
    const kind = known[0]?.kind;
    if (known.length < values.length || kind === undefined) return undefined;
    const other = known.find((one) => one.kind !== kind);
    if (other !== undefined) {
      found.mismatch ??= { span: node, left: kind, right: other.kind };
      return undefined;
    }
    if (node.name === 'min' || node.name === 'max' || node.name === 'mean') return ofAll(node.name, known);
    const ends = known.flatMap((one): Placed[] => [
      { at: { place: '', value: one.high }, from: one.highFrom },
      { at: { place: '', value: one.low }, from: one.lowFrom },
    ]);
    return apart(greatestOf(ends), leastOf(ends), kind);
  }

  function binary(
    node: ExpressionNode & { kind: 'binary' },
    left: Interval,
    right: Interval,
  ): Interval | undefined {
    const { operator } = node;
    const kind = kindOfResult(operator, left.kind, right.kind);
    if (kind === undefined) {
      found.mismatch ??= { span: node, left: left.kind, right: right.kind };
      return undefined;
    }
    return arithmetic(operator, left, right, kind);
  }

  return { work, placed, found };
}

/** A temperature that is added to another, or any in K, is a difference: `oil + 18 °F` is 10 K more. */
export function added(
  { operator }: ExpressionNode & { kind: 'binary' },
  term: ExpressionNode,
): Interval | undefined {
  const quantity = term.kind === 'constant' ? quantityOf(term.quantity) : undefined;
  if (quantity === undefined || kindOf(quantity.unit) !== 'temperature') return undefined;
  if (operator !== '+' && !(operator === '-' && quantity.unit === 'K')) return undefined;
  const value = toBase(quantity) - toBase({ value: 0, unit: quantity.unit });
  return {
    low: value,
    high: value,
    kind: 'temperature',
    lowFrom: NOTHING,
    highFrom: NOTHING,
    thermometers: 0,
  };
}

/** A constant of an expression; a bare number is a plain factor. */
export function constant(node: QuantityNode): Interval | undefined {
  if (node.number === undefined) return undefined;
  const exact = (value: number, kind: QuantityKind): Interval => ({
    low: value,
    high: value,
    kind,
    lowFrom: NOTHING,
    highFrom: NOTHING,
  });
  if (node.unit === undefined) return exact(node.number.value, 'count');
  const quantity = quantityOf(node);
  return quantity === undefined ? undefined : exact(toBase(quantity), kindOf(quantity.unit) ?? 'count');
}

/** The kind of a sum, difference, product or quotient; undefined when the two do not go together. */
export function kindOfResult(
  operator: '+' | '-' | '*' | '/',
  left: QuantityKind,
  right: QuantityKind,
): QuantityKind | undefined {
  if (operator === '*') return kindOfProduct(left, right);
  if (operator === '/') return kindOfQuotient(left, right);
  return left === right ? left : undefined;
}

/** Sum, difference, product or quotient of two intervals; undefined for a divisor that may be nothing. */
export function arithmetic(
  operator: '+' | '-' | '*' | '/',
  left: Interval,
  right: Interval,
  kind: QuantityKind,
): Interval | undefined {
  const result = ends(operator, left, right, kind);
  if (result === undefined || kind !== 'temperature') return result;
  return { ...result, thermometers: thermometersOf(operator, left, right) };
}

function thermometersOf(operator: '+' | '-' | '*' | '/', left: Interval, right: Interval): number {
  const [own, other] = [thermometersIn(left), thermometersIn(right)];
  switch (operator) {
    case '+':
      return own + other;
    case '-':
      return own - other;
    case '*':
      return left.kind === 'temperature' ? own * right.high : other * left.high;
    case '/':
      return own / right.high;
  }
}

function ends(
  operator: '+' | '-' | '*' | '/',
  left: Interval,
  right: Interval,
  kind: QuantityKind,
): Interval | undefined {
  const plus = (from: Contributions): Part => ({ from, sensitivity: 1 });
  const minus = (from: Contributions): Part => ({ from, sensitivity: -1 });
  switch (operator) {
    case '+':
      return {
        low: withoutNoise(left.low + right.low, left.low),
        high: withoutNoise(left.high + right.high, left.high),
        kind,
        lowFrom: combined([plus(left.lowFrom), plus(right.lowFrom)]),
        highFrom: combined([plus(left.highFrom), plus(right.highFrom)]),
      };
    case '-':
      return {
        low: withoutNoise(left.low - right.high, left.low),
        high: withoutNoise(left.high - right.low, left.high),
        kind,
        lowFrom: combined([plus(left.lowFrom), minus(right.highFrom)]),
        highFrom: combined([plus(left.highFrom), minus(right.lowFrom)]),
      };
    default: {
      if (operator === '/' && right.low <= 0 && right.high >= 0) return undefined;
      const corners = [
        [left.low, left.lowFrom, right.low, right.lowFrom],
        [left.low, left.lowFrom, right.high, right.highFrom],
        [left.high, left.highFrom, right.low, right.lowFrom],
        [left.high, left.highFrom, right.high, right.highFrom],
      ] as const;
      const results = corners.map(([a, aFrom, b, bFrom]) =>
        operator === '*'
          ? {
              value: a * b,
              from: combined([
                { from: aFrom, sensitivity: b },
                { from: bFrom, sensitivity: a },
              ]),
            }
          : {
              value: a / b,
              from: combined([
                { from: aFrom, sensitivity: 1 / b },
                { from: bFrom, sensitivity: -a / b ** 2 },
              ]),
            },
      );
      const least = results.reduce((a, b) => (b.value < a.value ? b : a));
      const greatest = results.reduce((a, b) => (b.value > a.value ? b : a));
      return {
        low: least.value,
        high: greatest.value,
        kind,
        lowFrom: least.from,
        highFrom: greatest.from,
      };
    }
  }
}

/** The least, greatest or mean that values can have together. */
export function ofAll(name: 'min' | 'max' | 'mean', all: readonly Interval[]): Interval | undefined {
  const [first] = all;
  if (first === undefined) return undefined;
  const { kind } = first;
  if (name === 'mean') {
    const share = 1 / all.length;
    const sum = (of: (one: Interval) => number) => all.reduce((total, one) => total + of(one), 0);
    return {
      low: sum((one) => one.low) * share,
      high: sum((one) => one.high) * share,
      kind,
      lowFrom: combined(all.map((one) => ({ from: one.lowFrom, sensitivity: share }))),
      highFrom: combined(all.map((one) => ({ from: one.highFrom, sensitivity: share }))),
      ...(kind === 'temperature' ? { thermometers: sum(thermometersIn) * share } : {}),
    };
  }
  const better = (a: number, b: number) => (name === 'min' ? b < a : b > a);
  const low = all.reduce((a, b) => (better(a.low, b.low) ? b : a));
  const high = all.reduce((a, b) => (better(a.high, b.high) ? b : a));
  return { ...first, low: low.low, high: high.high, lowFrom: low.lowFrom, highFrom: high.highFrom };
}

/** All that several values can be: a bare name that has several readings stands for all of them. */
function hull(intervals: readonly Interval[]): Interval | undefined {
  const [first] = intervals;
  if (first === undefined) return undefined;
  const low = intervals.reduce((a, b) => (b.low < a.low ? b : a));
  const high = intervals.reduce((a, b) => (b.high > a.high ? b : a));
  return { ...first, low: low.low, high: high.high, lowFrom: low.lowFrom, highFrom: high.highFrom };
}

function greatestOf(list: readonly Placed[]): Placed | undefined {
  return list.length === 0 ? undefined : list.reduce((a, b) => (b.at.value > a.at.value ? b : a));
}

function leastOf(list: readonly Placed[]): Placed | undefined {
  return list.length === 0 ? undefined : list.reduce((a, b) => (b.at.value < a.at.value ? b : a));
}

/** Greatest less least. What one tool's bias adds to both cancels. */
function apart(
  greatest: Placed | undefined,
  least: Placed | undefined,
  kind: QuantityKind,
): Interval | undefined {
  if (greatest === undefined || least === undefined) return undefined;
  const scale = Math.max(Math.abs(greatest.at.value), Math.abs(least.at.value));
  const value = withoutNoise(greatest.at.value - least.at.value, scale);
  const from =
    greatest === least
      ? NOTHING
      : combined([
          { from: greatest.from, sensitivity: 1 },
          { from: least.from, sensitivity: -1 },
        ]);
  return { low: value, high: value, kind, lowFrom: from, highFrom: from, thermometers: 0 };
}

function deviation(
  form: FormDeviation | FormRefusal,
  list: readonly Placed[],
  kind: QuantityKind,
): Interval | undefined {
  if (isRefusal(form)) return undefined;
  const [greatest, least] = [form.greatest, form.least].map((end) => list.find((one) => one.at === end));
  return apart(greatest, least, kind);
}

/** What a target of an expression names for a member, reading by reading, with the place of each. */
export function intervalsOf(
  target: TargetNode,
  bindings: Bindings,
): readonly { readonly place: string; readonly interval: Interval }[] {
  return evaluatorFor(bindings, undefined).placed(target, false).intervals;
}

/** The names that an expression speaks of. */
export function namesIn(expression: ExpressionNode): readonly TargetNode[] {
  switch (expression.kind) {
    case 'reading':
      return [expression.target];
    case 'binary':
      return [...namesIn(expression.left), ...namesIn(expression.right)];
    case 'call':
      return expression.arguments.flatMap(namesIn);
    case 'constant':
      return [];
  }
}
