/** The README's table of findings is that of the rules; its first log gives the findings that it shows. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { rules } from '../../server/rules/index.ts';
import { checkExample, placeOf } from '../harness/pages.ts';
import { findingsTable, readme, withFindings } from '../harness/readme-rules.ts';

const page = readFileSync(readme, 'utf8');

test('the table is up to date: if not, node tests/harness/readme-rules.ts', () => {
  expect(withFindings(page)).toBe(page);
});

test('the table has a row for every rule', () => {
  const rows = findingsTable().split('\n').slice(2);
  expect(rows.map((row) => /^\| `([a-z-]+)` \| [a-z-]+ \| .+ \|$/.exec(row)?.[1])).toEqual(
    rules.map((rule) => rule.id),
  );
});

test('a table of other rules is not taken for up to date', () => {
  expect(withFindings(page, findingsTable(rules.slice(1)))).not.toBe(page);
});

test('a page without its markers, or with them twice, is refused', () => {
  expect(() => withFindings('# Nothing here')).toThrow('markers');
  expect(() => withFindings(page + page)).toThrow('markers');
});

test('the first log gives the findings that stand under it', () => {
  const section = page.split('## A log of your own')[1]!.split('\n## ')[0]!;
  const [log, , shown] = [...section.matchAll(/^```\n(.*?)^```$|`npx (witnessmark check \S+)`/gms)];
  const path = 'pump.rebuild';
  const text = log![1]!;
  const file = { path, from: 0, to: 0, text };
  const findings = checkExample([file])
    .get(path)!
    .map((finding) => ({ finding, ...placeOf(finding, file) }));
  const lines = findings
    .sort((a, b) => a.line - b.line || a.start - b.start)
    .map(
      ({ finding, line, start }) =>
        `${path}:${line + 1}:${start + 1} ${finding.severity}[${finding.rule}] ${finding.message}\n`,
    );
  expect(lines.length).toBeGreaterThan(0);
  expect(shown![1]).toBe(lines.join(''));
});
