/**
 * What a finding shows besides its message: the places that it points to and what its fixes write, for every example
 * of every page. They stand in related.md, one section a rule; WITNESSMARK_UPDATE=1 writes them, then read them.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { Location } from '../../server/rebuild/index.ts';
import { rules } from '../../server/rules/index.ts';
import { checkExample, type Example, examplesOf, fixed } from '../harness/pages.ts';

const FILE = join(import.meta.dirname, 'related.md');
const HEAD = `# Related places and fixes

What the findings of the rules' pages show besides their message: the places that they point to, and what their fixes
take out and put in. Written by \`WITNESSMARK_UPDATE=1 npx vitest run tests/rules/related.test.ts\`, then read.
`;

/** The text that a place stands on, with its file. */
function shown({ path, block, start, end }: Location, example: Example): string {
  const text = example.find((file) => file.path === path)?.text;
  return text === undefined ? path : `${path} \`${text.slice(block.start + start, block.start + end)}\``;
}

/** The lines that differ: those that go, then those that come. */
function changed(before: Example, after: Example): string[] {
  return before.flatMap((file, i) => {
    const [old, now] = [file.text.split('\n'), (after[i]?.text ?? '').split('\n')];
    while (old.length > 0 && now.length > 0 && old[0] === now[0]) {
      old.shift();
      now.shift();
    }
    while (old.length > 0 && now.length > 0 && old.at(-1) === now.at(-1)) {
      old.pop();
      now.pop();
    }
    return [...old.map((line) => `    - ${line}`), ...now.map((line) => `    + ${line}`)];
  });
}

function sectionOf(id: string): string {
  const page = readFileSync(new URL(`../../server/rules/${id}.md`, import.meta.url), 'utf8');
  const lines = examplesOf(page).flatMap((example) =>
    [...checkExample(example).values()].flatMap((findings) =>
      findings
        .filter(({ rule }) => rule === id)
        .flatMap(({ at, related = [], fixes = [] }) =>
          related.length + fixes.length === 0
            ? []
            : [
                `- ${shown(at, example)}`,
                ...related.map((one) => `  - ${one.message}: ${shown(one.at, example)}`),
                ...fixes.flatMap((fix) => [
                  `  - Fix: ${fix.title}`,
                  ...changed(example, fixed(example, fix)),
                ]),
              ],
        ),
    ),
  );
  return lines.join('\n');
}

const sections = new Map(
  (existsSync(FILE) ? readFileSync(FILE, 'utf8') : '')
    .split('\n## ')
    .slice(1)
    .map((section) => {
      const [id = '', ...lines] = section.split('\n');
      return [id, lines.join('\n').trim()] as const;
    }),
);

if (process.env.WITNESSMARK_UPDATE === '1') {
  const written = rules.map(({ id }) => [id, sectionOf(id)] as const).filter(([, text]) => text !== '');
  writeFileSync(FILE, `${HEAD}\n${written.map(([id, text]) => `## ${id}\n\n${text}`).join('\n\n')}\n`);
}

test.each(rules.map(({ id }) => id))('%s: the places and fixes of its page', (id) => {
  if (process.env.WITNESSMARK_UPDATE !== '1') expect(sectionOf(id)).toBe(sections.get(id) ?? '');
});
