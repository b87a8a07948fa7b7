/** `witnessmark verify`: whether what was signed, and what was pinned, is still as it was. */
import type { Command } from 'commander';
import { verificationText, verify } from '../documents/index.ts';
import { oneOf } from './choices.ts';
import { readFiles, tellUnreadable } from './files.ts';
import { harmless } from './formats/frame.ts';
import { describe, foundFiles, type Manual } from './manual.ts';
import { photoDigest } from './photographs.ts';

interface Options {
  readonly format: string;
}

/** Adds the command; `finish` gets its exit status: 0 all holds, 1 something does not, 2 a file cannot be read. */
export function verifyCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('verify')
    .description('Verifies every mark of logs, and every file and photograph that they pin.')
    .argument('[paths...]', 'files or folders (default: the current folder)')
    .option('--format <format>', 'text or json', 'text')
    .action((paths: string[], options: Options) => finish(run(paths, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'A mark covers every line from the mark before it; layout does not count. It shows that a text was changed, not by whom: whoever changes a text can mark it again. Where one small change explains a broken mark (a line added, a digit altered), it is told what stood there. Compare the marks with the copy in the paper logbook, or with a signed commit.',
  ],
  exit: {
    0: 'every mark and pin holds',
    1: 'one does not',
    2: 'something could not be read, or an option is wrong',
  },
  files: foundFiles,
  examples: [
    ['witnessmark verify', 'every log below this folder'],
    ['witnessmark verify logs/0117.rebuild', 'one log'],
    ['witnessmark verify --format json logs/ > marks.json', 'for another program'],
  ],
  seeAlso: ['mark', 'compare'],
};

function run(paths: readonly string[], options: Options): number {
  const format = oneOf('--format', options.format, ['text', 'json']);
  const { workspace, read, unreadable } = readFiles(paths);
  const results = read
    .map((path) => workspace.check(path)?.rebuild)
    .filter((rebuild) => rebuild !== undefined)
    .map((rebuild) => verify(rebuild, (file) => photoDigest(rebuild.path, file)))
    // A table or register says nothing here unless it pins a file.
    .filter(({ path, pins }) => pins.length > 0 || /\.rebuild$/.test(path));
  const marks = results.flatMap((one) => one.marks);
  const pins = results.flatMap((one) => one.pins);
  const summary = {
    files: results.length,
    marks: marks.length,
    broken: marks.filter(({ holds }) => !holds).length,
    pins: pins.length,
    changed: pins.filter(({ holds }) => !holds).length,
  };
  if (format === 'json')
    process.stdout.write(`${JSON.stringify({ version: 1, files: results, summary }, null, 2)}\n`);
  else for (const one of results) process.stdout.write(`${verificationText(one).map(harmless).join('\n')}\n`);
  tellUnreadable(unreadable);
  if (unreadable.length > 0) return 2;
  if (results.length === 0 && format === 'text') process.stderr.write('witnessmark: no log here.\n');
  return results.every(({ holds }) => holds) ? 0 : 1;
}
