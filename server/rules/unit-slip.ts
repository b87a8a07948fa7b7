/** A value that misses its limit and would meet it in another unit, or with the point elsewhere. */

import { type QuantityNode, torqueTo } from '../../grammar/index.ts';
import {
  contains,
  formatQuantity,
  likelySlips,
  type Quantity,
  quantityAndEquivalent,
  quantityOf,
  type Spread,
  standing,
} from '../quantities/index.ts';
import {
  acceptedAt,
  type Entry,
  type FastenerGroup,
  type Fix,
  isOpenFinding,
  type LimitDeclaration,
  type Location,
  locate,
  type Report,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { isAccepted } from './torque-out-of-spec.ts';

/** A value as it is judged, with the node that it was written as and its place. */
interface Written {
  readonly quantity: Quantity;
  readonly node: QuantityNode;
  readonly at: Location;
}

function slipOf({ quantity, node, at }: Written, spread: Spread, where: string): Report | undefined {
  const slip = likelySlips(quantity, spread)[0];
  if (slip === undefined) return undefined;
  // Of a value that its own equivalent contradicts, equivalent-disagrees tells.
  const equivalent = node.equivalent === undefined ? undefined : quantityOf(node.equivalent);
  if (equivalent !== undefined && !quantityAndEquivalent(quantity, equivalent).agrees) return undefined;
  const fix: Fix = { title: `Write ${slip.text}`, edits: [{ ...at, text: slip.text }] };
  return {
    at,
    message: `${formatQuantity(quantity)} misses ${where}, and ${slip.text} would meet it: ${slip.slip === 'unit' ? 'was the unit' : 'was the decimal point'} a slip of the pen?`,
    fixes: [fix],
  };
}

/** What a value is held against: a wear limit on one side leaves the other to the range for new parts. */
function spreadMissed({ wear, limit }: LimitDeclaration, value: Quantity): Spread | undefined {
  return wear === undefined || contains(wear, value) === true ? limit : wear;
}

/** Whether a value misses its limit by what a swapped unit or a moved point explains. */
export function isSlipOfUnit(value: Quantity, declaration: LimitDeclaration): boolean {
  const spread = spreadMissed(declaration, value);
  return spread !== undefined && likelySlips(value, spread).length > 0;
}

/** Torques of a group that its own finding speaks of: over the range, or under it with nothing after. */
function* torquesThatMiss({ members, declaration }: FastenerGroup): Iterable<Entry> {
  if (declaration.torque === undefined) return;
  const seen = new Set<Entry>();
  for (const member of members)
    for (const tightening of member.history) {
      const { tightenings } = member;
      const { entry, torque, stage } = tightening;
      if (torque === undefined || stage !== undefined || seen.has(entry) || isAccepted(member, entry))
        continue;
      const { where } = standing(declaration.torque, torque);
      if (where !== 'above' && !(where === 'below' && tightenings.at(-1) === tightening)) continue;
      seen.add(entry);
      yield entry;
    }
}

/** Reports readings that stand and torques that one other unit, or a moved point, would bring inside. */
export const unitSlip = rule({
  id: 'unit-slip',
  severity: 'error',
  title: 'probably the wrong unit',
  subject: 'characteristic',
  *check({ instances }) {
    // One value may be written for several members: the slip is one.
    const told = new Set<string>();
    for (const instance of instances) {
      const { declaration } = instance;
      for (const judged of instance.readings) {
        const { reading } = judged;
        if (reading.node.kind !== 'exact' || reading.high === undefined || !isOpenFinding(instance, judged))
          continue;
        if (acceptedAt(instance, reading.place) !== undefined) continue;
        const spread = spreadMissed(declaration, reading.high);
        const report =
          spread === undefined
            ? undefined
            : slipOf(
                { quantity: reading.high, node: reading.node.value, at: reading.at },
                spread,
                'its limit',
              );
        const value = `${reading.entry.index} ${reading.at.start}`;
        if (report === undefined || told.has(value)) continue;
        told.add(value);
        yield { ...report, related: [{ at: declaration.at, message: 'the limit stands here' }] };
      }
    }
  },
  also: {
    *'fastener-group'(group) {
      const { declaration } = group;
      if (declaration.torque === undefined) return;
      for (const entry of torquesThatMiss(group)) {
        const node = torqueTo(entry.statement);
        if (entry.torque === undefined || node === undefined) continue;
        const written = { quantity: entry.torque, node, at: locate(entry.path, entry.block, node) };
        const report = slipOf(written, declaration.torque, 'the torque of its group');
        if (report !== undefined)
          yield { ...report, related: [{ at: declaration.at, message: 'the torque stands here' }] };
      }
    },
  },
});
