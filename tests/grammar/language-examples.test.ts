/** The reference's examples read without a fault and are canonical; its table is that of the language. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { format, parse, statementKinds } from '../../grammar/index.ts';
import { languagePage, withTable } from '../harness/generate-language.ts';
import { faultTexts } from './summary.ts';

const page = readFileSync(languagePage, 'utf8');
const examples = [...page.matchAll(/^```(rebuild|limits|bench)\n(.*?)^```$/gms)].map((match) => ({
  kind: match[1]!,
  text: match[2]!,
  line: page.slice(0, match.index).split('\n').length,
}));

test('every fence of the page is an example that runs', () => {
  const fences = page.split('\n').filter((line) => line.startsWith('```'));
  expect(examples.length).toBeGreaterThan(0);
  expect(fences).toHaveLength(2 * examples.length);
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

test('the examples show every statement', () => {
  const shown = new Set(
    examples.flatMap(({ text }) => parse(text).blocks.map(({ statement }) => statement?.kind)),
  );
  expect(statementKinds.filter((kind) => !shown.has(kind))).toEqual([]);
});

test('the table of statements is up to date (node tests/harness/generate-language.ts)', () => {
  expect(withTable(page)).toBe(page);
});
