/** What a reading or an inspection is `of`, and what was done to it since. */
import type { Pointer } from './declarations.ts';
import { type Entry, fitCondition } from './entries.ts';
import { itemsMatch } from './items.ts';
import type { Scope } from './scope.ts';

/** Why a reading or an inspection no longer stands. */
export type History = 'as found' | 'corrected' | 'replaced' | 'reworked' | 'reopened';

/** A point in the log: what rests on the thing and was done before it is history. */
export interface Cut {
  readonly at: number;
  /** The line that stands there: what took the old thing out, or was done to it. */
  readonly since: Entry;
  readonly history: History;
  readonly because: Entry;
  readonly onlyAsFound: boolean;
}

/** The parts, groups of fasteners and joints that an `of` stands for: those of a stack, the joints of an assembly. */
export function thingsNamed(
  name: string,
  scope: Scope,
): { readonly things: ReadonlySet<string>; readonly joints: readonly string[] } {
  const declaration = scope.shared.get(name);
  switch (declaration?.kind) {
    case 'stack':
      return { things: new Set(declaration.members.map((member) => member.name)), joints: [] };
    case 'joint':
      return { things: new Set(), joints: [name] };
    case 'assembly':
      return {
        things: new Set(),
        joints: [...scope.joints.values()].filter((joint) => joint.assembly === name).map((one) => one.name),
      };
    default:
      return { things: new Set([name]), joints: [] };
  }
}

/**
 * What was done to the thing it is `of`. A new or reworked part makes history of what was done before the old one
 * came out; what was done between removal and fitting belongs to the part that goes in. Without a recorded removal a
 * new part makes history of readings as found, a reworked one of every earlier reading. Loosening or taking out a
 * fastener, and opening a joint, make history of what was done before. `item` is the member that rests on it;
 * `events` are in the order of the log.
 */
export function cutsSince(
  of: Pointer,
  item: string,
  events: readonly Entry[],
  openings: readonly Entry[],
  scope: Scope,
): readonly Cut[] {
  const { things } = thingsNamed(of.name, scope);
  const cuts: Cut[] = openings.map((entry) => reopened(entry));
  const removed = new Map<string, Entry>();
  for (const event of events)
    for (const target of event.targets) {
      if (!things.has(target.name)) continue;
      const members = target.items.filter((member) =>
        of.items === undefined ? itemsMatch(item, member) : of.items.some((one) => itemsMatch(one, member)),
      );
      if (members.length === 0) continue;
      const isFastener = target.declaration?.kind === 'fastener';
      if (event.kind === 'loosen' || (event.kind === 'remove' && isFastener)) cuts.push(reopened(event));
      else if (event.kind === 'remove')
        for (const member of members) removed.set(`${target.name} ${member}`, event);
      else if (event.kind === 'fit') {
        const condition = fitCondition(event);
        const outs = members.map((member) => removed.get(`${target.name} ${member}`));
        for (const member of members) removed.delete(`${target.name} ${member}`);
        if (condition === 'reused') continue;
        const out = outs.find((one) => one !== undefined);
        cuts.push({
          at: (out ?? event).index,
          since: out ?? event,
          history: condition === 'new' ? 'replaced' : 'reworked',
          because: event,
          onlyAsFound: out === undefined && condition === 'new',
        });
      }
    }
  return cuts.sort((a, b) => a.at - b.at);
}

function reopened(entry: Entry): Cut {
  return { at: entry.index, since: entry, history: 'reopened', because: entry, onlyAsFound: false };
}
