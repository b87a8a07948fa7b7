/** Every rule's page is its test: the findings that it shows are the findings that the rule makes. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { rules, severities, worstOf } from '../../server/rules/index.ts';
import { checkExample, examplesOf, fixed, placeOf, rewritePage } from '../harness/pages.ts';

const FOLDER = new URL('../../server/rules/', import.meta.url);
const pageOf = (id: string) => new URL(`${id}.md`, FOLDER);
const update = process.env.WITNESSMARK_UPDATE === '1';

describe.each(rules.map((rule) => [rule.id, rule] as const))('%s', (id, rule) => {
  test('has a page that opens with its name and title', () => {
    expect(existsSync(pageOf(id)), `server/rules/${id}.md`).toBe(true);
    expect(readFileSync(pageOf(id), 'utf8').split('\n')[0]).toBe(`# ${id}: ${rule.title}`);
  });

  test('finds what its page shows, and nothing where the page shows nothing', () => {
    const page = readFileSync(pageOf(id), 'utf8');
    const rewritten = rewritePage(page, id);
    if (update && rewritten.page !== page) writeFileSync(pageOf(id), rewritten.page);
    else expect(rewritten.page).toBe(page);
    expect(rewritten.reporting, 'examples that report it').toBeGreaterThan(0);
    expect(rewritten.silent, 'examples that are silent').toBeGreaterThan(0);
  });

  test('fixes mend what they say they mend', () => {
    for (const example of examplesOf(readFileSync(pageOf(id), 'utf8'))) {
      for (const [path, findings] of checkExample(example)) {
        for (const finding of findings.filter((one) => one.rule === id)) {
          for (const fix of finding.fixes ?? []) {
            const mended = fixed(example, fix);
            const place = placeOf(finding, example.find((file) => file.path === path)!);
            const after = (checkExample(mended).get(path) ?? []).filter(
              (one) =>
                one.rule === id &&
                one.message === finding.message &&
                placeOf(one, mended.find((file) => file.path === path)!).line === place.line,
            );
            expect(after, `${fix.title} leaves: ${finding.message}`).toEqual([]);
          }
        }
      }
    }
  });
});

test('a fix in a text whose lines end CRLF ends its own so', () => {
  for (const { id } of rules)
    for (const example of examplesOf(readFileSync(pageOf(id), 'utf8'))) {
      const windows = example.map((file) => ({ ...file, text: file.text.replaceAll('\n', '\r\n') }));
      for (const { fixes = [] } of [...checkExample(windows).values()].flat())
        for (const fix of fixes)
          for (const { text } of fixed(windows, fix)) expect(text, fix.title).not.toMatch(/(?<!\r)\n/);
    }
});

test('every page belongs to a rule', () => {
  const pages = readdirSync(FOLDER).filter((name) => name.endsWith('.md'));
  expect(pages.map((name) => name.slice(0, -3)).sort()).toEqual(rules.map((rule) => rule.id).sort());
});

// What may be an error cannot be switched off, so none may be worse than its rule says.
test('no finding of any page is worse than its rule says that it may be', () => {
  const worst = new Map(rules.map((rule) => [rule.id, severities.indexOf(worstOf(rule))]));
  for (const { id } of rules)
    for (const example of examplesOf(readFileSync(pageOf(id), 'utf8')))
      for (const { rule, severity, message } of [...checkExample(example).values()].flat())
        expect(severities.indexOf(severity), message).toBeGreaterThanOrEqual(worst.get(rule)!);
});
