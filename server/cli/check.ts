/** `witnessmark check`: the findings of logs, tables of limits and registers. */
import { existsSync } from 'node:fs';
import type { Command } from 'commander';
import type { Severity } from '../rebuild/index.ts';
import { readBaseline, withoutKnown, writeBaseline } from './baseline.ts';
import { createFileChecker, type FileChecker } from './check-files.ts';
import type { CheckedShare } from './check-worker.ts';
import { chosen } from './choices.ts';
import {
  findFiles,
  readConfiguration,
  readInput,
  shownPath,
  tellUnreadable,
  type Unreadable,
} from './files.ts';
import { countSeverities, type LocatedFile } from './formats/located.ts';
import { colours, describe, foundFiles, type Manual } from './manual.ts';
import { outputsOf, writeOutputs } from './outputs.ts';
import { rulePage } from './pages.ts';
import { type Progress, startProgress } from './progress.ts';
import { changedSince, shardOf } from './selection.ts';
import { Trouble } from './trouble.ts';

declare const __VERSION__: string;

interface Options {
  readonly format?: readonly string[];
  readonly schema?: string;
  readonly failOn: string;
  readonly maxWarnings?: number;
  readonly changedSince?: string;
  readonly shard?: string;
  readonly baseline?: string;
  readonly updateBaseline?: true;
  readonly fix?: true;
  readonly diff?: true;
  readonly watch?: true;
  readonly stdin?: true;
  readonly stdinPath?: string;
  readonly threads?: number;
}

const THRESHOLDS: Readonly<Record<string, readonly Severity[]>> = {
  error: ['error'],
  warning: ['error', 'warning'],
  never: [],
};

/** Adds the command; `finish` gets its exit status: 0 nothing found, 1 findings, 2 something could not be done. */
export function checkCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('check')
    .description('Checks logs, tables of limits and registers (default: the current folder).')
    .argument('[paths...]', 'files or folders; - for standard input')
    .option(
      '--format <format[=file]>',
      'text (the default), json, ndjson, sarif, junit, github or gitlab; with =FILE into that file; may be given several times',
      (value: string, before: readonly string[] = []) => [...before, value],
    )
    .option('--schema <format>', 'check nothing; write the JSON Schema of the format json or ndjson')
    .option('--fail-on <severity>', 'exit with 1 at: error, warning or never', 'error')
    .option('--max-warnings <n>', 'exit with 1 when there are more warnings than this', wholeNumber)
    .option(
      '--changed-since <revision>',
      'only files that changed since a revision of git, or that use one that did',
    )
    .option('--shard <n/of>', 'only one share of the files, as 2/8')
    .option('--baseline <file>', 'leave out the findings that this file knows')
    .option(
      '--update-baseline',
      'write the findings into the file of --baseline; those that are gone go from it',
    )
    .option('--fix', 'apply the fixes that cannot change a recorded fact, then check')
    .option('--diff', 'with --fix: only show what it would change; exit with 1 when it would')
    .option('--watch', 'check again whenever a file changes')
    .option('--stdin', 'check the text of standard input')
    .option('--stdin-path <file>', 'the path that standard input stands for (default: stdin.rebuild)')
    .option(
      '--threads <n>',
      'how many threads check (default: one; more from 4 cores and 5 MB of logs on)',
      threadCount,
    )
    .action(async (paths: string[], options: Options) => {
      if (options.schema !== undefined) return writeSchema(options.schema);
      if (options.watch !== true) return finish(await check(paths, options));
      if (options.stdin === true || paths.includes('-'))
        throw new Trouble('standard input does not change: leave out --watch.');
      const { checkAgain } = await import('./watch.ts');
      await checkAgain(paths, async () => {
        // On one thread, whose workspace then knows all that was read.
        const read = new Set<string>();
        finish(await check(paths, { ...options, threads: 1 }, read));
        return read;
      });
    });
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'Every log, table of limits and register is read with the files that it uses, and what is found is told with its line. Findings are explained by witnessmark explain NAME.',
    'A finding of the baseline is known by its file, its rule and the text of its line, so lines may be put above it. The baseline shrinks with --update-baseline as findings are mended.',
  ],
  exit: {
    0: 'nothing at or over the threshold of --fail-on, and no more warnings than --max-warnings',
    1: 'findings at or over it; with --fix --diff, something would change',
    2: 'something could not be read, or an option is wrong; what could be checked is told all the same',
  },
  files: foundFiles,
  environment: colours,
  examples: [
    ['witnessmark check', 'all below this folder'],
    ['witnessmark check logs/ --fail-on warning', 'warnings fail too'],
    [
      'witnessmark check --format text --format sarif=out.sarif',
      'for people, and for code scanning, in one run',
    ],
    ['witnessmark check --schema json', 'what the JSON holds, for whoever reads it'],
    ['witnessmark check --max-warnings 0', 'as --fail-on warning, and says how many there are'],
    [
      'witnessmark check --changed-since origin/main',
      'what a branch changes, and the logs whose limits it changes',
    ],
    ['witnessmark check --shard 2/8', 'the second of eight jobs; together they find what one would'],
    ['witnessmark check --fix --diff', 'shows what --fix would mend'],
    ['witnessmark check logs/ --watch', 'again at every change'],
    [
      'witnessmark check --baseline known.json --update-baseline',
      'begins with old logs: what is there now is known',
    ],
    ['witnessmark check --baseline known.json', 'only what is new since'],
    [
      'witnessmark check --stdin --stdin-path logs/0117.rebuild < draft.rebuild',
      'a text that is not saved yet',
    ],
  ],
  seeAlso: ['explain', 'format', 'report'],
};

/** Writes the shape of a format; throws `Trouble` for one that has none of its own. */
async function writeSchema(format: string): Promise<void> {
  const { documentSchema, findingSchema } = await import('./formats/schemas.ts');
  const schema = chosen<object>('--schema', format, { json: documentSchema, ndjson: findingSchema });
  process.stdout.write(`${JSON.stringify(schema, null, 2)}\n`);
}

/** The value of an option that counts; throws `Trouble` for anything else. */
function wholeNumber(value: string): number {
  if (!/^\d+$/.test(value)) throw new Trouble(`--max-warnings takes a whole number, not ${value}.`);
  return Number(value);
}

/** The value of --threads; throws `Trouble` for anything else. */
function threadCount(value: string): number {
  if (!/^[1-9]\d?$/.test(value)) throw new Trouble(`--threads takes a number from 1 to 99, not ${value}.`);
  return Number(value);
}

/** The exit status; `read` takes the files that it rests on, beside the logs. */
async function check(
  paths: readonly string[],
  options: Options,
  read: Set<string> = new Set(),
): Promise<number> {
  const failing = chosen('--fail-on', options.failOn, THRESHOLDS);
  const outputs = outputsOf(options.format ?? []);
  const input = options.stdin === true || paths.includes('-');
  const named = paths.filter((path) => path !== '-');
  if (input && named.length > 0)
    throw new Trouble(
      `standard input is checked by itself: leave out ${named.join(' ')}, or give its name as --stdin-path.`,
    );
  if (!input && options.stdinPath !== undefined)
    throw new Trouble('--stdin-path names standard input: add --stdin.');

  if (options.diff === true && options.fix !== true)
    throw new Trouble('--diff shows what --fix would change: add --fix, or see witnessmark format --diff.');
  if (options.fix === true && input)
    throw new Trouble('--fix writes files: name the file in place of standard input.');
  const inShard = options.shard === undefined ? undefined : shardOf(options.shard);
  if (options.updateBaseline === true && options.baseline === undefined)
    throw new Trouble('--update-baseline writes the file of --baseline: name one.');

  const began = new Date();
  const unreadable: Unreadable[] = [];
  let taken: readonly string[];
  let checker: FileChecker;
  if (input) {
    const path = shownPath(options.stdinPath ?? 'stdin.rebuild');
    checker = createFileChecker(false);
    checker.workspace.set(path, readInput());
    taken = [path];
  } else {
    const found = findFiles(paths.length === 0 ? ['.'] : paths);
    unreadable.push(...found.unreadable);
    if (found.files.length + unreadable.length === 0)
      process.stderr.write('witnessmark: no .rebuild, .limits or .bench file here.\n');
    // Who uses what shows only with all of them at hand, and what is fixed is not on disk yet.
    const together = options.changedSince !== undefined || options.fix === true;
    checker = createFileChecker(!together);
    taken = found.files;
    if (together) {
      const missing = checker.read(taken);
      unreadable.push(...missing);
      taken = taken.filter((path) => missing.every((one) => one.path !== path));
    }
  }
  if (inShard !== undefined) taken = taken.filter(inShard);
  if (options.changedSince !== undefined)
    taken = taken.filter(changedSince(options.changedSince, checker.workspace));
  if (options.fix === true) {
    const { fixFiles, patchOf, writeFixed } = await import('./fix.ts');
    for (const path of taken) readConfiguration(checker.workspace, path);
    const fixed = fixFiles(checker.workspace, taken);
    if (options.diff === true) {
      process.stdout.write(await patchOf(fixed));
      return unreadable.length > 0 ? 2 : fixed.length > 0 ? 1 : 0;
    }
    writeFixed(fixed);
  }
  const progress = startProgress(taken.length, began);
  const { results, configurations } = await checkAll(taken, checker, options, progress);
  progress.end();
  for (const path of checker.workspace.paths()) read.add(path);
  for (const path of taken) read.add(checker.workspace.settings(path).from ?? path);
  const all: LocatedFile[] = [];
  for (const result of results)
    if ('reason' in result) unreadable.push(result);
    else all.push(result);
  if (options.baseline !== undefined && options.updateBaseline === true) {
    const before = existsSync(options.baseline) ? readBaseline(options.baseline) : undefined;
    const { held, added, gone } = writeBaseline(options.baseline, all, before, existsSync);
    process.stderr.write(
      `witnessmark: ${options.baseline} knows ${held === 1 ? '1 finding' : `${held} findings`}: ${added} new, ${gone} gone.\n`,
    );
  }
  const known =
    options.baseline === undefined ? undefined : withoutKnown(all, readBaseline(options.baseline));
  // What is wrong with the configuration is never old.
  const files = [...configurations, ...(known?.files ?? all)];
  await writeOutputs(outputs, { files, unreadable, failing, version: __VERSION__, page: rulePage, began });
  tellUnreadable(unreadable);
  if (known !== undefined && options.updateBaseline !== true) {
    const many = (count: number) => (count === 1 ? '1 finding' : `${count} findings`);
    if (known.hidden > 0)
      process.stderr.write(`witnessmark: ${many(known.hidden)} of ${options.baseline} not shown.\n`);
    if (known.gone > 0)
      process.stderr.write(
        `witnessmark: ${many(known.gone)} of ${options.baseline} gone: --update-baseline takes ${known.gone === 1 ? 'it' : 'them'} out of it.\n`,
      );
  }
  if (unreadable.length > 0) return 2;
  const { warning } = countSeverities(files);
  const { maxWarnings } = options;
  if (maxWarnings !== undefined && warning > maxWarnings) {
    process.stderr.write(
      `witnessmark: ${warning} ${warning === 1 ? 'warning is' : 'warnings are'} more than --max-warnings ${maxWarnings}.\n`,
    );
    return 1;
  }
  return files.some(({ findings }) => findings.some(({ severity }) => failing.includes(severity))) ? 1 : 0;
}

/** Checks the files here, or on threads when there is much to do and nothing that only this workspace knows. */
async function checkAll(
  paths: readonly string[],
  checker: FileChecker,
  options: Options,
  { tell }: Progress,
): Promise<Pick<CheckedShare, 'results' | 'configurations'>> {
  if (checker.workspace.paths().length === 0) {
    const { checkInThreads, threadsFor } = await import('./threads.ts');
    const threads = options.threads ?? threadsFor(paths);
    if (threads > 1) return checkInThreads(paths, threads, tell);
  }
  const results = paths.map((path, i) => {
    const result = checker.check(path);
    tell(i + 1);
    return result;
  });
  return { results, configurations: checker.configurations() };
}
