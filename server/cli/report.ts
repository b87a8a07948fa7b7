/** `witnessmark report`: one log as a page to read, print and file, or as Markdown, CSV or JSON. */
import type { Command } from 'commander';
import { type ReportSource, reportCsv, reportFacts, reportHtml, reportMarkdown } from '../documents/index.ts';
import { createWorkspace } from '../workspace/index.ts';
import { readConfiguration, readInput, readText, readUsed, shownPath, writeDocument } from './files.ts';
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
  program
    .command('report')
    .description(
      'Writes a report of a log: readings against limits, drawings, parts, and the entry for the logbook.',
    )
    .argument('<log>', 'the log; - for standard input')
    .option('--format <format>', 'html (one page, prints on A4 and Letter), md, csv or json', 'html')
    .option('--output <file>', 'write it to this file')
    .option('--stdin-path <file>', 'the path that standard input stands for', 'stdin.rebuild')
    .addHelpText(
      'after',
      `
The page holds everything it shows: no script, nothing fetched. server/documents/report.md says what the JSON and the
columns of the CSV mean.

Examples:
  witnessmark report logs/0117.rebuild --output 0117.html
  witnessmark report logs/0117.rebuild --format md
  witnessmark report logs/0117.rebuild --format csv > 0117.csv`,
    )
    .action((log: string, options: Options) => {
      const text = report(log, options);
      writeDocument(text, options.output);
    });
}

function report(log: string, { format, stdinPath }: Options): string {
  const write = Object.hasOwn(formats, format) ? formats[format] : undefined;
  if (write === undefined)
    throw new Trouble(`--format takes ${Object.keys(formats).join(', ')}, not ${format}.`);
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
