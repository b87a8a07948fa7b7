/** A locking nut that turns too easily, or too hard, before it seats. */
import { clauseNode } from '../../grammar/index.ts';
import {
  convertQuantity,
  formatAmount,
  formatQuantity,
  formatSpread,
  type Quantity,
  standing,
} from '../quantities/index.ts';
import {
  dragOf,
  type Entry,
  type FastenerGroup,
  type Location,
  locate,
  type MemberState,
  writeMembers,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** A prevailing torque outside the range of its group: `turned with 0.8 N·m: 0.7 N·m under 1.5..6.0 N·m (ref 4.6)`. */
export interface DragMiss {
  readonly entry: Entry;
  readonly items: readonly string[];
  readonly side: 'above' | 'below';
  readonly text: string;
}

/** The last drag of each member since a new one was fitted, where it is outside; those of one line together. */
export function dragsOutside(
  { declaration, members }: FastenerGroup,
  wanted: (member: MemberState) => boolean,
): readonly DragMiss[] {
  const range = declaration.drag;
  if (range === undefined) return [];
  const byEntry = new Map<Entry, { drag: Quantity; items: string[] }>();
  for (const member of members) {
    if (!wanted(member)) continue;
    const entry = member.history.findLast((one) => dragOf(one.entry) !== undefined)?.entry;
    const drag = entry === undefined ? undefined : dragOf(entry);
    if (entry === undefined || drag === undefined) continue;
    const same = byEntry.get(entry);
    if (same === undefined) byEntry.set(entry, { drag, items: [member.item] });
    else same.items.push(member.item);
  }
  return [...byEntry].flatMap(([entry, { drag, items }]): DragMiss[] => {
    const where = standing(range, drag);
    if (where.where !== 'above' && where.where !== 'below') return [];
    const { unit, decimals } = range;
    const miss = formatAmount(where.by, unit, Math.max(decimals, drag.unit === unit ? drag.decimals : 1));
    const inUnit = drag.unit === unit ? undefined : convertQuantity(drag, unit);
    const felt = `${formatQuantity(drag)}${inUnit === undefined ? '' : ` (${formatQuantity(inUnit)})`}`;
    const text = `turned with ${felt}: ${miss} ${where.where === 'below' ? 'under' : 'over'} ${formatSpread(range)}${refOf(declaration)}`;
    return [{ entry, items, side: where.where, text }];
  });
}

export function dragAt({ path, block, statement }: Entry): Location {
  return locate(path, block, clauseNode(statement, 'drag') ?? statement);
}

/** Reports prevailing torques outside the range of their group, unless an inspector accepts the nut as it is. */
export const dragOutOfRange = rule({
  id: 'drag-out-of-range',
  severity: 'error',
  title: 'prevailing torque outside its range',
  subject: 'fastener-group',
  *check(group) {
    const { name, declaration } = group;
    for (const { entry, items, side, text } of dragsOutside(
      group,
      ({ accepted }) => accepted === undefined,
    )) {
      const remedy =
        side === 'below'
          ? 'It no longer holds by itself: fit a new one.'
          : 'Find out what binds (a damaged or dirty thread, the wrong nut) before it is torqued.';
      yield {
        at: dragAt(entry),
        message: `${writeMembers(name, items)} ${text}. ${remedy}`,
        related: [{ at: declaration.at, message: 'the drag stands here' }],
      };
    }
  },
});
