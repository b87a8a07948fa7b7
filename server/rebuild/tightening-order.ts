/** The order in which the fasteners of a group are tightened: as listed, or worked out from how they lie. */
import { clauseNode, type StatementNode } from '../../grammar/index.ts';
import {
  centreOutOrder,
  crossOrder,
  departureFromCentreOut,
  departureFromCross,
} from '../calculations/index.ts';
import { expandPath, type ItemSpace, laidTogether } from './items.ts';

export type Layout = { readonly kind: 'circle' } | { readonly kind: 'rows'; readonly rows: number };

/** Why an order holds for no group: it does not list each member once, or does not go with how they lie. */
export type OrderRefusal =
  | {
      readonly refused: 'list';
      readonly unknown: readonly string[];
      readonly missing: readonly string[];
      readonly twice: readonly string[];
    }
  | { readonly refused: 'layout' };

export interface TighteningOrder {
  /** For `cross` and `centre-out` any pattern of that kind will do. */
  readonly pattern: 'cross' | 'centre-out' | 'listed' | undefined;
  /** The order asked for, as members (one of those a pattern allows); undefined for any order. */
  readonly order: readonly string[] | undefined;
  readonly orderRefusal: OrderRefusal | undefined;
}

const ANY: TighteningOrder = { pattern: undefined, order: undefined, orderRefusal: undefined };

/** What the `order` of a fastener group asks for; one that cannot be kept asks for nothing, and says why. */
export function tighteningOrder(
  statement: StatementNode,
  space: ItemSpace,
  layout: Layout | undefined,
): TighteningOrder {
  const order = clauseNode(statement, 'order')?.value;
  if (order === undefined || order.kind === 'any') return ANY;
  if (order.kind === 'listed') {
    const paths = order.items.flatMap(expandPath);
    const known = (path: string) => (space.index.has(path) ? [path] : (space.below.get(path) ?? []));
    const listed = paths.flatMap(known);
    const unknown = [...new Set(paths.filter((path) => known(path).length === 0))];
    const missing = space.items.filter((item) => !listed.includes(item));
    const twice = [...new Set(listed.filter((item, i) => listed.indexOf(item) !== i))];
    if (unknown.length + missing.length + twice.length > 0)
      return { ...ANY, orderRefusal: { refused: 'list', unknown, missing, twice } };
    return { pattern: 'listed', order: listed, orderRefusal: undefined };
  }
  const { kind } = order;
  // Without a layout the parser has told what is missing, and its members are taken as they are numbered.
  const rows = layout?.kind === 'rows' ? layout.rows : undefined;
  const worked: string[] = [];
  for (const set of laidTogether(space.items)) {
    const numbers = kind === 'cross' ? crossOrder(set.length, rows) : centreOutOrder(set.length, rows ?? 1);
    for (const number of numbers) worked.push(set[number - 1] ?? '');
  }
  if (worked.length !== space.items.length || (kind === 'centre-out' && layout?.kind === 'circle'))
    return { ...ANY, orderRefusal: { refused: 'layout' } };
  return { pattern: kind, order: worked, orderRefusal: undefined };
}

/** The first place at which a pass over a group leaves the order asked for. */
export interface OrderDeparture {
  /** `undefined` if the pass ends before. */
  readonly found: string | undefined;
  /** Any of these would have done; empty if the pass should have ended before. */
  readonly wanted: readonly string[];
  /** The members that came just before it. */
  readonly before: readonly string[];
}

/** Where a pass leaves a pattern; members that lie together are judged by themselves. */
export function departureFromOrder(
  {
    pattern,
    layout,
    space,
  }: { pattern: 'cross' | 'centre-out'; layout: Layout | undefined; space: ItemSpace },
  pass: readonly string[],
): OrderDeparture | undefined {
  const rows = layout?.kind === 'rows' ? layout.rows : undefined;
  for (const set of laidTogether(space.items)) {
    const own = pass.filter((item) => set.includes(item));
    const numbers = own.map((item) => set.indexOf(item) + 1);
    const left =
      pattern === 'cross'
        ? departureFromCross(numbers, set.length, rows)
        : departureFromCentreOut(numbers, set.length, rows ?? 1);
    if (left === undefined) continue;
    const name = (number: number) => set[number - 1] ?? String(number);
    return {
      found: left.found === undefined ? undefined : name(left.found),
      wanted: left.wanted.map(name),
      before: own.slice(Math.max(0, left.index - 2), left.index),
    };
  }
  return undefined;
}
