/** Parts: what came out, what went in, and what is in the machine at the end of the log. */
import { type ClauseName, clauseNode } from '../../grammar/index.ts';
import type { PartDeclaration } from './declarations.ts';
import { type Entry, fitCondition, isByInspector, isScrapped } from './entries.ts';
import type { FastenerGroup } from './fasteners.ts';
import type { Scope } from './scope.ts';

export interface PartMember {
  readonly item: string;
  /** The removals and fittings of it, in the order of the log. */
  readonly events: readonly Entry[];
  /** Where it is at the end of the log. What the log does not speak of is where it was. */
  readonly state: 'not-mentioned' | 'in' | 'out' | 'scrapped';
  /** The fitting that stands, and the removal that nothing followed. */
  readonly fitted: Entry | undefined;
  readonly removed: Entry | undefined;
  /** The removal with `scrap` after which an old one was fitted all the same. */
  readonly scrappedBefore: Entry | undefined;
  /** The fitting that put the part in as a new one, where the log has it: its life counts from there. */
  readonly newSince: Entry | undefined;
  /** What the log says of the part that is in, or was last. Which way round only of the fitting that stands. */
  readonly facing: string | undefined;
  readonly partNumber: string | undefined;
  readonly batch: string | undefined;
  readonly grade: string | undefined;
}

export interface PartHistory {
  readonly subject: 'part';
  readonly name: string;
  readonly declaration: PartDeclaration;
  readonly members: readonly PartMember[];
  /** The log must account for it. */
  readonly required: boolean;
  readonly concessions: readonly Entry[];
  readonly inputs: readonly unknown[];
}

/** Builds a part's history from the entries that name it. */
export function buildPart(
  declaration: PartDeclaration,
  entries: readonly Entry[],
  required: boolean,
  inputs: readonly unknown[],
): PartHistory {
  const { name, space } = declaration;
  const byItem = new Map<string, Entry[]>(space.items.map((item) => [item, []]));
  for (const entry of entries) {
    if (entry.kind !== 'remove' && entry.kind !== 'fit') continue;
    for (const target of entry.targets)
      if (target.name === name) for (const item of new Set(target.items)) byItem.get(item)?.push(entry);
  }
  return {
    subject: 'part',
    name,
    declaration,
    members: [...byItem].map(([item, events]) => memberOf(item, events)),
    required,
    concessions: entries.filter((entry) => entry.kind === 'accept'),
    inputs,
  };
}

/** The groups of which fasteners were replaced, as parts: a bolt that came out with the work goes back by its torque. */
export function replacedFasteners(groups: readonly FastenerGroup[]): readonly PartHistory[] {
  return groups.flatMap(({ declaration, entries }) => {
    const own = entries.filter((entry) =>
      entry.kind === 'fit' ? fitCondition(entry) !== 'reused' : isScrapped(entry),
    );
    if (own.length === 0) return [];
    const text = declaration.thread;
    return [
      buildPart(
        { ...declaration, kind: 'part', text, facing: false, temporary: false, life: [] },
        own,
        false,
        [],
      ),
    ];
  });
}

function memberOf(item: string, events: readonly Entry[]): PartMember {
  let newSince: Entry | undefined;
  let removal: Entry | undefined;
  let scrappedBefore: Entry | undefined;
  let said: Pick<PartMember, 'partNumber' | 'batch' | 'grade'> = NOTHING_SAID;
  for (const event of events) {
    if (event.kind === 'remove') {
      removal = event;
      continue;
    }
    const isNew = fitCondition(event) === 'new';
    if (isNew) {
      newSince = event;
      said = NOTHING_SAID;
    }
    scrappedBefore = !isNew && removal !== undefined && isScrapped(removal) ? removal : undefined;
    removal = undefined;
    said = {
      partNumber: writtenText(event, 'pn') ?? said.partNumber,
      batch: writtenText(event, 'batch') ?? said.batch,
      grade: writtenText(event, 'grade') ?? said.grade,
    };
  }
  const last = events.at(-1);
  const fitted = last?.kind === 'fit' ? last : undefined;
  return {
    item,
    events,
    state:
      last === undefined
        ? 'not-mentioned'
        : fitted !== undefined
          ? 'in'
          : isScrapped(last)
            ? 'scrapped'
            : 'out',
    fitted,
    removed: removal,
    scrappedBefore: fitted === undefined ? undefined : scrappedBefore,
    newSince,
    facing: fitted === undefined ? undefined : writtenText(fitted, 'facing'),
    ...said,
  };
}

const NOTHING_SAID = { partNumber: undefined, batch: undefined, grade: undefined } as const;

/** The text of a clause; undefined where it is not written, or is still `?`. */
function writtenText(
  entry: Entry,
  name: ClauseName & ('pn' | 'batch' | 'grade' | 'facing'),
): string | undefined {
  const value = clauseNode(entry.statement, name)?.value;
  return value === undefined || ('placeholder' in value && value.placeholder === true)
    ? undefined
    : value.text;
}

/** An inspector's concession, since it was last fitted, for a member that is out and in whose place nothing has gone. */
export function concessionForPart(
  { name, concessions }: PartHistory,
  { item, state, events }: PartMember,
  people: Scope['people'],
): Entry | undefined {
  if (state !== 'out' && state !== 'scrapped') return undefined;
  const fitted = events.findLast((event) => event.kind === 'fit')?.index ?? -1;
  return concessions.findLast(
    (entry) =>
      entry.index > fitted &&
      isByInspector(entry, people) &&
      entry.targets.some((target) => target.name === name && target.items.includes(item)),
  );
}

/** Members that share the entry that `of` gives, such as the line that fitted them, in the order of the log. */
export function membersByEntry(
  members: readonly PartMember[],
  of: (member: PartMember) => Entry | undefined,
): ReadonlyMap<Entry, readonly PartMember[]> {
  const groups = new Map<Entry, PartMember[]>();
  for (const member of members) {
    const entry = of(member);
    if (entry === undefined) continue;
    const group = groups.get(entry);
    if (group === undefined) groups.set(entry, [member]);
    else group.push(member);
  }
  return groups;
}
