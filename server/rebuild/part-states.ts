/** Each part at the end of the log, as plain data: where it is, since when, how many hours it has, what it is. */
import type { Rebuild } from './bind.ts';
import { type Entry, fitCondition } from './entries.ts';
import { machineHours } from './hours.ts';
import { type Life, livesOf } from './lives.ts';
import { type PartMember, replacedFasteners } from './parts.ts';

export interface PartState {
  readonly name: string;
  readonly item: string;
  /** What the table calls it. */
  readonly text: string | undefined;
  readonly assembly: string | undefined;
  /** `not-mentioned`: neither this log nor one before it says. */
  readonly state: PartMember['state'];
  /** The line that says so, in this log or in an earlier one, and its day (YYYY-MM-DD). */
  readonly entry: Entry | undefined;
  readonly on: string | undefined;
  /** How the one that is in went in last. */
  readonly condition: 'new' | 'reused' | 'reworked' | undefined;
  /** What this log did to the one that is in: put it in new, worked on it, or only put it back. */
  readonly work: 'new' | 'reused' | 'reworked' | undefined;
  /** The day on which the one that is in, or was last, went in new; undefined when no log says. */
  readonly newOn: string | undefined;
  /** Hours (h) that the one that is in has run since it was new; undefined when no log says. */
  readonly hours: number | undefined;
  readonly facing: string | undefined;
  readonly partNumber: string | undefined;
  readonly batch: string | undefined;
  readonly grade: string | undefined;
  readonly life: Life | undefined;
}

/** The state of every declared part, in the order of the declarations, then of the fasteners that were replaced. */
export function partStates(rebuild: Rebuild): readonly PartState[] {
  const lives = livesOf(rebuild);
  const end = machineHours(rebuild);
  return [...rebuild.parts, ...replacedFasteners(rebuild.fastenerGroups)].flatMap(
    ({ name, declaration, members }) =>
      members.map((member): PartState => {
        const { item, newSince } = member;
        const carried = rebuild.carried?.parts.get(name)?.find((part) => part.item === item);
        // What an earlier log left in is in, until this one takes it out.
        const state = member.state === 'not-mentioned' && carried !== undefined ? 'in' : member.state;
        const entry = member.events.at(-1) ?? carried?.fitted;
        const before = newSince === undefined ? carried : undefined;
        const newAtHours = newSince === undefined ? before?.newAtHours : machineHours(rebuild, newSince);
        return {
          name,
          item,
          text: declaration.text,
          assembly: declaration.assembly,
          state,
          entry,
          on: entry === undefined ? undefined : dayOf(entry),
          condition: state === 'in' && entry !== undefined ? fitCondition(entry) : undefined,
          work: member.state === 'in' ? workOn(member) : undefined,
          newOn: newSince === undefined ? before?.newOn?.date : dayOf(newSince),
          hours:
            state === 'in' && newAtHours !== undefined && end !== undefined ? end - newAtHours : undefined,
          facing: member.facing,
          partNumber: member.partNumber ?? before?.partNumber,
          batch: member.batch ?? before?.batch,
          grade: member.grade ?? before?.grade,
          life: lives.find((life) => life.name === name && life.item === item),
        };
      }),
  );
}

/** Refitted later, a new part is still new in this log, and one that was worked on is still so. */
function workOn({ events, newSince }: PartMember): PartState['work'] {
  const since = newSince?.index ?? -1;
  const reworked = events.some(
    (event) => event.kind === 'fit' && event.index > since && fitCondition(event) === 'reworked',
  );
  return reworked ? 'reworked' : newSince === undefined ? 'reused' : 'new';
}

function dayOf(entry: Entry): string | undefined {
  return (entry.moment ?? entry.step?.moment)?.date;
}
