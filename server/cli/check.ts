/** `witnessmark check`: the findings of logs, tables of limits and registers. */
import type { Command } from 'commander';
import { createWorkspace } from '../workspace/index.ts';
import { findFiles, readInput, readText, readUsed, shownPath, type Unreadable } from './files.ts';
import { jsonReport } from './formats/json.ts';
import { textReport } from './formats/text.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly format: string;
  readonly failOn: string;
  readonly stdin?: true;
  readonly stdinPath?: string;
}

const THRESHOLDS: Readonly<Record<string, readonly string[]>> = {
  never: [],
  error: ['error'],
  warning: ['error', 'warning'],
};

/** Adds the command; `finish` gets its exit status: 0 nothing found, 1 findings, 2 something could not be done. */
export function checkCommand(program: Command, finish: (status: number) => void): void {
  program
    .command('check')
    .description('Checks logs, tables of limits and registers (default: the current folder).')
    .argument('[paths...]', 'files or folders; - for standard input')
    .option('--format <format>', 'text or json', 'text')
    .option('--fail-on <severity>', 'exit with 1 at: error, warning or never', 'error')
    .option('--stdin', 'check the text of standard input')
    .option('--stdin-path <file>', 'the path that standard input stands for', 'stdin.rebuild')
    .addHelpText(
      'after',
      `
Exit status: 0 nothing at or over the threshold, 1 findings, 2 something could not be read.

Examples:
  witnessmark check
  witnessmark check logs/ --fail-on warning
  witnessmark check --format json logs/0117.rebuild
  witnessmark check --stdin --stdin-path logs/0117.rebuild < draft.rebuild`,
    )
    .action((paths: string[], options: Options) => finish(check(paths, options)));
}

function check(paths: readonly string[], options: Options): number {
  const failing = THRESHOLDS[options.failOn];
  if (failing === undefined)
    throw new Trouble(`--fail-on takes error, warning or never, not ${options.failOn}.`);
  if (options.format !== 'text' && options.format !== 'json')
    throw new Trouble(`--format takes text or json, not ${options.format}.`);

  const workspace = createWorkspace();
  const unreadable: Unreadable[] = [];
  const checked: string[] = [];
  if (options.stdin === true || (paths.length === 1 && paths[0] === '-')) {
    const path = shownPath(options.stdinPath ?? 'stdin.rebuild');
    workspace.set(path, readInput());
    checked.push(path);
  } else {
    const found = findFiles(paths.length === 0 ? ['.'] : paths);
    unreadable.push(...found.unreadable);
    for (const path of found.files) {
      try {
        workspace.set(path, readText(path));
        checked.push(path);
      } catch (error) {
        unreadable.push({ path, reason: whyUnreadable(error) });
      }
    }
  }
  readUsed(workspace);
  const results = checked.map((path) => workspace.check(path)).filter((result) => result !== undefined);
  const report = options.format === 'json' ? jsonReport(results, workspace) : textReport(results, workspace);
  process.stdout.write(report);
  for (const { path, reason } of unreadable) process.stderr.write(`witnessmark: ${path}: ${reason}.\n`);
  if (unreadable.length > 0) return 2;
  if (checked.length === 0 && options.format === 'text')
    process.stderr.write('witnessmark: no .rebuild, .limits or .bench file here.\n');
  return results.some((result) => result.findings.some((finding) => failing.includes(finding.severity)))
    ? 1
    : 0;
}
