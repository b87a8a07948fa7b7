/** `witnessmark worksheet`: a blank log, or a bench card to print, from a table of limits. */
import { writeFileSync } from 'node:fs';
import { dirname, relative, resolve } from 'node:path';
import type { Command } from 'commander';
import { worksheetHtml, worksheetText } from '../documents/index.ts';
import { createWorkspace, normalisePath, type Workspace } from '../workspace/index.ts';
import { oneOf } from './choices.ts';
import { readConfiguration, readInput, readText, readUsed, shownPath } from './files.ts';
import { describe, type Manual, settingsFiles } from './manual.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly covers?: readonly string[];
  readonly format: string;
  readonly output?: string;
  readonly use?: readonly string[];
  readonly stdinPath: string;
}

/** Adds the command. */
export function worksheetCommand(program: Command): void {
  const command = program
    .command('worksheet')
    .description(
      'Writes a blank log for a machine: every reading, torque, inspection and part in working order.',
    )
    .argument('<limits>', 'the table of limits; - for standard input')
    .option('--covers <assembly...>', 'only these assemblies')
    .option(
      '--use <file...>',
      'more files that the log is to use: the register of the workshop, the last log of the machine',
    )
    .option('--format <format>', 'text (a log to fill in) or html (a bench card to print)', 'text')
    .option('--stdin-path <file>', 'the path that standard input stands for', 'stdin.limits')
    .option('--output <file>', 'write it to this new file (default: standard output)')
    .action((limits: string, options: Options) => {
      const text = worksheet(limits, options);
      if (options.output === undefined) process.stdout.write(text);
      else writeNew(options.output, text);
    });
  describe(command, manual);
}

const manual: Manual = {
  about: ['The log waits for its values at each ?. Nothing in it says that anything was done.'],
  exit: {
    0: 'written',
    2: 'the table could not be read, the new file is there already, or an option is wrong',
  },
  files: settingsFiles,
  examples: [
    [
      'witnessmark worksheet tern-460.limits --output 0117.rebuild',
      'a new log, which is never written over an old one',
    ],
    [
      'witnessmark worksheet tern-460.limits --covers top-end --use harbour.bench',
      'one assembly, with the register of the workshop',
    ],
    [
      'witnessmark worksheet tern-460.limits --use harbour.bench 0117.rebuild --output 0117-b.rebuild',
      'the next rebuild of a machine, with what its last log hands on',
    ],
    [
      'witnessmark worksheet tern-460.limits --format html --output card.html',
      'a bench card with boxes to write in',
    ],
  ],
  seeAlso: ['check', 'report'],
};

function worksheet(limits: string, options: Options): string {
  const format = oneOf('--format', options.format, ['text', 'html']);
  const isInput = limits === '-';
  const file = isInput ? options.stdinPath : limits;
  const path = shownPath(file);
  const workspace = createWorkspace();
  try {
    workspace.set(path, isInput ? readInput() : readText(limits));
  } catch (error) {
    throw error instanceof Trouble ? error : new Trouble(`${limits}: ${whyUnreadable(error)}.`);
  }
  readUsed(workspace);
  readConfiguration(workspace, path);
  const checked = workspace.check(path);
  if (checked === undefined || checked.rebuild.kind !== 'limits')
    throw new Trouble(`${limits} is no table of limits: its name must end in .limits.`);
  const { scope } = checked.rebuild;
  for (const name of options.covers ?? [])
    if (!scope.assemblies.has(name))
      throw new Trouble(
        `${limits} has no assembly ${name}; it has ${[...scope.assemblies.keys()].join(', ') || 'none'}.`,
      );
  const wrong = checked.findings.filter((finding) => finding.severity === 'error').length;
  if (wrong > 0)
    process.stderr.write(
      `witnessmark: ${limits} has ${wrong === 1 ? 'an error' : `${wrong} errors`}, and what it says there may be missing: run witnessmark check ${limits}.\n`,
    );
  const source = {
    path,
    scope,
    units: checked.units,
    ...(options.covers === undefined ? {} : { covers: options.covers }),
  };
  if (format === 'html') return worksheetHtml(source);
  // The log names the files it uses from its own folder.
  const folder = options.output === undefined ? process.cwd() : dirname(resolve(options.output));
  const from = (file: string) => normalisePath(relative(folder, resolve(file)));
  const uses = options.use ?? [];
  return worksheetText(
    { ...source, path: from(file) },
    { uses: uses.map(from), machine: machineOf(uses, workspace) },
  );
}

/** The machine of the last log among the files that are to be used; they may as well not be there yet. */
function machineOf(uses: readonly string[], workspace: Workspace) {
  for (const file of uses.filter((one) => one.endsWith('.rebuild')).reverse()) {
    try {
      workspace.set(shownPath(file), readText(file));
    } catch {
      continue;
    }
    const machine = workspace.check(shownPath(file))?.rebuild.scope.machine;
    if (machine?.serial !== undefined) return { name: machine.name, serial: machine.serial };
  }
  return undefined;
}

/** Writes a file that is not there yet: a log is evidence, and is not written over. */
function writeNew(path: string, text: string): void {
  try {
    writeFileSync(path, text, { flag: 'wx' });
  } catch (error) {
    const exists = (error as NodeJS.ErrnoException).code === 'EEXIST';
    throw new Trouble(
      `${path}: ${exists ? 'it is there already, and is not written over' : whyUnreadable(error)}.`,
    );
  }
}
