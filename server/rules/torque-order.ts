/** A complete pass over a group in another order than the limits ask for. */
import { departureFromCentreOut, departureFromCross, firstDeparture } from '../calculations/index.ts';
import { type FastenerDeclaration, listItems, locate, type Tightening } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { stands } from './standing.ts';

/** Where a pass leaves the order: what stands there, and what would have done. */
function departure(declaration: FastenerDeclaration, pass: readonly string[]) {
  const { items } = declaration.space;
  const order = declaration.order;
  if (order === undefined) return undefined;
  if (declaration.pattern === 'listed') return firstDeparture(pass, order);
  const numbers = pass.map((item) => items.indexOf(item) + 1);
  const rows = declaration.layout?.kind === 'rows' ? declaration.layout.rows : undefined;
  const found =
    declaration.pattern === 'cross'
      ? departureFromCross(numbers, items.length, rows)
      : departureFromCentreOut(numbers, items.length, rows ?? 1);
  if (found === undefined) return undefined;
  const name = (number: number) => items[number - 1] ?? String(number);
  return {
    index: found.index,
    found: found.found === undefined ? undefined : name(found.found),
    wanted: found.wanted.map(name),
  };
}

/** Reports complete passes that leave the order asked for, with the first place where they do. */
export const torqueOrder = rule({
  id: 'torque-order',
  severity: 'warning',
  title: 'tightened in another order',
  subject: 'fastener-group',
  *check({ name, declaration, members, passes }) {
    for (const { complete, claimsOrder, tightenings } of passes) {
      if (!complete || !claimsOrder) continue;
      const order = [...new Set(tightenings.map((one) => one.item))];
      const left = departure(declaration, order);
      const at =
        left === undefined
          ? undefined
          : (tightenings.find((one) => one.item === left.found) ?? tightenings[0]);
      if (left === undefined || at === undefined) continue;
      const isUndone = ({ item, entry }: Tightening) =>
        members.some((member) => member.item === item && !stands(member, entry));
      if (tightenings.every(isUndone)) continue;
      const before = order.slice(Math.max(0, left.index - 2), left.index);
      const after = before.length === 0 ? 'first' : `after ${listItems(before)}`;
      const ref = declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`;
      const { entry } = at;
      yield {
        at: locate(entry.path, entry.block, entry.targets[0]?.node ?? entry.statement),
        message: `${name}: ${left.found ?? 'nothing'} came ${after}, where the order asks for ${left.wanted.join(' or ')}${ref}. Order: ${declaration.order?.join(' ')}.`,
        related: [{ at: declaration.at, message: 'the order stands here' }],
      };
    }
  },
});
