/** A line of a file as a terminal shows it, and where the carets go under the stretch that a finding is about. */
import { eastAsianWidth } from 'get-east-asian-width';

export interface Frame {
  readonly text: string;
  /** Blanks before the first caret. */
  readonly indent: string;
  /** How many carets: at least one. */
  readonly length: number;
}

/** How many columns of a line are shown, the marks of a cut aside. */
const WIDTH = 100;
/** How many columns before the stretch stay when the start of a line is cut off. */
const BEFORE = 20;

/** Tabs and what prints of Latin-1, which has `·`, `µ`, `°` and `±`: one column each. */
const plain = /^[\t -~\u00a1-\u00ac\u00ae-\u00ff]*$/;

let segmenter: Intl.Segmenter | undefined;

interface Shown {
  readonly text: string;
  readonly columns: number;
  /** Where it begins in the line, in UTF-16 units. */
  readonly start: number;
}

/**
 * The frame of a line without its line break; `from` and `to` are UTF-16 offsets in it, brought inside the line when
 * they are not. A long line is cut around the stretch, never inside a character.
 */
export function frameOf(line: string, from: number, to: number): Frame {
  const first = Math.min(Math.max(from, 0), line.length);
  const end = Math.max(first, Math.min(to, line.length));
  if (line.length <= WIDTH && plain.test(line))
    return {
      text: line.replaceAll('\t', ' '),
      indent: ' '.repeat(first),
      length: Math.max(1, end - first),
    };
  const characters = shownCharacters(line);
  const before: number[] = [0];
  for (const { columns } of characters) before.push((before.at(-1) ?? 0) + columns);
  const columnOf = (index: number) => before[index] ?? 0;

  // The characters that the stretch touches.
  const firstIndex = indexAt(characters, first);
  const endIndex = end === first ? firstIndex : indexAt(characters, end - 1) + 1;

  const total = columnOf(characters.length);
  let cut = 0;
  // From the start of the line when the stretch ends in the first columns; else a little before the stretch.
  if (total > WIDTH && columnOf(endIndex) > WIDTH)
    while (columnOf(cut) < columnOf(firstIndex) - BEFORE) cut++;
  let last = cut;
  while (last < characters.length && columnOf(last + 1) - columnOf(cut) <= WIDTH) last++;

  const mark = cut > 0 ? '… ' : '';
  const text = characters
    .slice(cut, last)
    .map((one) => one.text)
    .join('');
  return {
    text: `${mark}${text}${last < characters.length ? ' …' : ''}`,
    indent: ' '.repeat(mark.length + columnOf(firstIndex) - columnOf(cut)),
    length: Math.max(1, columnOf(Math.min(endIndex, last)) - columnOf(firstIndex)),
  };
}

/** Text without what would steer a terminal: control characters stand as their pictures, a tab as a blank. */
export function harmless(text: string): string {
  return plain.test(text) && !text.includes('\t')
    ? text
    : text.replace(/[\p{Cc}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, picture);
}

function picture(control: string): string {
  const code = control.charCodeAt(0);
  if (code === 9) return ' ';
  if (code < 32) return String.fromCharCode(0x2400 + code);
  return code === 127 ? '␡' : '�';
}

function shownCharacters(line: string): readonly Shown[] {
  if (plain.test(line))
    return Array.from(line, (one, start) => ({ text: one === '\t' ? ' ' : one, columns: 1, start }));
  segmenter ??= new Intl.Segmenter();
  return Array.from(segmenter.segment(line), ({ segment, index }) => ({
    text: harmless(segment),
    columns: columnsOf(segment),
    start: index,
  }));
}

/** How many columns a character as a reader sees it takes: marks that combine add none, wide ones take two. */
function columnsOf(segment: string): number {
  if (/^[\p{M}\p{Cf}]+$/u.test(segment) && harmless(segment) === segment) return 0;
  if (segment.includes('\ufe0f')) return 2;
  return eastAsianWidth(segment.codePointAt(0) ?? 0);
}

/** The last character that begins at or before an offset; one past the last at the end of the line. */
function indexAt(characters: readonly Shown[], offset: number): number {
  const next = characters.findIndex(({ start }) => start > offset);
  const last = characters.at(-1);
  if (next >= 0) return Math.max(0, next - 1);
  if (last === undefined) return 0;
  return offset < last.start + Math.max(1, last.text.length) ? characters.length - 1 : characters.length;
}
