/** A final torque outside the range of its group. */
import { clauseNode } from '../../grammar/index.ts';
import {
  formatAmount,
  formatNumber,
  formatQuantity,
  formatSpread,
  standing,
  width,
} from '../quantities/index.ts';
import {
  clauseAt,
  type Entry,
  type FastenerGroup,
  type Location,
  locate,
  type MemberState,
  type Report,
  wrenchAccuracy,
  writeMembers,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Whether an inspector has accepted the fastener as this line left it; the rule `concession` tells of it. */
export function isAccepted({ accepted }: MemberState, { index }: Entry): boolean {
  return accepted !== undefined && index < accepted.index;
}

/** Angles past the range, or short of it where nothing followed; one report a line. */
function* anglesOf({ name, declaration, members }: FastenerGroup): Iterable<Report> {
  const wanted = declaration.angle;
  if (wanted === undefined) return;
  const found = new Map<Entry, { turned: number; items: string[] }>();
  for (const member of members) {
    const last = member.tightenings.at(-1);
    for (const tightening of member.history) {
      const { angle, turned, entry, item } = tightening;
      if (isAccepted(member, entry)) continue;
      if (angle === undefined || turned === undefined) continue;
      const { where } = standing(wanted, { value: turned, unit: wanted.unit });
      if (where !== 'above' && !(where === 'below' && tightening === last)) continue;
      const one = found.get(entry);
      if (one === undefined) found.set(entry, { turned, items: [item] });
      else one.items.push(item);
    }
  }
  for (const [entry, { turned, items }] of found) {
    const where = standing(wanted, { value: turned, unit: wanted.unit });
    if (where.where !== 'above' && where.where !== 'below') continue;
    const over = where.where === 'above';
    const show = (value: number) => formatAmount(value, wanted.unit, wanted.decimals);
    yield {
      at: locate(entry.path, entry.block, clauseNode(entry.statement, 'angle') ?? entry.statement),
      message: `${writeMembers(name, items)} was turned ${show(turned)} in all: ${show(where.by)} ${over ? 'over' : 'short of'} ${formatSpread(wanted)}${refOf(declaration)}.${over ? ' It is stretched further than was meant: fit a new one.' : ''}`,
      related: [{ at: declaration.at, message: 'the angle stands here' }],
    };
  }
}

/** Wrenches that cannot show a torque of this group to be inside its range, each once. */
function* coarseWrenches({ name, declaration, entries }: FastenerGroup): Iterable<Report> {
  const wanted = declaration.torque;
  const allowed = wanted === undefined ? undefined : width(wanted);
  if (wanted === undefined || allowed === undefined) return;
  const told = new Set<unknown>();
  for (const entry of entries) {
    const { tool, torque } = entry;
    if (tool === undefined || torque === undefined || told.has(tool)) continue;
    if (standing(wanted, torque).where !== 'inside') continue;
    const at = { ...torque, value: wanted.nominal?.value ?? torque.value, unit: wanted.unit };
    const accuracy = wrenchAccuracy(tool, at);
    if (accuracy === undefined || !accuracy.stated || 2 * accuracy.by <= allowed * (1 + 1e-9)) continue;
    told.add(tool);
    const either = formatAmount(accuracy.by, wanted.unit, wanted.decimals + 1);
    const finer = formatNumber(Math.floor((allowed / 2 / at.value) * 1000) / 10, 1);
    yield {
      at: torqueAt(entry),
      severity: 'information',
      message: `${tool.name} is good to ± ${either} here, more than the ${formatSpread(wanted)} of ${name} allows${refOf(declaration)}: set right, it may still be outside. A wrench of ± ${finer} % or better can meet it.`,
      related: [{ at: tool.at, message: `${tool.name} is registered here` }],
    };
  }
}

/** A torque outside the range of its group: `30 N·m: 4 N·m over 22..26 N·m (ref 4.1)`. */
export interface TorqueMiss {
  readonly entry: Entry;
  readonly items: readonly string[];
  readonly side: 'above' | 'below';
  readonly text: string;
}

/**
 * Torques outside the range, of the members that are asked for; those of one line together. Too much stretches the bolt
 * whatever follows; too little matters when nothing follows.
 */
export function torquesOutside(
  { declaration, members, stageCount }: FastenerGroup,
  isWanted: (member: MemberState, entry: Entry) => boolean,
): readonly TorqueMiss[] {
  const range = declaration.torque;
  if (range === undefined) return [];
  const found = new Map<
    Entry,
    { readonly side: 'above' | 'below'; readonly text: string; items: string[] }
  >();
  for (const member of members) {
    for (const tightening of member.history) {
      const { torque, entry, stage, final } = tightening;
      if (torque === undefined) continue;
      const where = standing(range, torque);
      if (where.where !== 'above' && where.where !== 'below') continue;
      const isLast = member.tightenings.at(-1) === tightening;
      const matters =
        where.where === 'above' || (isLast && (stage === undefined || (stage === stageCount && !final)));
      if (!matters || !isWanted(member, entry)) continue;
      const same = found.get(entry);
      if (same !== undefined) {
        same.items.push(member.item);
        continue;
      }
      const decimals = range.decimals + (torque.unit === range.unit ? torque.decimals : 1);
      const side = where.where;
      const miss = `${formatAmount(where.by, range.unit, decimals)} ${side === 'above' ? 'over' : 'under'}`;
      const text = `${formatQuantity(torque)}: ${miss} ${formatSpread(range)}${refOf(declaration)}`;
      found.set(entry, { side, text, items: [member.item] });
    }
  }
  return [...found].map(([entry, miss]) => ({ entry, ...miss }));
}

/** Where the torque of a line stands. */
export function torqueAt(entry: Entry): Location {
  return clauseAt(entry, 'to') ?? locate(entry.path, entry.block, entry.statement);
}

/** Reports torques and angles over the range, last ones short of it, and wrenches too coarse to meet it. */
export const torqueOutOfSpec = rule({
  id: 'torque-out-of-spec',
  severity: 'error',
  title: 'torque outside its range',
  subject: 'fastener-group',
  *check(group) {
    const { name, declaration } = group;
    yield* anglesOf(group);
    yield* coarseWrenches(group);
    const misses = torquesOutside(group, (member, entry) => !isAccepted(member, entry));
    for (const { entry, items, side, text } of misses) {
      const remedy =
        side === 'above'
          ? ' An overtightened fastener is stretched: look at it before it is used again.'
          : '';
      yield {
        at: torqueAt(entry),
        message: `${writeMembers(name, items)} was torqued to ${text}.${remedy}`,
        related: [{ at: declaration.at, message: 'the torque stands here' }],
      };
    }
  },
});
