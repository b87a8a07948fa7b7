/** Works a derived limit out from the readings that stand: interval arithmetic with units, member by member. */
import type { ExpressionNode, QuantityNode, Span, TargetNode } from '../../grammar/index.ts';
import { mean, outOfRound, type PlacedReading, range, taper, withoutNoise } from '../calculations/index.ts';
import {
  kindOf,
  kindOfProduct,
  kindOfQuotient,
  type QuantityKind,
  quantityOf,
  toBase,
} from '../quantities/index.ts';
import type { Characteristic, Instance } from './characteristics.ts';
import type { LimitDeclaration } from './declarations.ts';
import type { Reading } from './entries.ts';
import { expandPath, itemsMatch } from './items.ts';

/** The value of an expression: every result that the readings can give lies between `low` and `high`. */
export interface Worked {
  /** In base units (m, kg, N·m …); undefined while nothing can be worked out. */
  readonly value: { readonly low: number; readonly high: number; readonly kind: QuantityKind } | undefined;
  /** Decimals and unit that the readings carry, for showing. */
  readonly decimals: number;
  readonly unit: string | undefined;
  /** Some reading that it needs is not there. */
  readonly missing: readonly { readonly name: string; readonly item: string; readonly place: string }[];
  /** The readings it stands on. */
  readonly readings: readonly Reading[];
  /** Parts whose kinds of unit do not go together. */
  readonly mismatch:
    | { readonly span: Span; readonly left: QuantityKind; readonly right: QuantityKind }
    | undefined;
}

interface Interval {
  readonly low: number;
  readonly high: number;
  readonly kind: QuantityKind;
}

/** Evaluates the expression of a derived limit for one member. */
export function evaluate(
  expression: ExpressionNode,
  item: string,
  sources: readonly Characteristic[],
  declaration: LimitDeclaration,
): Worked {
  const missing: { name: string; item: string; place: string }[] = [];
  const readings: Reading[] = [];
  let mismatch: Worked['mismatch'];
  let decimals = 0;
  let unit: string | undefined;

  /** The members of a target that go with this one, their readings, and what a derived source gives. */
  function instancesOf(target: TargetNode): readonly { name: string; instance: Instance }[] {
    const source = sources.find((one) => one.name === target.name.text);
    if (source === undefined) return [];
    const named = target.items?.flatMap(expandPath);
    const all = target.items?.some((path) => path.segments[0]?.kind === 'all') ?? false;
    const matching = source.instances.filter((instance) =>
      all
        ? true
        : named === undefined
          ? itemsMatch(instance.item, item)
          : named.some((path) => instance.item === path || instance.item.startsWith(`${path}/`)),
    );
    // A name without members of its own stands for all of a source none of whose members goes with it.
    const chosen = named === undefined && !all && matching.length === 0 ? source.instances : matching;
    return chosen.map((instance) => ({ name: source.name, instance }));
  }

  function placed(target: TargetNode, strict: boolean): { list: PlacedReading[]; intervals: Interval[] } {
    const list: PlacedReading[] = [];
    const intervals: Interval[] = [];
    const wantedPlaces = target.place === undefined ? undefined : expandPath(target.place);
    for (const { name, instance } of instancesOf(target)) {
      if (instance.worked !== undefined && instance.standing.length === 0) {
        if (instance.worked.value === undefined) missing.push(...instance.worked.missing);
        else {
          intervals.push(instance.worked.value);
          list.push({ place: instance.item, value: instance.worked.value.high });
          decimals = Math.max(decimals, instance.worked.decimals);
          unit ??= instance.worked.unit;
          readings.push(...instance.worked.readings);
        }
        continue;
      }
      const onPlace = (place: string) =>
        wantedPlaces === undefined ||
        wantedPlaces.some((wanted) => place === wanted || place.startsWith(`${wanted}/`));
      for (const place of instance.missing)
        if (onPlace(place)) missing.push({ name, item: instance.item, place });
      for (const reading of instance.standing) {
        if (!onPlace(reading.place)) continue;
        const interval = intervalOf(reading);
        if (interval === undefined) continue;
        intervals.push(interval);
        const quantity = reading.high ?? reading.low;
        if (quantity !== undefined) {
          decimals = Math.max(decimals, quantity.decimals);
          unit ??= quantity.unit;
        }
        readings.push(reading);
        list.push({ place: reading.place, value: interval.high });
        if (interval.low !== interval.high) list.push({ place: reading.place, value: interval.low });
      }
    }
    if (strict && missing.length > 0) return { list: [], intervals: [] };
    return { list, intervals };
  }

  function work(node: ExpressionNode): Interval | undefined {
    switch (node.kind) {
      case 'constant':
        return constant(node.quantity);
      case 'reading':
        return hull(placed(node.target, false).intervals);
      case 'call':
        return call(node);
      case 'binary': {
        const left = work(node.left);
        const right = work(node.right);
        if (left === undefined || right === undefined) return undefined;
        return binary(node, left, right);
      }
    }
  }

  function constant(node: QuantityNode): Interval | undefined {
    if (node.number === undefined) return undefined;
    if (node.unit === undefined) return { low: node.number.value, high: node.number.value, kind: 'count' };
    const quantity = quantityOf(node);
    if (quantity === undefined) return undefined;
    const value = toBase(quantity);
    return { low: value, high: value, kind: kindOf(quantity.unit) ?? 'count' };
  }

  function call(node: ExpressionNode & { kind: 'call' }): Interval | undefined {
    const first = node.arguments[0];
    if (first === undefined) return undefined;
    if (first.kind === 'reading' && node.arguments.length === 1) {
      // A mean and a minimum of part of the readings say nothing of the whole.
      const { list, intervals } = placed(first.target, node.name === 'mean' || node.name === 'min');
      const whole = hull(intervals);
      if (whole === undefined) return undefined;
      const exact = (value: number | undefined): Interval | undefined =>
        value === undefined ? undefined : { low: value, high: value, kind: whole.kind };
      switch (node.name) {
        case 'min':
          return { low: whole.low, high: Math.min(...intervals.map((one) => one.high)), kind: whole.kind };
        case 'max':
          return { low: Math.max(...intervals.map((one) => one.low)), high: whole.high, kind: whole.kind };
        case 'mean':
          return {
            low: mean(intervals.map((one) => one.low)) ?? whole.low,
            high: mean(intervals.map((one) => one.high)) ?? whole.high,
            kind: whole.kind,
          };
        case 'range':
          return exact(range(list.map((one) => one.value)));
        case 'taper':
          return exact(formDeviation(taper(list, { partial: true })));
        case 'out-of-round':
          return exact(formDeviation(outOfRound(list, { partial: true })));
      }
    }
    const values = node.arguments.map(work);
    const known = values.filter((value) => value !== undefined);
    if (known.length < values.length || known.length === 0) return undefined;
    const kind = known[0]?.kind ?? 'count';
    const lows = known.map((value) => value.low);
    const highs = known.map((value) => value.high);
    switch (node.name) {
      case 'min':
        return { low: Math.min(...lows), high: Math.min(...highs), kind };
      case 'max':
        return { low: Math.max(...lows), high: Math.max(...highs), kind };
      case 'mean':
        return { low: mean(lows) ?? 0, high: mean(highs) ?? 0, kind };
      default: {
        const spread = Math.max(...highs) - Math.min(...lows);
        return { low: spread, high: spread, kind };
      }
    }
  }

  function binary(
    node: ExpressionNode & { kind: 'binary' },
    left: Interval,
    right: Interval,
  ): Interval | undefined {
    switch (node.operator) {
      case '+':
      case '-':
        if (left.kind !== right.kind) {
          mismatch ??= { span: node, left: left.kind, right: right.kind };
          return undefined;
        }
        return node.operator === '+'
          ? { low: left.low + right.low, high: left.high + right.high, kind: left.kind }
          : {
              low: withoutNoise(left.low - right.high, left.low),
              high: withoutNoise(left.high - right.low, left.high),
              kind: left.kind,
            };
      case '*': {
        const products = [
          left.low * right.low,
          left.low * right.high,
          left.high * right.low,
          left.high * right.high,
        ];
        const kind = kindOfProduct(left.kind, right.kind);
        if (kind === undefined) {
          mismatch ??= { span: node, left: left.kind, right: right.kind };
          return undefined;
        }
        return { low: Math.min(...products), high: Math.max(...products), kind };
      }
      case '/': {
        if (right.low <= 0 && right.high >= 0) return undefined;
        const quotients = [
          left.low / right.low,
          left.low / right.high,
          left.high / right.low,
          left.high / right.high,
        ];
        const kind = kindOfQuotient(left.kind, right.kind);
        if (kind === undefined) {
          mismatch ??= { span: node, left: left.kind, right: right.kind };
          return undefined;
        }
        return { low: Math.min(...quotients), high: Math.max(...quotients), kind };
      }
    }
  }

  const value = work(expression);
  const limitUnit = (declaration.limit ?? declaration.wear)?.unit;
  return { value, decimals, unit: limitUnit ?? unit, missing, readings, mismatch };
}

/** What a reading says its value can be; a bound on one side only says nothing that can be reckoned with. */
function intervalOf(reading: Reading): Interval | undefined {
  const low = reading.low;
  const high = reading.high;
  if (low === undefined || high === undefined) return undefined;
  return { low: toBase(low), high: toBase(high), kind: kindOf(high.unit) ?? 'count' };
}

function formDeviation(result: ReturnType<typeof taper>): number | undefined {
  return 'refused' in result ? undefined : result.value;
}

function hull(intervals: readonly Interval[]): Interval | undefined {
  const first = intervals[0];
  if (first === undefined) return undefined;
  let { low, high } = first;
  for (const interval of intervals) {
    low = Math.min(low, interval.low);
    high = Math.max(high, interval.high);
  }
  return { low, high, kind: first.kind };
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
