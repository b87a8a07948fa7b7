/** `witnessmark export`: the facts of many logs, a row each, for any engine that reads JSON Lines. */
import { closeSync, openSync, writeSync } from 'node:fs';
import type { Command } from 'commander';
import { exportRows, exportSchema, exportSql } from '../documents/index.ts';
import { chosen, oneOf } from './choices.ts';
import { isLog, readConfiguration, readFiles, refuseRecorded, tellUnreadable } from './files.ts';
import { describe, foundFiles, type Manual } from './manual.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Options {
  readonly format: string;
  readonly schema?: string;
  readonly output?: string;
}

const schemas: Readonly<Record<string, () => string>> = {
  json: () => `${JSON.stringify(exportSchema(), null, 2)}\n`,
  sql: () => `${exportSql()}\n`,
};

/** Adds the command; `finish` gets 2 when a log could not be read. */
export function exportCommand(program: Command, finish: (status: number) => void): void {
  const command = program
    .command('export')
    .description('Writes the facts of logs as rows for a database: readings, torques, parts, findings …')
    .argument('[paths...]', 'logs or folders (default: the current folder)')
    .option('--format <format>', 'ndjson: one JSON object a line, a fact each', 'ndjson')
    .option('--schema <format>', 'write no facts but what their columns are: json (a JSON Schema) or sql')
    .option('--output <file>', 'write it to this file (default: standard output)')
    .action((paths: string[], options: Options) => finish(exportFacts(paths, options)));
  describe(command, manual);
}

const manual: Manual = {
  about: [
    'Every row has the same columns, and numbers are in one unit a kind (mm, N·m, kPa, °C, h), whatever the log was written in. server/documents/export.md says what they mean, and shows questions over a fleet in SQL.',
  ],
  exit: {
    0: 'written',
    2: 'a log could not be read, or an option is wrong; the others are written all the same',
  },
  files: foundFiles,
  examples: [
    ['witnessmark export logs/ --output facts.ndjson', 'the facts of a fleet'],
    ['witnessmark export logs/0117.rebuild | grep \'"fact":"torque"\'', 'the torques of one log'],
    ['witnessmark export --schema sql', 'the columns, for the definition of a table'],
  ],
  seeAlso: ['report', 'trend'],
};

function exportFacts(paths: readonly string[], { format, schema, output }: Options): number {
  oneOf('--format', format, ['ndjson']);
  const shape = schema === undefined ? undefined : chosen('--schema', schema, schemas);
  const write = writerTo(output);
  try {
    if (shape === undefined) return writeFacts(paths, write.text);
    write.text(shape());
    return 0;
  } finally {
    write.close();
  }
}

/** Writes the rows of one log after another: a fleet's need not be in memory together. */
function writeFacts(paths: readonly string[], write: (text: string) => void): number {
  const { workspace, read: logs, unreadable } = readFiles(paths, isLog);
  for (const path of logs) {
    readConfiguration(workspace, path);
    const checked = workspace.check(path);
    if (checked !== undefined)
      write([...exportRows(checked)].map((row) => `${JSON.stringify(row)}\n`).join(''));
  }
  tellUnreadable(unreadable);
  return unreadable.length > 0 ? 2 : 0;
}

function writerTo(output: string | undefined): { text(text: string): void; close(): void } {
  if (output === undefined) return { text: (text) => void process.stdout.write(text), close: () => {} };
  refuseRecorded(output);
  try {
    const file = openSync(output, 'w');
    return { text: (text) => void writeSync(file, text), close: () => closeSync(file) };
  } catch (error) {
    throw new Trouble(`${output} cannot be written: ${whyUnreadable(error)}.`);
  }
}
