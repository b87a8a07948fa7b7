/** Edits that write a new line into a log, for fixes that add what is missing. */
import type { Block } from '../../grammar/index.ts';
import {
  type Entry,
  type Fix,
  lastInStep,
  lastMarkedStart,
  locate,
  type Reading,
  type Rebuild,
  writeTarget,
} from '../rebuild/index.ts';

/** How the lines of a block end. */
export function lineBreakOf({ text }: Block): string {
  return text.includes('\r\n') ? '\r\n' : '\n';
}

/** An edit that writes a line of its own below an entry, at the entry's indent. */
export function lineBelow({ path, block, statement }: Entry, line: string): Fix['edits'][number] {
  const { text } = block;
  const lineBreak = text.indexOf('\n', statement.end);
  const end = lineBreak < 0 ? text.length : text[lineBreak - 1] === '\r' ? lineBreak - 1 : lineBreak;
  const indent = /^[ \t]*/.exec(text)?.[0] ?? '';
  return { ...locate(path, block, { start: end, end }), text: `${lineBreakOf(block)}${indent}${line}` };
}

/**
 * The last entry of the last step that has one: what is still to be written down goes below it, and above the line that
 * ends the step. None where a mark stands over it: what was signed stays as it was signed.
 */
export function lastEntry(rebuild: Rebuild): Entry | undefined {
  const last = lastInStep(rebuild.entries);
  return last !== undefined && last.block.start > lastMarkedStart(rebuild) ? last : undefined;
}

/** An edit that writes lines of their own above an entry, at the entry's indent. */
export function lineAbove({ path, block }: Entry, lines: readonly string[]): Fix['edits'][number] {
  const indent = /^[ \t]*/.exec(block.text)?.[0] ?? '';
  return {
    ...locate(path, block, { start: 0, end: 0 }),
    text: lines.map((line) => `${indent}${line}${lineBreakOf(block)}`).join(''),
  };
}

/** A fix that asks for a reading again, with the reason why the one that stands is put aside. */
export function takeAgain(reading: Reading, because: string): Fix {
  const target = writeTarget(reading.name, reading.item, reading.place);
  const line = `measure ${target} = ? as corrected because "${because}"`;
  return { title: `Take ${target} again`, edits: [lineBelow(reading.entry, line)] };
}
