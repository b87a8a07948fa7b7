/** Edits that write a new line into a log, for fixes that add what is missing. */
import { type Entry, type Fix, locate, type Reading, type Rebuild, writeTarget } from '../rebuild/index.ts';

/** An edit that writes a line of its own below an entry, at the entry's indent. */
export function lineBelow({ path, block, statement }: Entry, line: string): Fix['edits'][number] {
  const { text } = block;
  const lineBreak = text.indexOf('\n', statement.end);
  const end = lineBreak < 0 ? text.length : text[lineBreak - 1] === '\r' ? lineBreak - 1 : lineBreak;
  const indent = /^[ \t]*/.exec(text)?.[0] ?? '';
  const newLine = text.includes('\r\n') ? '\r\n' : '\n';
  return { ...locate(path, block, { start: end, end }), text: `${newLine}${indent}${line}` };
}

/** The last entry of the last step that has one: what is still to be written down goes below it. */
export function lastEntry({ entries }: Rebuild): Entry | undefined {
  return entries.findLast((entry) => entry.step !== undefined);
}

/** An edit that writes lines of their own above an entry, at the entry's indent. */
export function lineAbove({ path, block }: Entry, lines: readonly string[]): Fix['edits'][number] {
  const indent = /^[ \t]*/.exec(block.text)?.[0] ?? '';
  const newLine = block.text.includes('\r\n') ? '\r\n' : '\n';
  return {
    ...locate(path, block, { start: 0, end: 0 }),
    text: lines.map((line) => `${indent}${line}${newLine}`).join(''),
  };
}

/** A fix that asks for a reading again, with the reason why the one that stands is put aside. */
export function takeAgain(reading: Reading, because: string): Fix {
  const target = writeTarget(reading.name, reading.item, reading.place);
  const line = `measure ${target} = ? as corrected because "${because}"`;
  return { title: `Take ${target} again`, edits: [lineBelow(reading.entry, line)] };
}
