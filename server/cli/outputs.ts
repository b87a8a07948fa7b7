/** Where a command's reports go: `--format text`, `--format sarif=out.sarif`, several in one run. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { didYouMean } from './choices.ts';
import { type FormatName, formatNames, formatOf, isFormatName } from './formats/index.ts';
import type { CheckReport } from './formats/report.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

export interface Output {
  readonly format: FormatName;
  /** Standard output when undefined. */
  readonly file: string | undefined;
}

/** Reads the values of `--format`; throws `Trouble` for an unknown format or two for standard output. */
export function outputsOf(values: readonly string[]): readonly Output[] {
  const outputs = (values.length === 0 ? ['text'] : values).map((value): Output => {
    const [format = '', ...rest] = value.split('=');
    if (!isFormatName(format))
      throw new Trouble(
        `--format takes ${formatNames.slice(0, -1).join(', ')} or ${formatNames.at(-1)}, each with =FILE or without, not ${value}.${didYouMean(format, formatNames)}`,
      );
    const file = rest.join('=');
    if (rest.length > 0 && file === '') throw new Trouble(`--format ${value} names no file after the =.`);
    return { format, file: rest.length === 0 ? undefined : file };
  });
  const shown = outputs.filter((output) => output.file === undefined);
  if (shown.length > 1)
    throw new Trouble(
      `only one --format can go to standard output: give ${shown
        .slice(1)
        .map(({ format }) => `${format} a file, ${format}=FILE`)
        .join(', ')}.`,
    );
  return outputs;
}

/** Writes a report in each format. */
export async function writeOutputs(outputs: readonly Output[], report: CheckReport): Promise<void> {
  for (const { format, file } of outputs) {
    const text = (await formatOf(format))(report);
    if (file === undefined) process.stdout.write(text);
    else {
      try {
        mkdirSync(dirname(file), { recursive: true });
        writeFileSync(file, text);
      } catch (error) {
        throw new Trouble(`${file} cannot be written: ${whyUnreadable(error)}.`);
      }
    }
  }
}
