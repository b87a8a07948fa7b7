/** A joint closed, or a locked fastener torqued, after its sealant had skinned over. */
import { convert, formatQuantity } from '../quantities/index.ts';
import {
  type Curing,
  curingsOf,
  type Entry,
  minutesApart,
  type Rebuild,
  subjectAt,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { spokenSpan } from './wording.ts';

/** The last of its fasteners to come to its final torque for the first time: until then a wet one still moves. */
function torquedThrough({ fastenerGroups }: Rebuild, { to, items, closings }: Curing): Entry | undefined {
  const names = to.kind === 'joint' ? to.fasteners : [to.name];
  const among = new Set(closings);
  let last: Entry | undefined;
  for (const { name, members } of fastenerGroups) {
    if (!names.includes(name)) continue;
    for (const { item, history } of members) {
      if (items?.includes(item) === false) continue;
      const first = history.find((one) => one.final && among.has(one.entry))?.entry;
      if (first !== undefined && (last === undefined || first.index > last.index)) last = first;
    }
  }
  return last ?? closings.find((entry) => entry.kind === 'torque');
}

/**
 * Reports what was closed later than the open time of its sealant: for one that is torqued wet its torque, which is an
 * error, else whatever closed it first, a warning.
 */
export const closedLate = rule({
  id: 'closed-late',
  severity: 'warning',
  worst: 'error',
  title: 'closed after the open time of the sealant',
  subject: 'rebuild',
  *check(rebuild) {
    for (const curing of curingsOf(rebuild)) {
      const { applied, sealant, to, closings, undone } = curing;
      if (undone) continue;
      const open =
        sealant.open === undefined ? undefined : convert(sealant.open.value, sealant.open.unit, 'min');
      if (sealant.open === undefined || open === undefined) continue;
      const wet = sealant.torqued === 'wet';
      const closing = wet ? torquedThrough(rebuild, curing) : closings[0];
      const took = closing === undefined ? undefined : minutesApart(rebuild, applied, closing);
      if (closing === undefined || took === undefined) continue;
      if (took.most <= open) continue;
      const proved = took.least > open;
      const [what, stays] = [`${sealant.name} on ${to.name}`, formatQuantity(sealant.open)];
      const done = wet ? 'torqued' : 'closed';
      yield {
        at: subjectAt(closing),
        severity: proved && wet ? 'error' : 'warning',
        message: proved
          ? `${what} was ${done} ${spokenSpan(took)} after it was put on, and it stays open for ${stays}. Clean it off and put on fresh.`
          : `It cannot be shown that ${what} was ${done} within the ${stays} that it stays open: it took ${spokenSpan(took)}. Give the times, such as at 14:20.`,
        related: [
          { at: subjectAt(applied), message: 'it was put on here' },
          { at: sealant.at, message: 'how long it stays open is stated here' },
        ],
      };
    }
  },
});
