/**
 * The reference's examples run: they read without a fault and are canonical, or state their faults under carets; the
 * texts of marks are those of the example above them, and their digests the marks that stand there; the tables are
 * those of the language.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  type Block,
  clauseValue,
  format,
  parse,
  type SourceFile,
  statementKinds,
} from '../../grammar/index.ts';
import { markText } from '../../server/rebuild/index.ts';
import { languagePage, withTables } from '../harness/generate-language.ts';
import { faultTexts } from './summary.ts';

const page = readFileSync(languagePage, 'utf8');
const fences = [...page.matchAll(/^```(\S+)( faults)?\n(.*?)^```$/gms)].map((match) => ({
  kind: match[1] ?? '',
  faulty: match[2] !== undefined,
  text: match[3] ?? '',
  line: page.slice(0, match.index).split('\n').length,
}));
const examples = fences.filter(({ kind, faulty }) => kind !== 'mark' && !faulty);
const faulty = fences.filter((fence) => fence.faulty);
/** The texts of marks, each with the example above and its number among those that follow it. */
const marks = fences.flatMap((fence, index) => {
  if (fence.kind !== 'mark') return [];
  const at = fences.slice(0, index).findLastIndex(({ kind }) => kind !== 'mark');
  return [{ ...fence, above: fences[at]!, number: index - at - 1 }];
});

test('every fence of the page is an example that runs', () => {
  expect(page.split('\n').filter((line) => line.startsWith('```'))).toHaveLength(2 * fences.length);
  for (const { kind } of fences) expect(['rebuild', 'limits', 'bench', 'mark']).toContain(kind);
  for (const some of [examples, faulty, marks]) expect(some.length).toBeGreaterThan(0);
});

describe.each(examples)('$kind example at line $line', ({ kind, text }) => {
  const file = parse(text);

  test('reads without a fault', () => {
    expect(file.blocks.flatMap(faultTexts)).toEqual([]);
    expect(file.blocks.filter(({ statement }) => statement?.broken)).toEqual([]);
  });

  test('opens as its kind of file does', () => {
    expect(file.blocks[0]?.statement?.kind).toBe(kind === 'rebuild' ? 'log' : kind);
  });

  test('is canonical', () => {
    expect(format(file)).toBe(text);
  });
});

const carets = /^ *\^+ \S+: .*$/;

/** Faults of a statement of one line, under the line. */
function caretLines({ text, faults }: Block): string[] {
  const [line = '', ...below] = text.replace(/\n$/, '').split('\n');
  const told = faults.map(
    ({ start, end, rule, message }) => `${' '.repeat(start)}${'^'.repeat(end - start)} ${rule}: ${message}`,
  );
  return [line, ...told, ...below];
}

function withCarets(file: SourceFile): string {
  return file.blocks.flatMap(caretLines).join('\n');
}

test.each(faulty)('the faults of the example at line $line are those under its carets', ({ text }) => {
  const lines = text.trimEnd().split('\n');
  const file = parse(lines.filter((line) => !carets.test(line)).join('\n'));
  expect(withCarets(file)).toBe(lines.join('\n'));
  expect(format(file).trimEnd()).toBe(file.text);
});

test.each(marks)(
  'the text of a mark at line $line is that of the example above',
  ({ text, above, number }) => {
    const { blocks } = parse(above.text);
    const marked = blocks.filter(
      ({ statement }) => statement?.kind === 'sign' || statement?.kind === 'release',
    );
    const covered =
      marked.length === 0
        ? blocks
        : blocks.slice(
            number === 0 ? 0 : blocks.indexOf(marked[number - 1]!) + 1,
            blocks.indexOf(marked[number]!) + 1,
          );
    const before = number === 0 ? undefined : clauseValue(marked[number - 1]!.statement!, 'mark')!.text;
    expect(markText(covered, before)).toBe(text);
  },
);

test.each(marks)(
  'the digest of the text at line $line is the mark that stands there',
  ({ text, above, number, line }) => {
    // node:crypto is another implementation than the one that ships.
    const digest = createHash('sha256').update(text, 'utf8').digest('hex');
    const signatures = parse(above.text).blocks.flatMap(({ statement }) =>
      statement?.kind === 'sign' || statement?.kind === 'release'
        ? [clauseValue(statement, 'mark')!.text]
        : [],
    );
    const textAbove = page.split('\n', above.line - 1).join('\n');
    const prose = /digest begins with `([0-9a-f]{16})`:\n$/.exec(textAbove)?.[1];
    expect([line, digest.slice(0, 16)]).toEqual([line, signatures[number] ?? prose]);
  },
);

test('the examples show every statement', () => {
  const shown = new Set(
    examples.flatMap(({ text }) => parse(text).blocks.map(({ statement }) => statement?.kind)),
  );
  expect(statementKinds.filter((kind) => !shown.has(kind))).toEqual([]);
});

test('the tables are up to date (node tests/harness/generate-language.ts)', () => {
  expect(withTables(page)).toBe(page);
});
