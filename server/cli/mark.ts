/** `witnessmark mark`: pins what a log uses and marks its last signature. */
import { writeFileSync } from 'node:fs';
import type { Command } from 'commander';
import { createTwoFilesPatch } from 'diff';
import { applyMarkEdits, type MarkPlan, markEdits, photosOf } from '../rebuild/index.ts';
import { type Checked, createWorkspace } from '../workspace/index.ts';
import { readConfiguration, readInput, readText, readUsed, shownPath } from './files.ts';
import { harmless } from './formats/frame.ts';
import { describe, type Manual, settingsFiles } from './manual.ts';
import { photoDigest } from './photographs.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly dryRun?: true;
  readonly diff?: true;
  readonly stdinPath?: string;
}

/** Adds the command; `finish` gets its exit status: 0 marked, 1 no mark may be written, 2 something cannot be read. */
export function markCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('mark')
    .description('Pins the files and photographs that a log uses, then marks its last signature.')
    .argument('<log>', 'the log; - for standard input, marked text to standard output')
    .option('--dry-run', 'change nothing; say what would be pinned and marked')
    .option('--diff', 'change nothing; show the lines that would change')
    .option('--stdin-path <file>', 'the path that standard input stands for', 'stdin.rebuild')
    .action((log: string, options: Options) => finish(mark(log, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'A mark is the first 16 digits of a SHA-256 over what the lines say, from the mark before it. Laying the text out anew never breaks it; changing a fact does. No mark is written under a broken mark, over a line that is not understood, or with a file that is missing or no longer what it was pinned as.',
    'A mark shows that a text was changed. It does not show by whom, and whoever changes a text can mark it again. So copy the mark into the paper logbook, or commit the log with a signed commit: that copy is the proof.',
  ],
  exit: {
    0: 'marked',
    1: 'no mark may be written; the reason is told',
    2: 'something could not be read or written',
  },
  files: settingsFiles,
  examples: [
    ['witnessmark mark logs/0117.rebuild', 'pins what it uses, marks its last signature'],
    ['witnessmark mark --diff logs/0117.rebuild', 'shows the lines that would change'],
    [
      'witnessmark mark - --stdin-path logs/0117.rebuild < logs/0117.rebuild',
      'the marked text on standard output',
    ],
  ],
  seeAlso: ['verify'],
};

function mark(log: string, options: Options): number {
  const piped = log === '-';
  const path = shownPath(piped ? (options.stdinPath ?? 'stdin.rebuild') : log);
  const checked = checkedLog(piped ? readInput() : textOf(log), path);
  const { rebuild, file } = checked;
  const photos = new Map<string, string>();
  for (const photo of photosOf(rebuild)) {
    const digest = photoDigest(path, photo.file);
    if (digest !== undefined) photos.set(photo.file, digest);
  }
  const plan = markEdits(rebuild, { photos });
  if (!('edits' in plan)) {
    process.stderr.write(`witnessmark: ${path}:${plan.at.block.line + 1}: ${harmless(plan.message)}\n`);
    return 1;
  }
  const marked = applyMarkEdits(file.text, plan.edits);
  const said = `${tell(path, plan, checked).map(harmless).join('\n')}\n`;
  if (options.diff === true)
    process.stdout.write(createTwoFilesPatch(path, path, file.text, marked, 'as it is', 'marked'));
  else if (options.dryRun === true) process.stdout.write(said);
  else if (piped) {
    process.stderr.write(said);
    process.stdout.write(marked);
  } else {
    try {
      writeFileSync(path, marked);
    } catch (error) {
      throw new Trouble(`${log} cannot be written: ${whyUnreadable(error)}.`);
    }
    process.stdout.write(`${said}${ADVICE}\n`);
  }
  return 0;
}

const ADVICE =
  'Copy the mark into the paper logbook, or commit the log with a signed commit: a mark alone does not show who changed a text.';

const WHY_UNPINNED = {
  marked: 'an earlier mark covers its line',
  unread: 'it cannot be read',
} as const;

function textOf(log: string): string {
  try {
    return readText(log);
  } catch (error) {
    throw new Trouble(`${log}: ${whyUnreadable(error)}.`);
  }
}

function checkedLog(text: string, path: string): Checked {
  const workspace = createWorkspace();
  workspace.set(path, text);
  readUsed(workspace);
  readConfiguration(workspace, path);
  const checked = workspace.check(path);
  if (checked === undefined || checked.rebuild.kind !== 'rebuild')
    throw new Trouble(`${path} is no log: only a .rebuild file is signed and marked.`);
  return checked;
}

/** What is marked and pinned, and what a reader should know beside it. */
function tell(path: string, plan: MarkPlan, { findings }: Checked): readonly string[] {
  const { closing, mark: digits, pinned, unpinned } = plan;
  const { statement } = closing;
  const errors = findings.filter(({ severity }) => severity === 'error').length;
  return [
    `${path}:${closing.line + 1}: ${statement?.name?.text ?? '?'} ${statement?.kind === 'release' ? 'released' : 'signed'} "${statement?.text?.text ?? ''}"`,
    `  mark ${digits}`,
    ...pinned.map((file) => `  pinned ${file}`),
    ...unpinned.map(({ file, reason }) => `  not pinned ${file}: ${WHY_UNPINNED[reason]}`),
    ...(errors === 0
      ? []
      : [
          `  The log has ${errors === 1 ? 'an error' : `${errors} errors`}, which a signature does not mend: witnessmark check ${path}`,
        ]),
  ];
}
