/** The source frame of a finding: what a terminal shows of a line, and where the carets stand. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { frameOf, harmless } from '../../server/cli/formats/frame.ts';

const loneSurrogate = /\p{Cs}/u;

/** The frame of the first stretch that reads `wanted`, as two lines. */
function framed(line: string, wanted: string): string {
  const from = line.indexOf(wanted);
  const { text, indent, length } = frameOf(line, from, from + wanted.length);
  return `${text}\n${indent}${'^'.repeat(length)}`;
}

// Widths: Unicode Standard Annex 11 (wide and fullwidth two columns); a mark that combines takes none.
test.each([
  ['plain', 'measure bore = 67.564 mm', '67.564 mm', 'measure bore = 67.564 mm\n               ^^^^^^^^^'],
  ['a tab is one blank', '\tmeasure bore = 3 mm', '3 mm', ' measure bore = 3 mm\n                ^^^^'],
  ['wide characters before', 'note 部品 3 mm', '3 mm', 'note 部品 3 mm\n          ^^^^'],
  ['wide characters under', 'note 部品 x', '部品', 'note 部品 x\n     ^^^^'],
  ['combining marks before', 'note Ko\u0308lben 3', '3', 'note Ko\u0308lben 3\n            ^'],
  ['an emoji of several code points', 'note 👩‍🔧 3', '3', 'note 👩‍🔧 3\n        ^'],
  ['units with their own signs', 'torque a to 24 N·m', '24 N·m', 'torque a to 24 N·m\n            ^^^^^^'],
])('%s', (_, line, wanted, expected) => expect(framed(line, wanted)).toBe(expected));

test('an empty stretch still has a caret, also at the end of the line and in an empty line', () => {
  expect(frameOf('torque a to', 11, 11)).toEqual({ text: 'torque a to', indent: ' '.repeat(11), length: 1 });
  expect(frameOf('', 0, 0)).toEqual({ text: '', indent: '', length: 1 });
});

test('a stretch that begins inside a character is shown under the whole of it', () => {
  expect(frameOf('部 x', 0, 1)).toMatchObject({ indent: '', length: 2 });
  expect(frameOf('👍 x', 1, 2)).toMatchObject({ indent: '', length: 2 });
});

test('a long line is cut around the stretch', () => {
  const long = `note ${'a '.repeat(100)}67.564 mm ${'b '.repeat(100)}`;
  const { text, indent, length } = frameOf(long, long.indexOf('67'), long.indexOf('67') + 9);
  expect(text.startsWith('… ') && text.endsWith(' …')).toBe(true);
  expect(text.slice(indent.length, indent.length + length)).toBe('67.564 mm');
});

test('a stretch near the start leaves the start of a long line in place', () => {
  const long = `measure bore = 3 mm ${'b '.repeat(100)}`;
  expect(frameOf(long, 15, 19).text).toMatch(/^measure bore = 3 mm .* …$/);
});

test('what would steer a terminal is shown, not sent', () => {
  expect(harmless('a\u001b[2Jb\rc\u007f\u009b')).toBe('a␛[2Jb␍c␡�');
  expect(framed('note \u001b[31m x', 'x')).toBe('note ␛[31m x\n           ^');
});

test('any line and stretch: carets stay under the line, and no half character is shown', () => {
  const anyLine = fc.string({ unit: 'binary', maxLength: 300 }).map((line) => line.replace(/[\r\n]/g, ' '));
  fc.assert(
    fc.property(
      anyLine,
      fc.integer({ min: -3, max: 320 }),
      fc.integer({ min: -3, max: 320 }),
      (line, a, b) => {
        const { text, indent, length } = frameOf(line, a, b);
        expect(length).toBeGreaterThan(0);
        expect(indent.length + length).toBeLessThanOrEqual(104);
        if (!loneSurrogate.test(line)) expect(text).not.toMatch(loneSurrogate);
        expect(harmless(text)).toBe(text);
      },
    ),
  );
});
