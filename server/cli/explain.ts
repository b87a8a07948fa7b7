/** `witnessmark explain`: a rule's page in the terminal. */
import type { Command } from 'commander';
import { closest } from 'fastest-levenshtein';
import { rules } from '../rules/index.ts';
import { rulePage } from './pages.ts';
import { Trouble } from './trouble.ts';

/** Adds the command. */
export function explainCommand(program: Command): void {
  program
    .command('explain')
    .description('Explains a finding: what it means and how to mend it. Without a name, lists them all.')
    .argument('[rule]', 'the name in brackets beside a finding')
    .addHelpText('after', '\nExamples:\n  witnessmark explain\n  witnessmark explain out-of-limits')
    .action((id: string | undefined) => {
      process.stdout.write(id === undefined ? list() : page(id));
    });
}

function list(): string {
  const width = Math.max(...rules.map((rule) => rule.id.length));
  return `${rules.map((rule) => `${rule.id.padEnd(width)}  ${rule.severity.padEnd(11)}  ${rule.title}`).join('\n')}\n`;
}

function page(id: string): string {
  const text = rules.some((rule) => rule.id === id) ? rulePage(id) : undefined;
  if (text !== undefined) return text;
  const nearest = closest(
    id,
    rules.map((rule) => rule.id),
  );
  throw new Trouble(`there is no finding called ${id}. Did you mean ${nearest}?`);
}
