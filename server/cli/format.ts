/** `witnessmark format`: the canonical layout of logs, tables of limits and registers. */
import { writeFileSync } from 'node:fs';
import type { Command } from 'commander';
import { createTwoFilesPatch } from 'diff';
import { format, parse } from '../../grammar/index.ts';
import { findFiles, readInput, readText, tellUnreadable } from './files.ts';
import { describe, foundFiles, type Manual } from './manual.ts';
import { whyUnreadable } from './trouble.ts';

interface Options {
  readonly check?: true;
  readonly diff?: true;
  readonly stdin?: true;
}

/** Adds the command; `finish` gets its exit status: 0 done, 1 files are not canonical, 2 something could not be done. */
export function formatCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('format')
    .description('Writes files in the canonical layout; facts and numbers are never touched.')
    .argument('[paths...]', 'files or folders; - for standard input')
    .option('--check', 'change nothing; list the files that would change and exit with 1')
    .option('--diff', 'change nothing; show what would change')
    .option('--stdin', 'format standard input to standard output')
    .action((paths: string[], options: Options) => finish(run(paths, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'One statement a line, entries set in by two, clauses in one order, units in one spelling, tables in columns. Laying out anew changes no fact, no number and no mark.',
  ],
  exit: {
    0: 'done, or nothing to do',
    1: 'with --check or --diff: files would change',
    2: 'something could not be read or written',
  },
  files: foundFiles,
  examples: [
    ['witnessmark format', 'all below this folder, in place; names what it changed'],
    ['witnessmark format --check logs/', 'for CI'],
    ['witnessmark format --diff logs/0117.rebuild', 'shows what would change'],
    ['witnessmark format --stdin < draft.rebuild', 'for an editor, or for git as a textconv'],
  ],
  seeAlso: ['check'],
};

function run(paths: readonly string[], options: Options): number {
  if (options.stdin === true || (paths.length === 1 && paths[0] === '-')) {
    process.stdout.write(format(parse(readInput())));
    return 0;
  }
  const { files, unreadable } = findFiles(paths.length === 0 ? ['.'] : paths);
  let changed = 0;
  for (const path of files) {
    try {
      const before = readText(path);
      const after = format(parse(before));
      if (before === after) continue;
      changed++;
      if (options.diff === true)
        process.stdout.write(createTwoFilesPatch(path, path, before, after, 'as written', 'canonical'));
      else process.stdout.write(`${path}\n`);
      if (options.check !== true && options.diff !== true) writeFileSync(path, after);
    } catch (error) {
      unreadable.push({ path, reason: whyUnreadable(error) });
    }
  }
  tellUnreadable(unreadable);
  if (unreadable.length > 0) return 2;
  return changed > 0 && (options.check === true || options.diff === true) ? 1 : 0;
}
