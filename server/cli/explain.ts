/** `witnessmark explain`: a rule's page in the terminal, or as the Markdown that it is written in. */
import type { Command } from 'commander';
import { closest } from 'fastest-levenshtein';
import colors from 'picocolors';
import { rules } from '../rules/index.ts';
import { oneOf } from './choices.ts';
import { colours, describe, type Manual } from './manual.ts';
import { pageText } from './page-text.ts';
import { rulePage } from './pages.ts';
import { Trouble } from './trouble.ts';

/** Longer lines are hard to read, however wide the terminal is. */
const WIDEST = 100;

/** Adds the command. */
export function explainCommand(program: Command): void {
  const command = program
    .command('explain')
    .description('Explains a finding: what it means and how to mend it. Without a name, lists them all.')
    .argument('[rule]', 'the name in brackets beside a finding')
    .option('--format <format>', 'text, or md for the page as it is written', 'text')
    .action((id: string | undefined, options: { readonly format: string }) => {
      const format = oneOf('--format', options.format, ['text', 'md']);
      process.stdout.write(id === undefined ? list(format) : page(id, format));
    });
  describe(command, manual);
}

const manual: Manual = {
  exit: {
    0: 'explained',
    2: 'there is no such finding, or an option is wrong',
  },
  environment: colours,
  examples: [
    ['witnessmark explain', 'all findings, with severity and title'],
    ['witnessmark explain out-of-limits', 'what it means, and how it is mended'],
    ['witnessmark explain configuration', 'what witnessmark.json may say'],
    ['witnessmark explain out-of-limits --format md', 'the page as it is written'],
  ],
  seeAlso: ['check'],
};

type Format = 'text' | 'md';

function list(format: Format): string {
  if (format === 'md')
    return `| finding | severity | what it tells |\n|---|---|---|\n${rules
      .map(({ id, severity, title }) => `| \`${id}\` | ${severity} | ${title} |\n`)
      .join('')}`;
  const width = Math.max(...rules.map((rule) => rule.id.length));
  return `${rules
    .map(({ id, severity, title }) => `${colors.bold(id.padEnd(width))}  ${severity.padEnd(11)}  ${title}`)
    .join('\n')}\n`;
}

function page(id: string, format: Format): string {
  const text = rules.some((rule) => rule.id === id) ? rulePage(id) : undefined;
  if (text !== undefined)
    return format === 'md' ? text : pageText(text, Math.min(process.stdout.columns ?? WIDEST, WIDEST));
  const nearest = closest(
    id,
    rules.map((rule) => rule.id),
  );
  throw new Trouble(`there is no finding called ${id}. Did you mean ${nearest}?`);
}
