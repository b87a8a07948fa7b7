/** Every rule's page as a terminal without colours shows it. */
import { readdirSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';

const WIDTH = 88;

let pageText: (markdown: string, width: number) => string;
beforeAll(async () => {
  vi.stubEnv('NO_COLOR', '1');
  ({ pageText } = await import('../../server/cli/page-text.ts'));
});
afterAll(() => vi.unstubAllEnvs());

/** The words of a page apart from the heading's mark, fences and the names of files in them, marks of emphasis, lines of tables. */
const wordsOf = (text: string) =>
  text
    .replace(/^# /, '')
    .replace(/^```.*$|^ +\S+\.[a-z]+:$/gm, '')
    .replace(/^\|[-|]+\|$/gm, '')
    .replace(/[*"|]/g, ' ')
    .split(/\s+/)
    .filter((word) => word !== '');

test.each(readdirSync('server/rules').filter((name) => name.endsWith('.md')))(
  '%s: every word and every line of an example, no marks of Markdown, no colours',
  (name) => {
    const written = readFileSync(`server/rules/${name}`, 'utf8');
    const shown = pageText(written, WIDTH);
    expect(wordsOf(shown)).toEqual(wordsOf(written));
    expect(shown).not.toMatch(/^#|^ *```/m);
    expect(shown).not.toContain('\u001b');
    const lines = shown.trimEnd().split('\n');
    for (const line of lines) if (!line.startsWith('    ')) expect(line.length).toBeLessThanOrEqual(WIDTH);
    for (const line of written
      .split('```')
      .filter((_, i) => i % 2 === 1)
      .join('')
      .split('\n')
      .slice(1))
      if (/^ *(?:measure|torque|fit|limit|fastener|log) /.test(line)) expect(lines).toContain(`    ${line}`);
  },
);

test('carets stand under what they are about, with the message below them when it is long', () => {
  const page = '# a: b\n\n```rebuild\n  open R1 "x"\n       ^^ warning[open-item] R1 is open: x.\n```\n';
  expect(pageText(page, 80)).toBe(
    'a: b\n\n      open R1 "x"\n           ^^ warning[open-item] R1 is open: x.\n',
  );
  expect(pageText(page, 37)).toBe(
    'a: b\n\n      open R1 "x"\n           ^^\n    warning[open-item] R1 is open: x.\n',
  );
});

test('lists, strong words and links keep their words', () => {
  expect(
    pageText(
      'Say **which**, and see [the page](https://witnessmark.example/p):\n\n- one `two`\n- three\n',
      80,
    ),
  ).toBe('Say which, and see the page:\n\n  • one `two`\n  • three\n');
});

test('tables stand in columns, and the last goes on below itself', () => {
  const table = '| set | is |\n|---|---|\n| `guard` | how many of them a value keeps |\n| b | two |\n';
  expect(pageText(table, 35)).toBe(
    '  set      is\n  `guard`  how many of them a value\n           keeps\n  b        two\n',
  );
});
