/** The hours at the release against those at the start and the runs since. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity, lastPlace, quantityOf } from '../quantities/index.ts';
import { hoursRun, locate, type Rebuild, type Report, runLength } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Hours at the start that are fewer than the log before left. */
function* atTheStart({ carried, scope: { machine }, path }: Rebuild): Iterable<Report> {
  const written = machine?.hours;
  const left = carried?.hours;
  const release = carried?.logs.at(-1)?.release;
  if (machine === undefined || written === undefined || left === undefined || release === undefined) return;
  const start = convert(written.value, written.unit, 'h');
  const step = convert(lastPlace(written), written.unit, 'h');
  if (start === undefined || step === undefined || left - start < step * (1 - 1e-9)) return;
  const decimals = Math.max(written.decimals, 1);
  yield {
    at: locate(path, machine.block, clauseNode(machine.statement, 'hours') ?? machine.statement),
    message: `This log starts at ${formatQuantity(written)}, but the one before it ended at ${formatAmount(left, 'h', decimals)}: ${formatAmount(left - start, 'h', decimals)} less. Look at the hour meter again.`,
    related: [
      { at: locate(release.path, release.block, release.statement), message: 'the log before it ends here' },
    ],
  };
}

/**
 * Reports hours at the release that are not the start plus the runs. An hour meter cuts off what it does not show,
 * so the two agree as long as they are less than one step of the coarser of the two written hours apart.
 */
export const hoursDisagree = rule({
  id: 'hours-disagree',
  severity: 'warning',
  title: 'hours do not add up',
  subject: 'rebuild',
  *check(rebuild) {
    yield* atTheStart(rebuild);
    const { release, runs, scope, path } = rebuild;
    const node = release === undefined ? undefined : clauseValue(release.statement, 'hours');
    const machine = scope.machine;
    if (release === undefined || node === undefined || machine?.hours === undefined) return;
    const stated = quantityOf(node);
    const run = hoursRun(rebuild);
    if (stated === undefined || run === undefined) return;
    const hours = (amount: { value: number; unit: string }) => convert(amount.value, amount.unit, 'h');
    const [start, end] = [hours(machine.hours), hours(stated)];
    const [startStep, endStep] = [machine.hours, stated].map((written) =>
      hours({ value: lastPlace(written), unit: written.unit }),
    );
    if (start === undefined || end === undefined || startStep === undefined || endStep === undefined) return;
    const off = end - (start + run);
    const step = Math.max(startStep, endStep);
    if (Math.abs(off) < step * (1 - 1e-9) || Math.abs(off) < 1e-9) return;
    const decimals = Math.max(machine.hours.decimals, stated.decimals, 1);
    const lengths = runs.map(runLength).filter((length) => length !== undefined);
    const ran = runs.length > 3 ? `${runs.length} runs` : `${lengths.map(formatQuantity).join(' + ')} run`;
    const right = formatAmount(start + run, 'h', decimals);
    const sum =
      runs.length === 0
        ? `the log starts at ${formatQuantity(machine.hours)} and has no \`run\``
        : `${formatQuantity(machine.hours)} at the start and ${ran} make ${right}`;
    const difference = `${formatAmount(Math.abs(off), 'h', decimals)} ${off > 0 ? 'more' : 'less'}`;
    yield {
      at: locate(path, release.block, node),
      message: `The release says ${formatQuantity(stated)}, but ${sum}: ${difference}. ${off > 0 ? 'Is a `run` missing?' : 'Look at the runs again.'}`,
      fixes: [{ title: `Write ${right}`, edits: [{ ...locate(path, release.block, node), text: right }] }],
      related: [
        { at: machine.at, message: 'the hours at the start stand here' },
        ...runs
          .slice(0, 10)
          .map((one) => ({ at: locate(path, one.block, one.statement), message: 'it ran here' })),
      ],
    };
  },
});
