/** The tables of the page on exported facts, from the list of columns; run, it writes them into the page. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { exportColumns, exportFacts } from '../../server/documents/index.ts';

export const exportPage = join(import.meta.dirname, '../../server/documents/export.md');

/** The page with its tables as they should be. */
export function withTables(page: string): string {
  const columns = exportColumns.map(({ name, type, tells }) => `| \`${name}\` | ${type} | ${tells} |`);
  const facts = Object.entries(exportFacts).map(([fact, tells]) => `| \`${fact}\` | ${tells} |`);
  return filled(
    filled(page, 'columns', ['| column | type | holds |', '|---|---|---|', ...columns]),
    'facts',
    ['| fact | |', '|---|---|', ...facts],
  );
}

function filled(page: string, name: string, table: readonly string[]): string {
  const stretch = new RegExp(`(<!-- ${name}: [^\\n]*-->\\n)[^]*(<!-- end of ${name} -->)`);
  return page.replace(stretch, (_, before, after) => `${before}\n${table.join('\n')}\n\n${after}`);
}

if (process.argv[1] === import.meta.filename)
  writeFileSync(exportPage, withTables(readFileSync(exportPage, 'utf8')));
