/** The hours at the release against those at the start and the runs since. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import {
  convert,
  formatAmount,
  formatQuantity,
  lastPlace,
  type Quantity,
  quantityOf,
} from '../quantities/index.ts';
import {
  type Entry,
  hoursAtStart,
  hoursRun,
  locate,
  type Rebuild,
  type Report,
  runLength,
} from '../rebuild/index.ts';
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

/** Runs whose length is under nothing: they would take hours off the machine. */
function* runsBackwards({ runs, path }: Rebuild): Iterable<Report> {
  for (const run of runs) {
    const length = runLength(run);
    const node = run.statement.quantity;
    if (length === undefined || node === undefined || length.value >= 0) continue;
    yield {
      at: locate(path, run.block, node),
      message: `A machine does not run for ${formatQuantity(length)}: write how long it ran. Hours that were written down wrongly are put right at the start of the log.`,
    };
  }
}

/** The hours that a release states; undefined for `?` and where it states none. */
function statedAt({ statement }: Entry): Quantity | undefined {
  const node = clauseValue(statement, 'hours');
  return node === undefined ? undefined : quantityOf(node);
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
    yield* runsBackwards(rebuild);
    const { release, runs, scope, path, carried } = rebuild;
    const node = release === undefined ? undefined : clauseValue(release.statement, 'hours');
    const before = carried?.logs.at(-1)?.release;
    // Where the log does not say what the machine had at the start, the log before it does.
    const written = scope.machine?.hours;
    const first = written ?? (before === undefined ? undefined : statedAt(before));
    const start = hoursAtStart(rebuild);
    if (release === undefined || node === undefined || start === undefined) return;
    const stated = quantityOf(node);
    const run = hoursRun(rebuild);
    if (stated === undefined || run === undefined) return;
    const hours = (amount: { value: number; unit: string }) => convert(amount.value, amount.unit, 'h');
    const end = hours(stated);
    const [startStep, endStep] = [first ?? stated, stated].map((one) =>
      hours({ value: lastPlace(one), unit: one.unit }),
    );
    if (end === undefined || startStep === undefined || endStep === undefined) return;
    const off = end - (start + run);
    const step = Math.max(startStep, endStep);
    if (Math.abs(off) < step * (1 - 1e-9) || Math.abs(off) < 1e-9) return;
    const decimals = Math.max(first?.decimals ?? 0, stated.decimals, 1);
    const lengths = runs.map(runLength).filter((length) => length !== undefined);
    const ran = runs.length > 3 ? `${runs.length} runs` : `${lengths.map(formatQuantity).join(' + ')} run`;
    const right = formatAmount(start + run, 'h', decimals);
    const from = written === undefined ? formatAmount(start, 'h', decimals) : formatQuantity(written);
    const where = written === undefined ? 'at the end of the log before it' : 'at the start';
    const sum =
      runs.length > 0
        ? `${from} ${where} and ${ran} make ${right}`
        : written === undefined
          ? `the log before it ended at ${from}, and this one has no \`run\``
          : `the log starts at ${from} and has no \`run\``;
    const difference = `${formatAmount(Math.abs(off), 'h', decimals)} ${off > 0 ? 'more' : 'less'}`;
    // What it ran between the two logs is in neither.
    const ranBetween = written === undefined && off > 0;
    const remedy = ranBetween
      ? `If it ran in between, write what it had at the start: \`machine … hours ${formatAmount(end - run, 'h', decimals)}\`.`
      : off > 0
        ? 'Is a `run` missing?'
        : 'Look at the runs again.';
    const startsAt =
      written !== undefined && scope.machine !== undefined
        ? [{ at: scope.machine.at, message: 'the hours at the start stand here' }]
        : before === undefined
          ? []
          : [
              {
                at: locate(before.path, before.block, before.statement),
                message: 'the log before it ends here',
              },
            ];
    yield {
      at: locate(path, release.block, node),
      message: `The release says ${formatQuantity(stated)}, but ${sum}: ${difference}. ${remedy}`,
      fixes: ranBetween
        ? []
        : [{ title: `Write ${right}`, edits: [{ ...locate(path, release.block, node), text: right }] }],
      related: [
        ...startsAt,
        ...runs
          .slice(0, 10)
          .map((one) => ({ at: locate(path, one.block, one.statement), message: 'it ran here' })),
      ],
    };
  },
});
