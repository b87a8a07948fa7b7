/** What comes due on the machines that logs speak of, and when: lives, later torques, calibrations, concessions. */
import { clauseValue } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity, quantityOf } from '../quantities/index.ts';
import {
  type CarriedConcession,
  concessionsIn,
  daysBetween,
  dealtWithIn,
  type Entry,
  hoursAtEnd,
  type Life,
  type Location,
  listItems,
  livesOf,
  machineHours,
  type Rebuild,
  spanInWords,
  stillWaiting,
  waitingTorque,
  writeMembers,
} from '../rebuild/index.ts';

export type DueKind = 'life' | 'retorque' | 'calibration' | 'shelf-life' | 'concession';

export interface DueItem {
  readonly kind: DueKind;
  /** `head-front[1..6]`, `FG1`. */
  readonly what: string;
  readonly text: string;
  /** `tern-460 no. 0117`; null for what belongs to the workshop. */
  readonly machine: string | null;
  /** The last day, and the machine's hours (h), whichever comes first; null where it does not count so. */
  readonly dueOn: string | null;
  readonly dueAtHours: number | null;
  /** What is left on the day asked for, negative once it is past; null where it does not count so or is not known. */
  readonly daysLeft: number | null;
  readonly hoursLeft: number | null;
  readonly overdue: boolean;
  /** Where it stands, line from 1. */
  readonly path: string;
  readonly line: number;
}

/** A machine with the hours that its own logs give it, or those that were stated. */
export interface DueMachine {
  readonly name: string;
  readonly hours: number | null;
}

/** What comes due. Its JSON form is this very object. */
export interface DueList {
  readonly version: 1;
  readonly on: string;
  readonly machines: readonly DueMachine[];
  readonly items: readonly DueItem[];
}

export interface DueQuestion {
  /** The day to judge by (YYYY-MM-DD). */
  readonly on: string;
  /** The machine's hours now (h); those at the end of its last log when left out. */
  readonly hours?: number;
}

type Found = Omit<DueItem, 'daysLeft' | 'hoursLeft' | 'overdue' | 'line' | 'path' | 'machine'> & {
  readonly at: Location;
};

/**
 * The list, what is overdue first, then by what is left: hours before days. Of several logs of one machine the last one
 * that speaks of a part, a fastener or a limit counts; calibrations and shelf lives are those of every register reached.
 */
export function dueList(rebuilds: readonly Rebuild[], { on, hours }: DueQuestion): DueList {
  const items: DueItem[] = [];
  const machines: DueMachine[] = [];
  for (const [name, logs] of byMachine(rebuilds)) {
    const last = logs.at(-1);
    const now = hours ?? (last === undefined ? undefined : hoursAtEnd(last));
    machines.push({ name, hours: now ?? null });
    const found = new Map<string, Found>();
    for (const log of logs) {
      for (const key of found.keys()) if (speaksOf(log, key)) found.delete(key);
      for (const [key, one] of dueIn(log)) found.set(key, one);
    }
    for (const one of together([...found.values()])) items.push(judged(one, on, now, name));
  }
  const seen = new Set<Location>();
  for (const { scope } of rebuilds)
    for (const one of [...scope.tools.values(), ...scope.sealants.values()]) {
      if (one.due === undefined || seen.has(one.at)) continue;
      seen.add(one.at);
      const kind = one.kind === 'tool' ? 'calibration' : 'shelf-life';
      items.push(
        judged(
          { kind, what: one.name, text: one.text, dueOn: one.due, dueAtHours: null, at: one.at },
          on,
          undefined,
          null,
        ),
      );
    }
  return { version: 1, on, machines, items: items.sort(byUrgency) };
}

/** Logs by machine and serial, each machine's by their last day. */
function byMachine(rebuilds: readonly Rebuild[]): ReadonlyMap<string, readonly Rebuild[]> {
  const machines = new Map<string, Rebuild[]>();
  for (const log of rebuilds) {
    if (log.state === null) continue;
    const machine = log.scope.machine;
    // Logs that name no machine, or not which of its kind, cannot be told to be of one.
    const name = machine?.serial === undefined ? log.path : `${machine.name} no. ${machine.serial}`;
    const list = machines.get(name);
    if (list === undefined) machines.set(name, [log]);
    else list.push(log);
  }
  const lastDay = (log: Rebuild) => (log.release?.moment ?? log.timed.at(-1)?.moment)?.date ?? '';
  for (const list of machines.values()) list.sort((a, b) => lastDay(a).localeCompare(lastDay(b)));
  return machines;
}

/** What comes due by one log, what it took over from earlier ones included; keys are `kind name[item]`, of a concession for places with ` @ places`. */
function* dueIn(log: Rebuild): Iterable<readonly [key: string, found: Found]> {
  for (const life of livesOf(log)) yield [keyOf('life', life.name, life.item), lifeOf(life)];
  for (const { name, declaration, members } of log.fastenerGroups)
    for (const member of members) {
      const torqued = waitingTorque(member, (entry) => machineHours(log, entry));
      if (declaration.retorque === undefined || torqued === undefined) continue;
      yield [
        keyOf('retorque', name, member.item),
        retorqueOf(log, name, member.item, torqued, machineHours(log, torqued)),
      ];
    }
  for (const { name, item, torqued, atHours } of stillWaiting(log))
    yield [keyOf('retorque', name, item), retorqueOf(log, name, item, torqued, atHours)];
  for (const one of concessionsIn(log)) {
    const key = keyOf('concession', one.name, one.item);
    yield [one.places === undefined ? key : `${key} @ ${one.places.join(' ')}`, concessionOf(one)];
  }
}

function keyOf(kind: DueKind, name: string, item: string): string {
  return `${kind} ${name}[${item}]`;
}

/** Whether a later log says anything of what a key names: then what it says counts. */
function speaksOf(log: Rebuild, key: string): boolean {
  const [kind = ''] = key.split(' ', 1);
  const [whole] = key.split(' @ ', 1);
  const named = (name: string, item: string) => whole === `${kind} ${name}[${item}]`;
  if (kind === 'life')
    return log.parts.some(({ name, members }) =>
      members.some((one) => one.events.length > 0 && named(name, one.item)),
    );
  if (kind === 'retorque')
    return log.fastenerGroups.some(({ name, members }) =>
      members.some((one) => (one.history.length > 0 || one.loosened !== undefined) && named(name, one.item)),
    );
  return [...dealtWithIn(log)].some(({ name, item }) => named(name, item));
}

/** `what` is the bare name and member until `together` has joined those that share their line and their end. */
function lifeOf({ name, item, declaration, newSince, endsOn, endsAtHours }: Life): Found {
  return {
    kind: 'life',
    what: memberKey(name, item),
    text: [declaration.text, `life ${declaration.life.map(formatQuantity).join(' or ')}`]
      .filter(Boolean)
      .join(', '),
    dueOn: endsOn ?? null,
    dueAtHours: endsAtHours ?? null,
    at: placeOf(newSince),
  };
}

function retorqueOf(
  log: Rebuild,
  name: string,
  item: string,
  torqued: Entry,
  atHours: number | undefined,
): Found {
  const after = log.scope.fasteners.get(name)?.retorque;
  const span = after === undefined ? undefined : convert(after.value, after.unit, 'h');
  return {
    kind: 'retorque',
    what: memberKey(name, item),
    text: after === undefined ? '' : `torque again after ${formatQuantity(after)}`,
    dueOn: null,
    dueAtHours: span === undefined || atHours === undefined ? null : atHours + span,
    at: placeOf(torqued),
  };
}

function concessionOf({ name, item, entry, places }: CarriedConcession): Found {
  const until = clauseValue(entry.statement, 'until');
  const quantity = until !== undefined && 'kind' in until ? quantityOf(until) : undefined;
  const hours = quantity === undefined ? undefined : convert(quantity.value, quantity.unit, 'h');
  return {
    kind: 'concession',
    what: memberKey(name, item),
    text: `accepted${places === undefined ? '' : ` at ${listItems(places)}`}: ${clauseValue(entry.statement, 'because')?.text ?? '?'}`,
    dueOn: until !== undefined && !('kind' in until) ? (until.date ?? null) : null,
    dueAtHours: hours ?? null,
    at: placeOf(entry),
  };
}

const memberKey = (name: string, item: string) => `${name}\n${item}`;

function placeOf({ path, block, statement }: Entry): Location {
  return { path, block, start: statement.start, end: statement.end };
}

/** Members that come due by the same line and at the same end are one item. */
function together(found: readonly Found[]): readonly Found[] {
  const groups = new Map<string, { first: Found; name: string; items: string[] }>();
  for (const one of found) {
    const [name = '', item = ''] = one.what.split('\n');
    const { path, block } = one.at;
    const key = JSON.stringify([one.kind, name, one.dueOn, one.dueAtHours, path, block.start]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { first: one, name, items: [item] });
    else group.items.push(item);
  }
  return [...groups.values()].map(({ first, name, items }) => ({
    ...first,
    what: writeMembers(name, items),
  }));
}

function judged(found: Found, on: string, hours: number | undefined, machine: string | null): DueItem {
  const { at, ...item } = found;
  const daysLeft = item.dueOn === null ? null : (daysBetween(on, item.dueOn) ?? null);
  const hoursLeft =
    item.dueAtHours === null || hours === undefined
      ? null
      : Number((item.dueAtHours - hours).toPrecision(12));
  return {
    ...item,
    machine,
    daysLeft,
    hoursLeft,
    overdue: (daysLeft !== null && daysLeft < 0) || (hoursLeft !== null && hoursLeft < -1e-9),
    path: at.path,
    line: at.block.line + at.block.text.slice(0, at.start).split('\n').length,
  };
}

/** What is overdue, then what has hours left, then what has days left, each by how little; at last what has no end. */
function byUrgency(a: DueItem, b: DueItem): number {
  const rank = (item: DueItem) =>
    item.overdue ? 0 : item.hoursLeft !== null ? 1 : item.daysLeft !== null ? 2 : 3;
  return (
    rank(a) - rank(b) ||
    (a.hoursLeft ?? Infinity) - (b.hoursLeft ?? Infinity) ||
    (a.daysLeft ?? Infinity) - (b.daysLeft ?? Infinity) ||
    a.what.localeCompare(b.what)
  );
}

export const dueKindWords: Readonly<Record<DueKind, string>> = {
  life: 'life',
  retorque: 'retorque',
  calibration: 'calibration',
  'shelf-life': 'shelf life',
  concession: 'concession',
};

/** The day, and each machine with its hours. */
export function dueHead({ on, machines }: DueList): string {
  const told = machines.map(
    ({ name, hours }) => `${name} at ${hours === null ? 'unknown hours' : formatAmount(hours, 'h', 1)}`,
  );
  return `On ${on}${told.length === 0 ? '' : `: ${told.join('; ')}`}`;
}

export interface DueSection {
  readonly title: string;
  readonly overdue: boolean;
  readonly items: readonly DueItem[];
}

/** What is overdue, what comes due, and what nobody can say of; those that have something. */
export function dueSections({ items }: DueList): readonly DueSection[] {
  const isKnown = (item: DueItem) => item.hoursLeft !== null || item.daysLeft !== null;
  return [
    { title: 'Overdue', overdue: true, items: items.filter((item) => item.overdue) },
    {
      title: 'Comes due',
      overdue: false,
      items: items.filter((item) => !item.overdue && isKnown(item)),
    },
    {
      title: 'No end stated, or hours not known',
      overdue: false,
      items: items.filter((item) => !item.overdue && !isKnown(item)),
    },
  ].filter((section) => section.items.length > 0);
}

/** The list for a terminal. */
export function dueText(list: DueList): string {
  const many = list.machines.length > 1;
  const lines = [dueHead(list)];
  for (const { title, items } of dueSections(list)) {
    lines.push('', title.toUpperCase());
    const rows = items.map((item) => [
      dueKindWords[item.kind],
      many && item.machine !== null ? `${item.machine}: ${item.what}` : item.what,
      dueWords(item),
      leftWords(item, list.on),
    ]);
    const widths = [0, 1, 2].map((i) => Math.max(...rows.map((row) => row[i]?.length ?? 0)));
    for (const [i, row] of rows.entries()) {
      lines.push(
        `  ${row
          .map((cell, c) => cell.padEnd(widths[c] ?? 0))
          .join('  ')
          .trimEnd()}`,
      );
      const item = items[i];
      if (item !== undefined)
        lines.push(`      ${[item.text, `${item.path}:${item.line}`].filter(Boolean).join(' · ')}`);
    }
  }
  if (list.items.length === 0) lines.push('', 'Nothing comes due by these files.');
  return `${lines.join('\n')}\n`;
}

/** The last day and the last hours. */
export function dueWords({ dueOn, dueAtHours }: DueItem): string {
  return [dueOn, dueAtHours === null ? null : formatAmount(dueAtHours, 'h', 1)]
    .filter((end) => end !== null)
    .join(' or ');
}

/** What is left on a day, or how long it is past. */
export function leftWords({ dueOn, daysLeft, hoursLeft }: DueItem, on: string): string {
  const days =
    dueOn === null || daysLeft === null
      ? null
      : daysLeft === 0
        ? 'today'
        : daysLeft > 0
          ? `${spanInWords(on, dueOn)} left`
          : `${spanInWords(dueOn, on)} ago`;
  const hours =
    hoursLeft === null
      ? null
      : hoursLeft >= 0
        ? `${formatAmount(hoursLeft, 'h', 1)} left`
        : `${formatAmount(-hoursLeft, 'h', 1)} over`;
  return [hours, days].filter((one) => one !== null).join(' or ');
}
