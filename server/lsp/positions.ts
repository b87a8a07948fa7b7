/**
 * Offsets to the positions of the editor and back: lines from 0, and characters in the units that the two agreed on.
 *
 * An offset counts UTF-16 units. Editors that count bytes (UTF-8) or letters (UTF-32) are asked at the start.
 */
import { type ClientCapabilities, type Position, PositionEncodingKind } from 'vscode-languageserver';
import { offsetAt, positionAt, type SourceFile } from '../../grammar/index.ts';

/** How many units of the encoding one code point takes. */
const units: Readonly<Record<PositionEncodingKind, (codePoint: number) => number>> = {
  [PositionEncodingKind.UTF8]: (code) => (code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4),
  [PositionEncodingKind.UTF16]: (code) => (code < 0x10000 ? 1 : 2),
  [PositionEncodingKind.UTF32]: () => 1,
};

/** The first encoding that the editor prefers and the server knows; UTF-16, which every editor knows, without one. */
export function encodingFor(client: ClientCapabilities): PositionEncodingKind {
  const wanted = client.general?.positionEncodings ?? [];
  return wanted.find((one) => Object.hasOwn(units, one)) ?? PositionEncodingKind.UTF16;
}

/** How long a stretch of one line is in the encoding. */
export function lengthIn(encoding: PositionEncodingKind, text: string): number {
  const size = units[encoding];
  if (size === undefined || encoding === PositionEncodingKind.UTF16) return text.length;
  let length = 0;
  for (const letter of text) length += size(letter.codePointAt(0) ?? 0);
  return length;
}

/** Where an offset stands. */
export function positionOf(file: SourceFile, offset: number, encoding: PositionEncodingKind): Position {
  const { line, column } = positionAt(file, offset);
  if (encoding === PositionEncodingKind.UTF16) return { line, character: column };
  const at = Math.max(0, Math.min(offset, file.text.length));
  return { line, character: lengthIn(encoding, file.text.slice(at - column, at)) };
}

/** The offset of a position; past the end of a line it is that end, inside a letter the letter's start. */
export function offsetOf(
  file: SourceFile,
  { line, character }: Position,
  encoding: PositionEncodingKind,
): number {
  const size = units[encoding];
  if (size === undefined || encoding === PositionEncodingKind.UTF16) return offsetAt(file, line, character);
  const start = offsetAt(file, line, 0);
  const end = offsetAt(file, line, Number.POSITIVE_INFINITY);
  let at = start;
  let left = character;
  while (at < end) {
    const code = file.text.codePointAt(at) ?? 0;
    left -= size(code);
    if (left < 0) break;
    at += code < 0x10000 ? 1 : 2;
  }
  return at;
}
