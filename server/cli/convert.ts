/** `witnessmark convert`: one value in another unit, as precisely as it was written. */
import type { Command } from 'commander';
import { convertText } from '../quantities/index.ts';
import { describe, type Manual } from './manual.ts';
import { Trouble } from './trouble.ts';

/** Adds the command. */
export function convertCommand(program: Command): void {
  const command = program
    .command('convert')
    .description('Converts a value, as precisely as it was written.')
    .argument('<value>', 'a number and its unit')
    // A temperature below zero begins as an option does.
    .allowUnknownOption()
    .allowExcessArguments()
    .argument('[unit]', 'the unit wanted; without it, every other unit of the kind')
    .action(() => {
      const [value = '', unit, ...rest] = withItsUnit(command.args);
      if (rest.length > 0)
        throw new Trouble(
          `A value and one unit are converted, so ${rest.join(' ')} is too much: write the value in quotes, such as "88 ft·lbf".`,
        );
      const conversion = convertText(value, unit);
      if (!conversion.converted) throw new Trouble(conversion.message);
      const width = Math.max(...conversion.rows.map((row) => row.text.indexOf(' ')));
      for (const row of conversion.rows) {
        const indent = ' '.repeat(Math.max(0, width - row.text.indexOf(' ')));
        process.stdout.write(conversion.rows.length === 1 ? `${row.text}\n` : `${indent}${row.text}\n`);
      }
      if (conversion.note !== undefined) process.stdout.write(`${conversion.note}\n`);
    });
  describe(command, manual);
}

/** A number whose unit the shell gave as a word of its own, for lack of quotes, with it. */
function withItsUnit(words: readonly string[]): readonly string[] {
  const [number = '', unit, ...rest] = words;
  return unit === undefined || !/^[-−]?[\d.,/-]+$/.test(number) ? words : [`${number} ${unit}`, ...rest];
}

const manual: Manual = {
  about: [
    'The result has the digits that the written ones carry, and no more (NIST SP 811, B.7). Of a torque every other unit is told too.',
  ],
  exit: {
    0: 'converted',
    2: 'the value or the unit is not understood, or they measure different kinds of things',
  },
  examples: [
    ['witnessmark convert "88 ft·lbf" N·m', 'and in every other unit of torque'],
    ['witnessmark convert "2.6583 in" mm', 'one unit'],
    ['witnessmark convert "24 N·m"', 'every other unit'],
  ],
  seeAlso: ['check'],
};
