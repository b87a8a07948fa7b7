// Reads a file of check values: comment lines aside, a heading and rows of comma-separated fields.
import { readFileSync } from 'node:fs';

/** The rows of `tests/checkvalues/<name>`, each by column heading. Fields may be quoted. */
export function readCheckValues(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(name, import.meta.url), 'utf8');
  const [heading, ...rows] = text
    .split(/\r?\n/)
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map(fields);
  return rows.map((row) => Object.fromEntries(heading!.map((column, index) => [column, row[index] ?? ''])));
}

function fields(line: string): string[] {
  return [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map((match) => match[1] ?? match[2] ?? '');
}
