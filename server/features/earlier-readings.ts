/** What was read of a thing in earlier logs of the same machine: beside its limit in a hover. */
import { convert, formatNumber, withUnit } from '../quantities/index.ts';
import {
  type Entry,
  fileName,
  type Instance,
  machineHours,
  type Reading,
  type Rebuild,
  readingValue,
  takenAs,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';
import type { CheckedFile } from './checked.ts';
import { escapeMarkdown } from './descriptions.ts';
import type { Files } from './files.ts';

/** Logs and members that are listed; the rest is a question for the trend. */
const MOST_LOGS = 4;
const MOST_MEMBERS = 4;

/** The logs of a workspace whose machine has the name and the serial of this log's, this one left out. */
export function logsOfSameMachine(files: Files, { path, rebuild }: CheckedFile): readonly string[] {
  const { machine } = rebuild.scope;
  if (machine?.serial === undefined) return [];
  return files.paths().filter((one) => {
    if (one === path) return false;
    const declarations = files.reach(one)[0];
    return (
      declarations?.kind === 'rebuild' &&
      declarations.declarations.some(
        (other) => other.kind === 'machine' && other.name === machine.name && other.serial === machine.serial,
      )
    );
  });
}

/** `2026-05-02` of the entry, or of its step. */
const dayOf = (entry: Entry | undefined): string | undefined =>
  entry?.moment?.date ?? entry?.step?.moment?.date;

/** When a log began: by its machine's hours, else by its first day. */
function beginning(rebuild: Rebuild): { readonly hours: number | undefined; readonly day: string } {
  const first = rebuild.entries.find((entry) => dayOf(entry) !== undefined);
  return { hours: machineHours({ ...rebuild, runs: [] }), day: dayOf(first) ?? '' };
}

/** Whether a log is of an earlier time; where neither hours nor days tell, it is not. */
function isBefore(one: Rebuild, other: Rebuild): boolean {
  const [a, b] = [beginning(one), beginning(other)];
  if (a.hours !== undefined && b.hours !== undefined && a.hours !== b.hours) return a.hours < b.hours;
  return a.day !== '' && a.day < b.day;
}

/**
 * One line of Markdown a log and member, the newest log first; undefined where no earlier log has a reading. `item`
 * picks one member.
 */
export function earlierReadings(
  { rebuild }: CheckedFile,
  name: string,
  item: string | undefined,
  logs: readonly CheckedFile[],
): string | undefined {
  const earlier = logs
    .filter((log) => isBefore(log.rebuild, rebuild))
    .sort((a, b) => (isBefore(a.rebuild, b.rebuild) ? 1 : -1));
  const lines: string[] = [];
  let listed = 0;
  for (const log of earlier) {
    const own = membersRead(log, name, item);
    if (own.length === 0) continue;
    if (++listed > MOST_LOGS) break;
    lines.push(...own.slice(0, MOST_MEMBERS).map((line) => `- ${line}`));
    if (own.length > MOST_MEMBERS) lines.push(`- … and ${own.length - MOST_MEMBERS} more members`);
  }
  return lines.length === 0 ? undefined : `Earlier logs of this machine:\n\n${lines.join('\n')}`;
}

function membersRead(log: CheckedFile, name: string, item: string | undefined): readonly string[] {
  const characteristic = log.rebuild.characteristics.find((one) => one.name === name);
  const instances = characteristic?.instances.filter((one) => item === undefined || one.item === item) ?? [];
  return instances.flatMap((instance) => {
    const found = instance.readings.map((one) => one.reading).filter((one) => takenAs(one.entry) === 'found');
    const [before, after] = [valuesOf(found), valuesOf(instance.standing) ?? workedValue(instance)?.text];
    const said = [before === undefined ? undefined : `found ${before}`, after].filter(
      (one) => one !== undefined,
    );
    if (said.length === 0) return [];
    const member = item === undefined && instances.length > 1 ? `${writeTarget(name, instance.item)}: ` : '';
    return [`${whenRead(log, instance, found)}: ${member}${said.join(', then ')}`];
  });
}

/** `2026-05-02 · 312.4 h`, of the last reading; the log's own time for what was worked out. */
function whenRead({ rebuild, path }: CheckedFile, instance: Instance, found: readonly Reading[]): string {
  const entry = (instance.standing.at(-1) ?? found.at(-1))?.entry;
  const hours = machineHours(rebuild, entry);
  const day = dayOf(entry) ?? dayOf(rebuild.entries.findLast((one) => dayOf(one) !== undefined));
  const file = fileName(path);
  return [day, hours === undefined ? undefined : withUnit(hoursText(hours), 'h'), escapeMarkdown(file)]
    .filter((one) => one !== undefined)
    .join(' · ');
}

const hoursText = (hours: number): string => String(Number(hours.toFixed(1)));

/** `67.518 mm`, `67.510..67.518 mm at 6 places`; words as they were written. */
function valuesOf(readings: readonly Reading[]): string | undefined {
  const words = [...new Set(readings.map((one) => one.word).filter((word) => word !== undefined))];
  if (words.length > 0) return words.map((word) => `"${escapeMarkdown(word)}"`).join(', ');
  const values = readings.map(readingValue).filter((value) => value !== undefined);
  const [first] = values;
  if (first === undefined) return undefined;
  if (values.length === 1) return first.text;
  const { unit } = first;
  const ends = values
    .flatMap((value) =>
      [value.low, value.high].map((end) => (end === undefined ? end : convert(end, value.unit, unit))),
    )
    .filter((end) => end !== undefined);
  const decimals = Math.max(...values.map((value) => value.decimals));
  const [low, high] = [Math.min(...ends), Math.max(...ends)].map((end) => formatNumber(end, decimals));
  const range = low === high ? `${low}` : `${low}..${high}`;
  return `${withUnit(range, unit)} (${values.length} readings)`;
}
