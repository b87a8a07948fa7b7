/** An edit parsed on top of the tree before it gives the same tree as a fresh parse, and leaves other blocks alone. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { changeBetween, parse, type SourceFile } from '../../grammar/index.ts';
import { lines } from './lines.ts';

const breaks = ['\n', '\r\n', '\r', '\n\n', '\n\r', ''];
const pieces = [
  ...lines,
  ...breaks,
  '\uFEFF',
  '\u2028',
  '\u00a0',
  '...',
  '|',
  '#',
  '"',
  '[',
  ']',
  ' ',
  'é',
  'e\u0301',
  '😀',
  '\ud83d',
  '?',
];

const someText = fc
  .tuple(
    fc.constantFrom('', '\uFEFF'),
    fc.array(fc.tuple(fc.constantFrom(...lines), fc.constantFrom(...breaks)), { maxLength: 12 }),
  )
  .map(([mark, parts]) => mark + parts.flat().join(''));

const someInsertion = fc.array(fc.constantFrom(...pieces), { maxLength: 3 }).map((parts) => parts.join(''));

interface Edit {
  readonly at: number;
  readonly removed: number;
  readonly inserted: string;
  readonly told: boolean;
}
const someEdit = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  removed: fc.oneof(fc.constant(0), fc.nat({ max: 3 }), fc.nat({ max: 200 })),
  inserted: someInsertion,
  told: fc.boolean(),
});

function applyEdit(file: SourceFile, { at, removed, inserted, told }: Edit): SourceFile {
  const start = Math.round(at * file.text.length);
  const oldEnd = Math.min(file.text.length, start + removed);
  const text = file.text.slice(0, start) + inserted + file.text.slice(oldEnd);
  return parse(text, file, told ? { start, oldEnd, newEnd: start + inserted.length } : undefined);
}

const plain = (file: SourceFile): unknown => JSON.parse(JSON.stringify(file));

test('after any edits the tree equals that of a fresh parse', () => {
  fc.assert(
    fc.property(someText, fc.array(someEdit, { minLength: 1, maxLength: 6 }), (text, edits) => {
      let file = parse(text);
      for (const edit of edits) {
        file = applyEdit(file, edit);
        expect(plain(file)).toEqual(plain(parse(file.text)));
      }
    }),
    { numRuns: 800 },
  );
});

describe('blocks that an edit does not touch', () => {
  const text = lines.join('\n');

  test('are the same objects, wherever a letter is typed', () => {
    const before = parse(text);
    for (let line = 0; line < lines.length; line++) {
      const file = parse(text);
      const offset =
        lines.slice(0, line).join('\n').length + (line === 0 ? 0 : 1) + (lines[line]?.length ?? 0);
      const changed = `${text.slice(0, offset)}x${text.slice(offset)}`;
      const after = parse(changed, file, { start: offset, oldEnd: offset, newEnd: offset + 1 });
      const kept = after.blocks.filter((block) => file.blocks.includes(block)).length;
      expect([line, before.blocks.length - kept <= 2]).toEqual([line, true]);
    }
  });

  test('have their start and line brought up to date', () => {
    const file = parse('log "x"\nnote a\nnote b\nnote c\n');
    const last = file.blocks[3]!;
    const after = parse('log "x"\nnote a\nnote\nnote b\nnote c\n', file);
    expect(after.blocks[4]).toBe(last);
    expect([last.start, last.line]).toEqual([27, 4]);
    expect(after.blocks[0]).toBe(file.blocks[0]);
    expect(after.blocks[3]).toBe(file.blocks[2]);
  });

  test('the same text gives the same file', () => {
    const file = parse(text);
    expect(parse(text, file)).toBe(file);
  });

  test('a line that becomes a row belongs to the statement above', () => {
    const file = parse('measure bore in mm\nnote x\n');
    const after = parse('measure bore in mm\n| x |\n', file);
    expect(after.blocks.map((block) => block.text)).toEqual(['measure bore in mm\n| x |\n']);
    expect(after.blocks[0]?.statement?.rows.length).toBe(1);
  });

  test('a line break of two characters that is torn apart', () => {
    const file = parse('note a\r\nnote b\r\n');
    const torn = parse('note a\r\r\nnote b\r\n', file);
    expect(plain(torn)).toEqual(plain(parse('note a\r\r\nnote b\r\n')));
    const joined = parse('note a\r\nnote b\r\n', parse('note a\rnote b\r\n'));
    expect(joined.blocks.map((block) => block.lineBreaks)).toEqual([1, 1]);
  });
});

test('a change that does not fit the texts is found anew', () => {
  const file = parse('note a\nnote b\n');
  const after = parse('note a\nnote bb\n', file, { start: 0, oldEnd: 99, newEnd: 3 });
  expect(plain(after)).toEqual(plain(parse('note a\nnote bb\n')));
});

test('the change between two texts is the one stretch in which they differ', () => {
  expect(changeBetween('abcd', 'abxcd')).toEqual({ start: 2, oldEnd: 2, newEnd: 3 });
  expect(changeBetween('aa', 'aaa')).toEqual({ start: 2, oldEnd: 2, newEnd: 3 });
  expect(changeBetween('same', 'same')).toEqual({ start: 4, oldEnd: 4, newEnd: 4 });
  fc.assert(
    fc.property(someText, someText, (a, b) => {
      const { start, oldEnd, newEnd } = changeBetween(a, b);
      expect(a.slice(0, start) + b.slice(start, newEnd) + a.slice(oldEnd)).toBe(b);
    }),
  );
});
