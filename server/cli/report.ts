/** `witnessmark report`: one log as a page to read, print and file, or as Markdown, CSV or JSON. */
import type { Command } from 'commander';
import { type ReportSource, reportCsv, reportFacts, reportHtml, reportMarkdown } from '../documents/index.ts';
import { createWorkspace } from '../workspace/index.ts';
import { chosen } from './choices.ts';
import { readConfiguration, readInput, readText, readUsed, shownPath, writeDocument } from './files.ts';
import { describe, type Manual, settingsFiles } from './manual.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly format: string;
  readonly output?: string;
  readonly stdinPath: string;
}

const formats: Readonly<Record<string, (source: ReportSource) => string | undefined>> = {
  html: reportHtml,
  md: reportMarkdown,
  csv: reportCsv,
  json: (source) => {
    const facts = reportFacts(source);
    return facts === undefined ? undefined : `${JSON.stringify(facts, null, 2)}\n`;
  },
};

/** Adds the command. */
export function reportCommand(program: Command): void {
  const command = program
    .command('report')
    .description(
      'Writes a report of a log: readings against limits, drawings, parts, and the entry for the logbook.',
    )
    .argument('<log>', 'the log; - for standard input')
    .option('--format <format>', 'html (one page, prints on A4 and Letter), md, csv or json', 'html')
    .option('--output <file>', 'write it to this file (default: standard output)')
    .option('--stdin-path <file>', 'the path that standard input stands for', 'stdin.rebuild')
    .action((log: string, options: Options) => {
      const text = report(log, options);
      writeDocument(text, options.output);
    });
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'The page holds everything it shows: no script, nothing fetched. server/documents/report.md says what the JSON and the columns of the CSV mean.',
  ],
  exit: {
    0: 'written, whatever was found in the log',
    2: 'the log could not be read or is none, or an option is wrong',
  },
  files: settingsFiles,
  examples: [
    ['witnessmark report logs/0117.rebuild --output 0117.html', 'a page to read, print and file'],
    ['witnessmark report logs/0117.rebuild --format md', 'for a pull request, a wiki or a mail'],
    ['witnessmark report logs/0117.rebuild --format csv > 0117.csv', 'a row a fact, for a spreadsheet'],
    [
      'witnessmark report - --stdin-path logs/0117.rebuild < draft.rebuild',
      'of a text that is not saved yet',
    ],
  ],
  seeAlso: ['check', 'compare', 'export'],
};

function report(log: string, { format, stdinPath }: Options): string {
  const write = chosen('--format', format, formats);
  const isInput = log === '-';
  const path = shownPath(isInput ? stdinPath : log);
  const workspace = createWorkspace();
  try {
    workspace.set(path, isInput ? readInput() : readText(log));
  } catch (error) {
    throw error instanceof Trouble ? error : new Trouble(`${log}: ${whyUnreadable(error)}.`);
  }
  readUsed(workspace);
  readConfiguration(workspace, path);
  const checked = workspace.check(path);
  const text = checked === undefined ? undefined : write(checked);
  if (text === undefined) throw new Trouble(`${log} is no log: a report is made of a .rebuild file.`);
  return text;
}
