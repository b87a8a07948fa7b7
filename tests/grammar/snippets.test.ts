/** The snippets: what they write parses, and may stand in that kind of file. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse, statementSpec } from '../../grammar/index.ts';

interface Snippet {
  readonly prefix: string;
  readonly description: string;
  readonly body: string | readonly string[];
}

const folder = resolve(import.meta.dirname, '../../grammar/editor/snippets');
const read = (kind: string): Record<string, Snippet> =>
  JSON.parse(readFileSync(resolve(folder, `${kind}.json`), 'utf8'));

/** What is inserted when every placeholder is left as it is and the clock stands at 2026-05-03 17:40. */
function textOf({ body }: Snippet): string {
  const clock = { YEAR: '2026', MONTH: '05', DATE: '03', HOUR: '17', MINUTE: '40' };
  return (typeof body === 'string' ? body : body.join('\n'))
    .replace(/\$CURRENT_(YEAR|MONTH|DATE|HOUR|MINUTE)/g, (_, part: keyof typeof clock) => clock[part])
    .replace(/\$\{\d+\|([^,|]*)[^}]*\}/g, '$1')
    .replace(/\$\{\d+:([^}]*)\}/g, '$1')
    .replace(/\$0/g, '');
}

for (const kind of ['log', 'limits', 'bench']) {
  describe(`snippets of a ${kind}`, () => {
    const snippets = Object.entries(read(kind));
    const allowed = ['opening', 'declaration', ...(kind === 'log' ? ['step', 'entry', 'closing'] : [])];

    test('each has a prefix of its own', () => {
      const prefixes = snippets.map(([, { prefix }]) => prefix);
      expect(prefixes.toSorted()).toEqual([...new Set(prefixes)].toSorted());
    });

    test.each(snippets)('%s', (_, snippet) => {
      const text = textOf(snippet);
      expect(text).not.toMatch(/[${}]/);
      const { blocks } = parse(text);
      expect(blocks.flatMap((block) => block.faults.map(({ message }) => message))).toEqual([]);
      const written = blocks.flatMap(({ statement }) => statement?.kind ?? []);
      expect(written.length).toBeGreaterThan(0);
      for (const keyword of written) {
        const place = statementSpec(keyword)?.place;
        expect([keyword, place]).toEqual([keyword, expect.toBeOneOf(allowed)]);
        if (place === 'opening') expect(keyword).toBe(kind);
      }
    });
  });
}

test('the seven words of a first log have each a snippet', () => {
  const prefixes = Object.values(read('log')).map(({ prefix }) => prefix);
  expect(prefixes).toEqual(
    expect.arrayContaining(['log', 'use', 'machine', 'step', 'measure', 'torque', 'note']),
  );
});
