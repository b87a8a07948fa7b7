/** The text of a mark: one spelling of what a statement says, the same for every layout, another for every other fact. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalStatement, format, parse, statementKinds } from '../../grammar/index.ts';
import { anyFile, statementOf } from '../harness/arbitraries.ts';
import { lines } from './lines.ts';

const canonical = (text: string) =>
  parse(text)
    .blocks.map(canonicalStatement)
    .filter((one) => one !== undefined);

describe('the text of one statement', () => {
  test.each([
    ['blanks and comments are gone', '  remove  bore[front]   # why', 'remove bore[front]'],
    ['continuations are joined', 'remove a\n ... by AQ\n   ... scrap', 'remove a scrap by AQ'],
    ['clauses have their order', 'remove a by AQ scrap', 'remove a scrap by AQ'],
    ['so have their words', 'person A "x" inspector builder', 'person A "x" builder inspector'],
    ['lists have their separators', 'step "x" ? by AQ JM', 'step "x" ? by AQ, JM'],
    ['units have one spelling', 'torque a to 24N.m', 'torque a to 24 N·m'],
    ['numbers their plain form, digit for digit', 'limit a −0.50..1⅜ in', 'limit a -0.50..1-3/8 in'],
    ['names are in normalization form C', 'open e\u0301te\u0301 "x"', 'open été "x"'],
    ['quotes are plain', 'log “a "b"”', 'log "a \\"b\\""'],
    ['an escape that is none is one of a backslash', 'use "a\\b"', 'use "a\\\\b"'],
    ['a thread is plain', 'fastener a M8×1.25 torque 2 N·m', 'fastener a M8x1.25 torque 2 N·m'],
    ['a date is followed by a blank', 'step "x" 2026-05-03T17:40Z', 'step "x" 2026-05-03 17:40Z'],
    [
      'a note keeps its text',
      'note  the 3/8"  one # so  \n  ...   and  more ',
      'note the 3/8"  one # so and  more',
    ],
    [
      'a table has a line for each row, and no rows of dashes',
      'measure a in mm # so\n  ||top |\n\n|---|---|\n# here\n  | x |5mm\n',
      'measure a in mm\n||top|\n|x|5 mm|',
    ],
    ['the mark of a signature is not part of it', 'sign A "x" ? mark 9f3c0d1e7a55b2c4', 'sign A "x" ?'],
    [
      'nor is that of a release',
      'release A "x" ? mark 9f3c0d1e7a55b2c4 hours 3 h',
      'release A "x" ? hours 3 h',
    ],
    ['what was pinned is', 'use "x" mark 9f3c0d1e7a55b2c4', 'use "x" mark 9f3c0d1e7a55b2c4'],
    ['a photo too', 'photo "x"   mark 9f3c0d1e7a55b2c4', 'photo "x" mark 9f3c0d1e7a55b2c4'],
    [
      'what does not parse is its lines, trimmed',
      '\t torque  a  to 24N.m wth T # so \r\n ...  by AQ\r\n\r\n# alone\r\n',
      'torque  a  to 24N.m wth T # so\n...  by AQ',
    ],
    ['a word that is not known too', ' mesure  x # 1\n |1 |\n', 'mesure  x # 1\n|1 |'],
  ])('%s', (_, text, expected) => expect(canonical(text)).toEqual([expected]));

  test('a block without a statement has none', () => {
    expect(parse('# only a comment\n').blocks.map(canonicalStatement)).toEqual([undefined]);
  });
});

test.each(lines.filter((line) => /^\s*[\p{L}]/u.test(line)))(
  '%s: its canonical text says the same',
  (line) => {
    const [once = ''] = canonical(line);
    expect(canonical(once)).toEqual([once]);
  },
);

test('no layout touches it', () => {
  fc.assert(
    fc.property(anyFile, ({ tidy, untidy }) => {
      expect(canonical(untidy)).toEqual(canonical(tidy));
      expect(canonical(format(parse(untidy)))).toEqual(canonical(untidy));
    }),
    { numRuns: 600 },
  );
});

test('it can be read again, and gives itself', () => {
  fc.assert(
    fc.property(fc.constantFrom(...statementKinds).chain(statementOf), ({ lines: own, rows }) => {
      const [once = ''] = canonical([...own, ...rows].map(({ untidy }) => untidy).join('\n'));
      expect(canonical(once)).toEqual([once]);
    }),
    { numRuns: 1000 },
  );
});

describe('every fact counts', () => {
  const wordCounts = (text: string, keyword: string) => {
    const before = canonical(text);
    for (const match of text.matchAll(/[\p{L}\p{N}]+/gu)) {
      if (match[0] === keyword) continue;
      const changed = `${text.slice(0, match.index)}${match[0]}7${text.slice(match.index + match[0].length)}`;
      expect([changed, canonical(changed)]).not.toEqual([changed, before]);
    }
  };
  const plain = lines.filter((line) => /^\s*\p{L}/u.test(line) && !/ mark |#/.test(line));
  test.each(plain)('a changed word of %s changes it', (line) =>
    wordCounts(line, line.trim().split(' ')[0] ?? ''),
  );

  test.each([
    ['remove a[1 2]', 'remove a[2 1]'],
    ['torque a[1..3] to 2 N·m', 'torque a[1 2 3] to 2 N·m'],
    ['measure a = 24 mm', 'measure a = 24.0 mm'],
    ['measure a = 24 mm', 'measure a = 24 mm # 25 mm\n... as found'],
    ['limit x = (a - b) - c 1 mm', 'limit x = a - (b - c) 1 mm'],
    ['limit a "165" "168"', 'limit a "165 168"'],
    ['fit a grade 2', 'fit a grade "2"'],
    ['measure a\n|1|2|', 'measure a\n|1|\n|2|'],
    ['measure a\n|1||', 'measure a\n||1|'],
    ['measure a\n|"1|2"|', 'measure a\n|"1"|"2"|'],
    ['step "x" 2026-05-03 17:40', 'step "x" 2026-05-03 17:40Z'],
    ['inspect pins pass', 'inspect "pins" pass'],
    ['note a b', 'note a  b'],
  ])('%j is not %j', (one, other) => expect(canonical(one)).not.toEqual(canonical(other)));
});
