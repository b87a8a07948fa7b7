/** The snippets: each line they write begins with a statement that may stand in that kind of file. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { statementSpec } from '../../grammar/statements.ts';

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

    test('each has a prefix of its own', () => {
      const prefixes = snippets.map(([, { prefix }]) => prefix);
      expect(prefixes.toSorted()).toEqual([...new Set(prefixes)].toSorted());
    });

    test.each(snippets)('%s', (_, snippet) => {
      const lines = textOf(snippet).split('\n');
      expect(textOf(snippet)).not.toMatch(/[${}]/);
      for (const line of lines) {
        const first = /^\s*(\S*)/.exec(line)?.[1] ?? '';
        if (['', '|', '...'].includes(first)) continue;
        const statement = statementSpec(first);
        expect([first, statement?.keyword]).toEqual([first, first]);
        const allowed =
          kind === 'log'
            ? ['opening', 'declaration', 'step', 'entry', 'closing']
            : ['opening', 'declaration'];
        expect(allowed).toContain(statement?.place);
        if (statement?.place === 'opening') expect(first).toBe(kind);
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
