/** `witnessmark trend`: wear over hours, for each machine and what is measured on it. */
import type { Command } from 'commander';
import { type Trend, trendsHtml, trendsOf, trendsText } from '../documents/index.ts';
import { chosen } from './choices.ts';
import { isLog, readConfiguration, readFiles, tellUnreadable, writeDocument } from './files.ts';
import { describe, foundFiles, type Manual } from './manual.ts';
import { Trouble } from './trouble.ts';

interface Options {
  readonly format: string;
  readonly only?: readonly string[];
  readonly output?: string;
}

const formats: Readonly<Record<string, (trends: readonly Trend[]) => string>> = {
  text: trendsText,
  html: trendsHtml,
  json: (trends) => `${JSON.stringify({ version: 1, trends }, null, 2)}\n`,
};

/** Adds the command; `finish` gets 2 when a log could not be read. */
export function trendCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('trend')
    .description(
      'Follows each machine over its hours: readings, the line through them, and when a limit is reached.',
    )
    .argument('[paths...]', 'logs or folders (default: the current folder)')
    .option('--only <name...>', 'only these limits, such as bore or bore[rear]')
    .option('--format <format>', 'text, html or json', 'text')
    .option('--output <file>', 'write it to this file (default: standard output)')
    .action((paths: string[], options: Options) => finish(trend(paths, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'The earlier logs that a log uses are followed too. A machine is known by its name and serial number. A new or reworked part begins anew. Where there are too few readings, or they scatter too much for their change, the tool says so and foretells nothing.',
    'The line is fitted by least squares; the hours to a limit are the inverse prediction from it, between the hours that hold at 95 % (Fieller). It is an estimate, not a life.',
  ],
  exit: {
    0: 'written',
    2: 'a log could not be read, or an option is wrong',
  },
  files: foundFiles,
  examples: [
    ['witnessmark trend logs/', 'every machine, with a small plot of each limit'],
    [
      'witnessmark trend logs/ --only bore --format html --output wear.html',
      'one limit, as a page with drawings',
    ],
  ],
  seeAlso: ['due', 'export', 'report'],
};

function trend(paths: readonly string[], { format, only, output }: Options): number {
  const write = chosen('--format', format, formats);
  const { workspace, read: logs, unreadable } = readFiles(paths, isLog);
  for (const path of logs) readConfiguration(workspace, path);
  // With the earlier logs that each carries on from: a set goes on over what is added to it meanwhile.
  const followed = new Set(logs);
  for (const path of followed)
    for (const earlier of workspace.check(path)?.rebuild.carried?.logs ?? []) followed.add(earlier.path);
  const checked = [...followed].map((path) => workspace.check(path)).filter((one) => one !== undefined);
  const trends = trendsOf(checked).filter(
    ({ target }) =>
      only === undefined || only.some((name) => target === name || target.startsWith(`${name}[`)),
  );
  if (only !== undefined && trends.length === 0)
    throw new Trouble(`Nothing called ${only.join(', ')} is measured in these logs.`);
  const text = write(trends);
  writeDocument(text, output);
  tellUnreadable(unreadable);
  return unreadable.length > 0 ? 2 : 0;
}
