/** The machine's running hours: what it had at the start of the log, and what it ran since. */
import { convert, type Quantity, quantityOf } from '../quantities/index.ts';
import type { Rebuild } from './bind.ts';
import type { Entry } from './entries.ts';

/** How long a `run` entry ran, as it was written; undefined for `?` and for what is no span of time. */
export function runLength(run: Entry): Quantity | undefined {
  const written = run.statement.quantity === undefined ? undefined : quantityOf(run.statement.quantity);
  return written === undefined || convert(written.value, written.unit, 'h') === undefined
    ? undefined
    : written;
}

/**
 * Hours that the machine ran in this log up to an entry, a run at the entry itself included; without an entry, in
 * the whole log. Undefined when the length of a run among them is not known.
 */
export function hoursRun({ runs }: Pick<Rebuild, 'runs'>, until?: Entry): number | undefined {
  let total = 0;
  for (const run of runs) {
    if (until !== undefined && run.index > until.index) break;
    const length = runLength(run);
    const hours = length === undefined ? undefined : convert(length.value, length.unit, 'h');
    if (hours === undefined) return undefined;
    total += hours;
  }
  return total;
}

/**
 * The machine's hours at an entry: those at the start of the log plus the runs up to there; without an entry, at the
 * end of the log. Where the log does not say what the machine had at the start, it is what the log before it left.
 * Undefined when neither does, or when it is not known how long a run was.
 */
export function machineHours(
  rebuild: Pick<Rebuild, 'runs' | 'scope' | 'carried'>,
  at?: Entry,
): number | undefined {
  const before = hoursAtStart(rebuild);
  const run = hoursRun(rebuild, at);
  return before === undefined || run === undefined ? undefined : before + run;
}

/** The machine's hours at the start of the log (h): as it states them, else as the log before it left them. */
export function hoursAtStart({ scope, carried }: Pick<Rebuild, 'scope' | 'carried'>): number | undefined {
  const start = scope.machine?.hours;
  return start === undefined ? carried?.hours : convert(start.value, start.unit, 'h');
}
