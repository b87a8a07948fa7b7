/** Whether what a line did still stands: what was undone, done again or corrected since is no fault any more. */
import type { Entry, JudgedReading, MemberState, Rebuild, Step } from '../rebuild/index.ts';

/** Whether a tightening of a member by this line has not been undone since. */
export function stands({ loosened }: MemberState, { index }: Entry): boolean {
  return index > (loosened?.index ?? -1);
}

/** Whether all that a line tightened answers so; a line that tightened nothing that is declared does not. */
function every(entry: Entry, { fastenerGroups }: Rebuild, answer: (member: MemberState) => boolean): boolean {
  const members = entry.targets.flatMap(({ name, items }) => {
    const own = new Set(items);
    return fastenerGroups.find((one) => one.name === name)?.members.filter(({ item }) => own.has(item)) ?? [];
  });
  return members.length > 0 && members.every(answer);
}

/** Whether all that a line tightened has been loosened since, or tightened anew to the same stage. */
export function doneAgain(entry: Entry): (rebuild: Rebuild) => boolean {
  return (rebuild) =>
    every(entry, rebuild, (member) => {
      if (!stands(member, entry)) return true;
      const own = member.tightenings.find((one) => one.entry === entry);
      return own !== undefined && member.tightenings.findLast(({ stage }) => stage === own.stage) !== own;
    });
}

/** Whether new fasteners have taken the place of all that a line tightened. */
export function replaced(entry: Entry): (rebuild: Rebuild) => boolean {
  return (rebuild) =>
    every(
      entry,
      rebuild,
      ({ history, loosened }) =>
        loosened !== undefined && (history[0]?.entry.index ?? Number.POSITIVE_INFINITY) > entry.index,
    );
}

/** Whether a line was put right by a later one: a reading that was corrected, a torque that was done again. */
export function putRight(entry: Entry): (rebuild: Rebuild) => boolean {
  return entry.kind === 'measure' ? corrected(entry) : doneAgain(entry);
}

/** Whether all that a line (or a cell of it) read has been corrected since. */
export function corrected(of: Pick<Entry, 'readings'>): (rebuild: Rebuild) => boolean {
  return (rebuild) => everyReading(of, rebuild, ({ history }) => history === 'corrected');
}

/** Whether all that a line read is history, whatever made it so. */
export function isHistory(entry: Entry): (rebuild: Rebuild) => boolean {
  return (rebuild) => everyReading(entry, rebuild, ({ history }) => history !== undefined);
}

function everyReading(
  { readings }: Pick<Entry, 'readings'>,
  { characteristics }: Rebuild,
  answer: (one: JudgedReading) => boolean,
): boolean {
  return (
    readings.length > 0 &&
    readings.every((reading) =>
      characteristics
        .find(({ name }) => name === reading.name)
        ?.instances.find(({ item }) => item === reading.item)
        ?.readings.some((one) => one.reading === reading && answer(one)),
    )
  );
}

/** Whether somebody has signed and marked a line as it stands, so that nothing can be filled in there any more. */
export function isSigned({ block }: Entry | Step): (rebuild: Rebuild) => boolean {
  return ({ marks }) =>
    marks.spans.some(
      (span) => span.statement.kind === 'sign' && span.block !== block && span.block.start > block.start,
    );
}
