/** A tool used after its calibration ran out. */
import { clauseAt, type Entry, locate, type Rebuild, type ToolDeclaration } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { putRight } from './standing.ts';

/** More lines than these are only counted. */
const MOST_SHOWN = 10;

const dayOf = (entry: Entry) => entry.moment?.date ?? entry.step?.moment?.date;

/** The last day of a log: its times stay the same list while an edit changes none of them. */
const lastDays = new WeakMap<Rebuild['timed'], string>();

function lastDay(timed: Rebuild['timed']): string {
  let last = lastDays.get(timed);
  if (last === undefined) {
    last = timed.reduce(
      (day, { moment }) => (moment !== undefined && moment.date > day ? moment.date : day),
      '',
    );
    lastDays.set(timed, last);
  }
  return last;
}

/** The lines that each tool was used in past its calibration, of those that still stand. */
function usesPastDue(rebuild: Rebuild): ReadonlyMap<ToolDeclaration, readonly Entry[]> {
  const uses = new Map<ToolDeclaration, Entry[]>();
  const last = lastDay(rebuild.timed);
  // All lines are looked through only where some tool is past due.
  if (![...rebuild.scope.tools.values()].some(({ due }) => due !== undefined && due < last)) return uses;
  for (const entry of rebuild.entries) {
    const { tool } = entry;
    const date = dayOf(entry);
    if (tool?.due === undefined || date === undefined || date <= tool.due || putRight(entry)(rebuild))
      continue;
    const list = uses.get(tool);
    if (list === undefined) uses.set(tool, [entry]);
    else list.push(entry);
  }
  return uses;
}

const placeOf = (entry: Entry) =>
  clauseAt(entry, 'with') ?? locate(entry.path, entry.block, entry.statement.target ?? entry.statement);

/** Reports tools that were past due on the day, once each, at the first line made with them. */
export const calibrationExpired = rule({
  id: 'calibration-expired',
  severity: 'warning',
  title: 'tool past its calibration',
  subject: 'rebuild',
  *check(rebuild) {
    for (const [tool, entries] of usesPastDue(rebuild)) {
      const [first, ...others] = entries;
      if (first === undefined) continue;
      const days = entries.map(dayOf).sort();
      const [from, to] = [days[0], days.at(-1)];
      const when =
        others.length === 0
          ? `on ${from}`
          : `in ${entries.length} lines ${from === to ? `on ${from}` : `from ${from} to ${to}`}`;
      const hidden = others.length - MOST_SHOWN;
      yield {
        at: placeOf(first),
        message: `${tool.name} was due for calibration on ${tool.due} and was used ${when}. Have it calibrated, and check ${others.length === 0 ? 'this' : 'these'} again.`,
        related: [
          { at: tool.at, message: `${tool.name} is registered here` },
          ...others.slice(0, MOST_SHOWN).map((entry, i) => ({
            at: placeOf(entry),
            message: `it was used here too${hidden > 0 && i === MOST_SHOWN - 1 ? `, and in ${hidden} more` : ''}`,
          })),
        ],
      };
    }
  },
});
