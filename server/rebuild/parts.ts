/** Parts: what came out, what went in, and what is in the machine at the end of the log. */
import type { PartDeclaration } from './declarations.ts';
import { type Entry, fitCondition, isScrapped } from './entries.ts';

export interface PartMember {
  readonly item: string;
  /** The removals and fittings of it, in the order of the log. */
  readonly events: readonly Entry[];
  /** The last fitting that stands, and the last removal that nothing followed. */
  readonly fitted: Entry | undefined;
  readonly removed: Entry | undefined;
  readonly scrapped: boolean;
}

export interface PartHistory {
  readonly subject: 'part';
  readonly name: string;
  readonly declaration: PartDeclaration;
  readonly members: readonly PartMember[];
  readonly required: boolean;
  readonly inputs: readonly unknown[];
}

/** Builds a part's history from the entries that name it. */
export function buildPart(
  declaration: PartDeclaration,
  entries: readonly Entry[],
  required: boolean,
  inputs: readonly unknown[],
): PartHistory {
  const members = declaration.space.items.map((item): PartMember => {
    const events = entries.filter(
      (entry) =>
        (entry.kind === 'remove' || entry.kind === 'fit') &&
        entry.targets.some((target) => target.name === declaration.name && target.items.includes(item)),
    );
    const last = events.at(-1);
    return {
      item,
      events,
      fitted: last?.kind === 'fit' ? last : undefined,
      removed: last?.kind === 'remove' ? last : undefined,
      scrapped: last?.kind === 'remove' && isScrapped(last),
    };
  });
  return { subject: 'part', name: declaration.name, declaration, members, required, inputs };
}

/** Whether the part that a member's last fitting put in is another one than came out, or the same after work. */
export function isRenewed(member: PartMember): boolean {
  return member.fitted !== undefined && fitCondition(member.fitted) !== 'reused';
}
