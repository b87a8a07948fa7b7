/** `witnessmark compare`: what changed between two rebuilds, by meaning. */
import { execFileSync } from 'node:child_process';
import { dirname, relative, resolve } from 'node:path';
import type { Command } from 'commander';
import {
  type Comparison,
  compareReports,
  comparisonHtml,
  comparisonMarkdown,
  comparisonText,
  type LogReport,
  reportFacts,
} from '../documents/index.ts';
import { createWorkspace, normalisePath } from '../workspace/index.ts';
import { chosen } from './choices.ts';
import { readConfiguration, readText, readUsed, shownPath, writeDocument } from './files.ts';
import { describe, type Manual, settingsFiles } from './manual.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly format: string;
  readonly git?: string;
  readonly as?: string;
  readonly output?: string;
}

const formats: Readonly<Record<string, (comparison: Comparison) => string>> = {
  text: comparisonText,
  md: comparisonMarkdown,
  html: comparisonHtml,
  json: (comparison) => `${JSON.stringify(comparison, null, 2)}\n`,
};

/** Adds the command; `finish` gets its exit status: 0 the same, 1 they differ. */
export function compareCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('compare')
    .description('Tells what changed between two rebuilds, or two revisions of one log, by meaning.')
    .argument('<old>', 'the earlier log; with --git, the log')
    .argument('[new]', 'the later log')
    .option('--git <revision>', 'compare the log with itself at this revision')
    .option('--as <file>', 'where both texts belong, to find what they use: for git difftool')
    .option('--format <format>', 'text, md (for a pull request), html or json', 'text')
    .option('--output <file>', 'write it to this file (default: standard output)')
    .action((old: string, now: string | undefined, options: Options) => finish(compare(old, now, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'Matched by what a line is about, not by where it stands. A value written in another unit is no change when it says the same; what changes a verdict or leaves something undone comes first, the worst of it at the top, marked with !.',
  ],
  exit: {
    0: 'the two say the same',
    1: 'they differ',
    2: 'something could not be read, or an option is wrong',
  },
  files: settingsFiles,
  examples: [
    ['witnessmark compare 0117-first.rebuild 0117-second.rebuild', 'two rebuilds of one machine'],
    [
      'witnessmark compare --git HEAD~1 logs/0117.rebuild',
      'what the last commit changed in a log, with the limits of then',
    ],
    ['witnessmark compare --git main logs/0117.rebuild --format md', 'for a comment on a pull request'],
    [
      'git config difftool.witnessmark.cmd \'witnessmark compare --as "$MERGED" "$LOCAL" "$REMOTE"\'',
      'makes it a tool of git, once in each clone',
    ],
    ['git difftool --tool=witnessmark HEAD~1 -- logs/0117.rebuild', 'uses it as one'],
  ],
  seeAlso: ['report', 'trend', 'verify'],
};

function compare(old: string, now: string | undefined, options: Options): number {
  const write = chosen('--format', options.format, formats);
  const [before, after] = bothReports(old, now, options);
  const comparison = compareReports(before, after);
  const text = write(comparison);
  writeDocument(text, options.output);
  return comparison.differences.length === 0 ? 0 : 1;
}

function bothReports(
  old: string,
  now: string | undefined,
  { git, as }: Options,
): readonly [LogReport, LogReport] {
  if (git !== undefined) {
    if (now !== undefined) throw new Trouble('With --git one log is enough: it is compared with itself.');
    const log = shownPath(old);
    return [
      { ...reportOf(log, (path) => textAt(git, path)), path: `${log} at ${git}` },
      reportOf(log, readText),
    ];
  }
  if (now === undefined)
    throw new Trouble('Two logs are needed, the old and the new; or --git REVISION and one log.');
  if (as === undefined) return [reportOf(shownPath(old), readText), reportOf(shownPath(now), readText)];
  const place = shownPath(as);
  const standingFor = (file: string) => (path: string) => readText(path === place ? file : path);
  return [
    { ...reportOf(place, standingFor(old)), path: `${place} (old)` },
    { ...reportOf(place, standingFor(now)), path: `${place} (new)` },
  ];
}

/** The facts of a log, with what it uses; `read` gives the text of a file, or throws. */
function reportOf(path: string, read: (path: string) => string): LogReport {
  const workspace = createWorkspace();
  try {
    workspace.set(path, read(path));
  } catch (error) {
    throw error instanceof Trouble ? error : new Trouble(`${path}: ${whyUnreadable(error)}.`);
  }
  readUsed(workspace, read);
  // Both are judged as the team judges today, whatever the revision.
  readConfiguration(workspace, path);
  const checked = workspace.check(path);
  const report = checked === undefined ? undefined : reportFacts(checked);
  if (report === undefined) throw new Trouble(`${path} is no log: two .rebuild files are compared.`);
  return report;
}

/** A file as it was at a revision. */
function textAt(revision: string, path: string): string {
  const folder = dirname(resolve(path));
  const git = (...words: readonly string[]) =>
    execFileSync('git', words, { cwd: folder, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
  if (revision.startsWith('-')) throw new Trouble(`${revision} is no revision.`);
  let root: string;
  try {
    root = git('rev-parse', '--show-toplevel').trim();
  } catch {
    throw new Trouble(`${path} is in no git repository, so it has no revision ${revision}.`);
  }
  const inside = normalisePath(relative(root, resolve(path)));
  try {
    return git('show', `${revision}:${inside}`);
  } catch {
    throw new Trouble(`git has no ${inside} at ${revision}.`);
  }
}
