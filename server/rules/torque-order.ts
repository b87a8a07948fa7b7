/** A complete pass over a group in another order than the limits ask for. */
import { firstDeparture } from '../calculations/index.ts';
import {
  departureFromOrder,
  type FastenerDeclaration,
  listItems,
  locate,
  type OrderDeparture,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Where a pass leaves the order: what stands there, what would have done, and what came before. */
function departure(
  { pattern, order, layout, space }: FastenerDeclaration,
  pass: readonly string[],
): OrderDeparture | undefined {
  if (pattern === undefined || order === undefined) return undefined;
  if (pattern !== 'listed') return departureFromOrder({ pattern, layout, space }, pass);
  const left = firstDeparture(pass, order);
  return left === undefined
    ? undefined
    : { ...left, before: pass.slice(Math.max(0, left.index - 2), left.index) };
}

/** Reports complete passes that leave the order asked for, with the first place where they do. */
export const torqueOrder = rule({
  id: 'torque-order',
  severity: 'warning',
  title: 'tightened in another order',
  subject: 'fastener-group',
  *check({ name, declaration, passes }) {
    for (const { complete, claimsOrder, undone, tightenings } of passes) {
      if (!complete || !claimsOrder || undone) continue;
      const order = [...new Set(tightenings.map((one) => one.item))];
      const left = departure(declaration, order);
      const at =
        left === undefined
          ? undefined
          : (tightenings.find((one) => one.item === left.found) ?? tightenings[0]);
      if (left === undefined || at === undefined) continue;
      const after = left.before.length === 0 ? 'first' : `after ${listItems(left.before)}`;
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
