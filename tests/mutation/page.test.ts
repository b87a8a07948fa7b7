/** The page of the last mutation run: its counts are those of what it lists, and each folder is where it is to stay. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { pageOf } from './page.ts';

const page = readFileSync(new URL('../mutation.md', import.meta.url), 'utf8');
const sections = page.split('\n## ').slice(1);
const numbers = (row: string) => [...row.matchAll(/\| (\d+)(?= \|)/g)].map(([, digits]) => Number(digits));

test.each(['quantities', 'calculations', 'rules'])(
  '%s: at least 85 % are killed, and each survivor is named',
  (folder) => {
    const [mutants = 0, killed = 0, survived = 0] = numbers(
      page.split('\n').find((line) => line.startsWith(`| **${folder}**`))!,
    );
    expect(killed / mutants).toBeGreaterThanOrEqual(0.85);
    expect(killed + survived).toBe(mutants);
    const section = sections.find((one) => one.startsWith(folder))!;
    expect(section.split('\n').filter((line) => /^- \d+: /.test(line))).toHaveLength(survived);
    const rows = section
      .split('\n')
      .filter((line) => line.startsWith('| `'))
      .map(numbers);
    expect(rows.reduce((sum, [, , alive = 0]) => sum + alive, 0)).toBe(survived);
  },
);

test('a mutant that the type checker refuses is not counted, one that no test reaches has survived', () => {
  const place = { start: { line: 1, column: 7 }, end: { line: 1, column: 12 } };
  const mutant = (status: string) => ({
    status,
    location: place,
    mutatorName: 'EqualityOperator',
    replacement: 'a <= b',
  });
  const source = 'if   (a < b) return;';
  const written = pageOf([
    {
      path: 'server/rules/x.ts',
      source,
      mutants: ['Killed', 'Timeout', 'CompileError', 'NoCoverage'].map(mutant),
    },
  ]);
  expect(written).toContain('| **rules** | 3 | 2 | 1 | 66.7 % | 1 |');
  expect(written).toContain('- 1: `a < b` → `a <= b`: boundary');
});
