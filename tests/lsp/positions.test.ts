/** Positions in every encoding that an editor may ask for: emoji, letters with marks, both kinds of line break. */
import { describe, expect, test } from 'vitest';
import { parse } from '../../grammar/index.ts';
import { encodingFor, lengthIn, offsetOf, positionOf } from '../../server/lsp/positions.ts';

const text = 'log "Tern 🔧 460"\r\n# µ\u0308 ümlaut\r\n\r\nstep "🔩🔩 Ω" ?\n  note 日本 x\n';
const file = parse(text);
const encodings = ['utf-8', 'utf-16', 'utf-32'] as const;

/** What the encoding itself counts, from the start of the line: Node's own encoders are the oracle. */
function counted(encoding: (typeof encodings)[number], before: string): number {
  if (encoding === 'utf-8') return Buffer.byteLength(before, 'utf8');
  if (encoding === 'utf-16') return Buffer.byteLength(before, 'utf16le') / 2;
  return [...before].length;
}

describe.each(encodings)('%s', (encoding) => {
  test('every offset but those inside a letter goes there and comes back', () => {
    for (let offset = 0; offset <= text.length; offset++) {
      const cuts =
        /[\ud800-\udbff]/.test(text[offset - 1] ?? '') || text.slice(offset - 1, offset + 1) === '\r\n';
      if (cuts) continue;
      const before = text.slice(0, offset);
      const lines = before.split(/\r\n|\n/);
      const position = { line: lines.length - 1, character: counted(encoding, lines.at(-1)!) };
      expect(positionOf(file, offset, encoding)).toEqual(position);
      expect(offsetOf(file, position, encoding)).toBe(offset);
    }
  });

  test('past the end of a line is that end, past the last line the end of the file', () => {
    expect(offsetOf(file, { line: 0, character: 999 }, encoding)).toBe(text.indexOf('\r\n'));
    expect(offsetOf(file, { line: 99, character: 0 }, encoding)).toBe(text.length);
  });

  test('a position that no protocol allows is one of whole letters all the same', () => {
    for (const character of [2.5, -1, Number.NaN])
      expect(Number.isInteger(offsetOf(file, { line: 3, character }, encoding))).toBe(true);
  });

  test('the length of a token', () => {
    expect(lengthIn(encoding, '"🔩🔩 Ω"')).toBe(counted(encoding, '"🔩🔩 Ω"'));
  });
});

test('a position inside a letter is its start', () => {
  const at = text.indexOf('🔧');
  const line = text.slice(0, at);
  for (const within of [1, 2, 3])
    expect(offsetOf(file, { line: 0, character: Buffer.byteLength(line) + within }, 'utf-8')).toBe(at);
});

test('the encoding is the first that the editor prefers and the server knows', () => {
  expect(encodingFor({})).toBe('utf-16');
  expect(encodingFor({ general: { positionEncodings: ['utf-8', 'utf-16'] } })).toBe('utf-8');
  expect(encodingFor({ general: { positionEncodings: ['utf-7', 'utf-32'] } })).toBe('utf-32');
});
