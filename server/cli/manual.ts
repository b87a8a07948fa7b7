/** What stands in the help of a command below its options; the same goes into its manual page. */
import type { Command } from 'commander';

export interface Manual {
  /** What a user must know, a paragraph each. */
  readonly about?: readonly string[];
  /** Exit statuses with what each says. */
  readonly exit: Readonly<Record<string, string>>;
  /** Files beside those that are named, with what they do. */
  readonly files?: Readonly<Record<string, string>>;
  /** Environment variables, with what they do. */
  readonly environment?: Readonly<Record<string, string>>;
  /** Command lines, each with what it does. */
  readonly examples: readonly (readonly [line: string, does: string])[];
  /** Other commands. */
  readonly seeAlso: readonly string[];
}

const manuals = new WeakMap<Command, Manual>();

/** Gives a command its manual, which its help shows. */
export function describe(command: Command, manual: Manual): Command {
  manuals.set(command, manual);
  return command.addHelpText('after', () => helpText(manual, Math.min(process.stdout.columns ?? 80, 100)));
}

/** The manual of a command; throws where the program forgot it. */
export function manualOf(command: Command): Manual {
  const manual = manuals.get(command);
  if (manual === undefined) throw new Error(`${command.name()} has no manual`);
  return manual;
}

/** Where settings and what to leave out are found. */
export const settingsFiles: Readonly<Record<string, string>> = {
  'witnessmark.json':
    'how the team wants its logs checked; the nearest above a log counts (witnessmark explain configuration)',
};
export const foundFiles: Readonly<Record<string, string>> = {
  ...settingsFiles,
  '.gitignore':
    'what it leaves out of the repository is not looked for; a file that is named is taken all the same',
};

export const colours: Readonly<Record<string, string>> = {
  NO_COLOR: 'when it is set to anything, nothing is coloured',
  FORCE_COLOR: 'when it is set, what goes into a pipe is coloured too',
};

/** The sections of a manual with a blank line before each, no line longer than `width` where that can be. */
function helpText(manual: Manual, width: number): string {
  const { about = [], exit, files = {}, environment = {}, examples, seeAlso } = manual;
  const list = (title: string, entries: Readonly<Record<string, string>>) => {
    const names = Object.keys(entries);
    if (names.length === 0) return [];
    const wide = Math.max(...names.map((name) => name.length)) + 4;
    return [
      '',
      `${title}:`,
      ...Object.entries(entries).flatMap(([name, tells]) =>
        wrap(tells, width - wide).map(
          (line, i) => (i === 0 ? `  ${name}`.padEnd(wide) : ' '.repeat(wide)) + line,
        ),
      ),
    ];
  };
  return [
    ...about.flatMap((paragraph) => ['', ...wrap(paragraph, width)]),
    ...list('Exit status', exit),
    ...list('Files', files),
    ...list('Environment', environment),
    '',
    'Examples:',
    ...examples.flatMap(([line, does]) => [
      `  ${line}`,
      ...wrap(does, width - 6).map((one) => `      ${one}`),
    ]),
    '',
    `See also: ${seeAlso.map((name) => `witnessmark help ${name}`).join(', ')}`,
  ].join('\n');
}

function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}
