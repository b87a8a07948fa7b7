/** `witnessmark due`: what comes due and when, over all logs and registers. */
import type { Command } from 'commander';
import { parseInstant } from '../calculations/index.ts';
import { type DueList, dueHtml, dueList, dueText } from '../documents/index.ts';
import { chosen } from './choices.ts';
import { readFiles, tellUnreadable, writeDocument } from './files.ts';
import { describe, foundFiles, type Manual } from './manual.ts';
import { Trouble } from './trouble.ts';

interface Options {
  readonly on?: string;
  readonly hours?: string;
  readonly format: string;
  readonly output?: string;
}

const formats: Readonly<Record<string, (list: DueList) => string>> = {
  text: dueText,
  html: dueHtml,
  json: (list) => `${JSON.stringify(list, null, 2)}\n`,
};

/** Adds the command; `finish` gets its exit status: 0 nothing overdue, 1 something is, 2 a file could not be read. */
export function dueCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('due')
    .description('Lists what comes due and when: part lives, later torques, calibrations, concessions.')
    .argument('[paths...]', 'logs, registers or folders (default: the current folder)')
    .option('--on <date>', 'the day to judge by (YYYY-MM-DD; default: today)')
    .option('--hours <hours>', "the machine's hours now (default: those at the end of its last log)")
    .option('--format <format>', 'text, html (a page to print) or json', 'text')
    .option('--output <file>', 'write it to this file (default: standard output)')
    .action((paths: string[], options: Options) => finish(due(paths, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'What is overdue comes first. A life or an interval counts from where its part was fitted or its fastener torqued; what a later log says of the same machine has the last word.',
  ],
  exit: {
    0: 'nothing overdue',
    1: 'something is',
    2: 'something could not be read, or an option is wrong',
  },
  files: foundFiles,
  examples: [
    ['witnessmark due', 'as of today, over everything below this folder'],
    [
      'witnessmark due logs/0117.rebuild --hours 330 --on 2026-09-01',
      'one machine on a day and at hours to come',
    ],
    ['witnessmark due logs/ --format html --output due.html', 'a page for the wall'],
    ['witnessmark due logs/ --format json', 'for another program'],
  ],
  seeAlso: ['trend', 'check'],
};

function due(paths: readonly string[], options: Options): number {
  const write = chosen('--format', options.format, formats);
  const on = options.on ?? today();
  if (!/^\d{4}-\d{2}-\d{2}$/.test(on) || 'refused' in parseInstant(on))
    throw new Trouble(`--on takes a day such as 2026-09-01, not ${on}.`);
  const hours =
    options.hours === undefined ? undefined : Number(/^\d+(?:\.\d+)?(?= ?h?$)/.exec(options.hours)?.[0]);
  if (hours !== undefined && Number.isNaN(hours))
    throw new Trouble(`--hours takes a number of hours such as 330.5, not ${options.hours}.`);

  const { workspace, read, unreadable } = readFiles(paths);
  const rebuilds = read.map((path) => workspace.check(path)?.rebuild).filter((one) => one !== undefined);
  const list = dueList(rebuilds, { on, ...(hours === undefined ? {} : { hours }) });
  if (hours !== undefined && list.machines.length > 1)
    throw new Trouble(
      `--hours is of one machine, and these logs are of ${list.machines.length}: ${list.machines.map(({ name }) => name).join(', ')}. Name the logs of one.`,
    );
  writeDocument(write(list), options.output);
  tellUnreadable(unreadable);
  return unreadable.length > 0 ? 2 : list.items.some((item) => item.overdue) ? 1 : 0;
}

/** The day of this machine's clock. */
function today(): string {
  const now = new Date();
  const two = (number: number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
