/**
 * What a log takes over from released logs of the same machine that it uses: hours, the parts that are in, fasteners
 * that wait for a later torque, and concessions.
 */
import { clauseValue } from '../../grammar/index.ts';
import { minutesBetween } from '../calculations/index.ts';
import { contains, convert, quantityOf, standing } from '../quantities/index.ts';
import type { Import, Rebuild } from './bind.ts';
import type { Concession, Instance } from './characteristics.ts';
import type { FastenerDeclaration, MachineDeclaration } from './declarations.ts';
import type { Entry, Moment } from './entries.ts';
import type { MemberState, Spent } from './fasteners.ts';
import { machineHours } from './hours.ts';
import { judgeReading, judgeValue, workedValue } from './judgement.ts';
import { concessionForPart } from './parts.ts';
import { dragOf } from './torquing.ts';

/** A part that an earlier log left in the machine. */
export interface CarriedPart {
  readonly name: string;
  readonly item: string;
  /** The fitting that stands. */
  readonly fitted: Entry;
  /** The fitting that put it in as a new one, where a log has it: its life counts from there. */
  readonly newSince: Entry | undefined;
  /** When that was, and the machine's hours then (h). */
  readonly newOn: Moment | undefined;
  readonly newAtHours: number | undefined;
  readonly grade: string | undefined;
  readonly partNumber: string | undefined;
  readonly batch: string | undefined;
}

/** A fastener at its final torque whose table asks for a later one after so many hours. */
export interface CarriedTorque {
  readonly name: string;
  readonly item: string;
  /** The first final torque since it was last undone. */
  readonly torqued: Entry;
  /** The machine's hours then (h). */
  readonly atHours: number | undefined;
}

/** How an earlier log left a fastener that it worked on. */
export interface CarriedFastener {
  readonly name: string;
  readonly item: string;
  /** Its final torque, which still stands. */
  readonly torqued: Entry | undefined;
  /** It may be torqued once only, was, and was then undone. */
  readonly spent: Spent | undefined;
}

/** A concession of an earlier log, for one member or some of its places. */
export interface CarriedConcession extends Concession {
  readonly name: string;
  readonly item: string;
}

export interface CarriedOver {
  /** The logs it comes from, by the day of their release. */
  readonly logs: readonly Rebuild[];
  /** The machine's hours at the end of the last of them (h). */
  readonly hours: number | undefined;
  /** By the name of the part, of the fastener group and of the limit. */
  readonly parts: ReadonlyMap<string, readonly CarriedPart[]>;
  readonly torques: ReadonlyMap<string, readonly CarriedTorque[]>;
  readonly fasteners: ReadonlyMap<string, readonly CarriedFastener[]>;
  readonly concessions: ReadonlyMap<string, readonly CarriedConcession[]>;
}

/** Why a log that is used hands nothing on. */
export type EarlierTrouble =
  | 'not-released'
  | 'another-machine'
  | 'no-machine-here'
  | 'no-machine-there'
  /** The serial number is still `?`. */
  | 'serial-open';

/** Why nothing carries over from a log that this one uses; undefined where it does, and for other files. */
export function earlierTrouble(
  one: Import,
  machine: MachineDeclaration | undefined,
): EarlierTrouble | undefined {
  const { rebuild } = one;
  if (rebuild === undefined) return undefined;
  const other = rebuild.scope.machine;
  if (machine === undefined) return 'no-machine-here';
  if (other?.serial === undefined) return 'no-machine-there';
  if (other.name === machine.name && machine.serial === undefined) return 'serial-open';
  if (other.name !== machine.name || other.serial !== machine.serial) return 'another-machine';
  return rebuild.state === 'released' ? undefined : 'not-released';
}

/** What the logs among the files that a log uses hand on to it; undefined when none does. */
export function carryOver(
  imports: readonly Import[],
  machine: MachineDeclaration | undefined,
): CarriedOver | undefined {
  const logs: Rebuild[] = [];
  for (const one of imports) {
    const { rebuild } = one;
    if (rebuild === undefined || earlierTrouble(one, machine) !== undefined) continue;
    for (const log of [...(rebuild.carried?.logs ?? []), rebuild])
      if (!logs.some(({ path }) => path === log.path)) logs.push(log);
  }
  if (logs.length === 0) return undefined;
  logs.sort(byRelease);
  const parts = new Map<string, Map<string, CarriedPart>>();
  const torques = new Map<string, Map<string, CarriedTorque>>();
  const fasteners = new Map<string, Map<string, CarriedFastener>>();
  const concessions = new Map<string, Map<string, CarriedConcession>>();
  for (const log of logs) {
    takeParts(log, parts);
    takeTorques(log, torques);
    takeFasteners(log, fasteners);
    takeConcessions(log, concessions);
  }
  const last = logs.at(-1);
  return {
    logs,
    hours: last === undefined ? undefined : hoursAtEnd(last),
    parts: lists(parts),
    torques: lists(torques),
    fasteners: lists(fasteners),
    concessions: lists(concessions),
  };
}

function lists<T>(maps: ReadonlyMap<string, ReadonlyMap<string, T>>): ReadonlyMap<string, readonly T[]> {
  return new Map([...maps].map(([name, map]) => [name, [...map.values()]]));
}

function below<T>(maps: Map<string, Map<string, T>>, name: string): Map<string, T> {
  let map = maps.get(name);
  if (map === undefined) {
    map = new Map();
    maps.set(name, map);
  }
  return map;
}

/** Logs by the time of their release; one without comes first. */
function byRelease({ release: a }: Rebuild, { release: b }: Rebuild): number {
  if (a?.moment === undefined || b?.moment === undefined)
    return (a?.moment === undefined ? 0 : 1) - (b?.moment === undefined ? 0 : 1);
  return minutesBetween(b.moment.instant, a.moment.instant);
}

/** The machine's hours when a log was released (h): as the release states them, else the start and the runs. */
export function hoursAtEnd(log: Rebuild): number | undefined {
  const node = log.release === undefined ? undefined : clauseValue(log.release.statement, 'hours');
  const stated = node === undefined ? undefined : quantityOf(node);
  return stated === undefined ? machineHours(log) : convert(stated.value, stated.unit, 'h');
}

function takeParts(log: Rebuild, parts: Map<string, Map<string, CarriedPart>>): void {
  for (const { name, members } of log.parts) {
    for (const member of members) {
      const { item, state, fitted, newSince } = member;
      if (state === 'not-mentioned') continue;
      const map = below(parts, name);
      const before = map.get(item);
      if (fitted === undefined) map.delete(item);
      else
        map.set(item, {
          name,
          item,
          fitted,
          newSince: newSince ?? before?.newSince,
          newOn: newSince === undefined ? before?.newOn : (newSince.moment ?? newSince.step?.moment),
          newAtHours: newSince === undefined ? before?.newAtHours : machineHours(log, newSince),
          grade: member.grade ?? (newSince === undefined ? before?.grade : undefined),
          partNumber: member.partNumber ?? (newSince === undefined ? before?.partNumber : undefined),
          batch: member.batch ?? (newSince === undefined ? before?.batch : undefined),
        });
    }
  }
}

/** The first final torque of a member, unless a later one at the final value has been recorded since. */
export function waitingTorque(
  { tightenings }: MemberState,
  hoursAt: (entry: Entry) => number | undefined,
): Entry | undefined {
  const first = tightenings.findIndex((one) => one.final);
  const torqued = tightenings[first]?.entry;
  if (torqued === undefined) return undefined;
  const before = hoursAt(torqued);
  // A later pass is one that says so, or that has running before it.
  const again = tightenings
    .slice(first)
    .some((one) => one.retorque || (one.final && one.entry !== torqued && hoursAt(one.entry) !== before));
  return again ? undefined : torqued;
}

function takeTorques(log: Rebuild, torques: Map<string, Map<string, CarriedTorque>>): void {
  for (const { name, declaration, members } of log.fastenerGroups) {
    if (declaration.retorque === undefined) continue;
    const map = below(torques, name);
    for (const member of members) {
      const { item, history, loosened } = member;
      if (history.length === 0 && loosened === undefined) continue;
      // Torqued again without having been undone: that was the later torque.
      const again = map.delete(item) && loosened === undefined;
      const torqued = again ? undefined : waitingTorque(member, (entry) => machineHours(log, entry));
      if (torqued !== undefined) map.set(item, { name, item, torqued, atHours: machineHours(log, torqued) });
    }
  }
}

function takeFasteners(log: Rebuild, fasteners: Map<string, Map<string, CarriedFastener>>): void {
  for (const { name, members } of log.fastenerGroups) {
    for (const { item, history, loosened, tightenings, spent } of members) {
      if (history.length === 0 && loosened === undefined) continue;
      const torqued = tightenings.find((one) => one.final)?.entry;
      below(fasteners, name).set(item, { name, item, torqued, spent });
    }
  }
}

/**
 * The concessions that stand at the end of a log, for what is past its limit: limits, fasteners, parts and inspections. Of
 * the members beside it that are inside, nothing had to be accepted.
 */
export function* concessionsIn(log: Rebuild): Iterable<CarriedConcession> {
  for (const { name, instances } of log.characteristics)
    for (const instance of instances)
      for (const { entry, places } of instance.concessions)
        if (entry.path !== log.path || isPast(instance, places))
          yield { name, item: instance.item, entry, places };
  for (const { name, declaration, members } of log.fastenerGroups)
    for (const member of members) {
      const { item, accepted: entry } = member;
      if (entry !== undefined && (!member.done || isOutside(member, declaration)))
        yield { name, item, entry, places: undefined };
    }
  for (const part of log.parts)
    for (const member of part.members) {
      const entry = concessionForPart(part, member, log.scope.people);
      if (entry !== undefined) yield { name: part.name, item: member.item, entry, places: undefined };
    }
  for (const { name, declaration, accepted: entry } of log.inspections)
    if (declaration !== undefined && entry !== undefined) yield { name, item: '', entry, places: undefined };
}

/** What a log has done to things, so that an earlier concession for them is over. */
export function* dealtWithIn(log: Rebuild): Iterable<Pick<CarriedConcession, 'name' | 'item'>> {
  for (const { name, instances } of log.characteristics)
    for (const { item, standing, worked, renewals } of instances)
      if (renewals.length > 0 || worked?.value !== undefined || standing.some((one) => !one.placeholder))
        yield { name, item };
  for (const { name, members } of log.fastenerGroups)
    for (const { item, history, loosened } of members)
      if (history.length > 0 || loosened !== undefined) yield { name, item };
  for (const { name, members } of log.parts)
    for (const { item, state } of members) if (state === 'in') yield { name, item };
  for (const { name, last } of log.inspections) if (last !== undefined) yield { name, item: '' };
}

function takeConcessions(log: Rebuild, concessions: Map<string, Map<string, CarriedConcession>>): void {
  for (const { name, item } of dealtWithIn(log))
    for (const [key, one] of concessions.get(name) ?? [])
      if (one.item === item) concessions.get(name)?.delete(key);
  for (const one of concessionsIn(log))
    below(concessions, one.name).set(`${one.item} @ ${one.places?.join(' ') ?? ''}`, one);
}

/** Whether a torque or a drag of a fastener was outside its range since a new one was fitted. */
function isOutside({ history }: MemberState, { torque, drag }: FastenerDeclaration): boolean {
  return history.some(({ entry, torque: had }) => {
    const felt = dragOf(entry);
    const over = torque !== undefined && had !== undefined && standing(torque, had).where === 'above';
    return over || (drag !== undefined && felt !== undefined && contains(drag, felt) === false);
  });
}

/** Whether a reading that stands (of these places), or what is worked out, is past its limit. */
function isPast(instance: Instance, places: Concession['places']): boolean {
  const asNew = instance.fittedNew !== undefined;
  const worked = places === undefined ? workedValue(instance) : undefined;
  return (
    instance.standing.some(
      (reading) =>
        (places === undefined || places.includes(reading.place)) &&
        (reading.word !== undefined ||
          judgeReading(reading, instance.declaration, asNew)?.judgement.verdict !== 'inside'),
    ) ||
    (worked !== undefined && judgeValue(worked, instance.declaration, asNew)?.verdict !== 'inside')
  );
}

/** Carried torques whose fasteners this log has neither torqued nor undone: the later torque is still to come. */
export function stillWaiting({ carried, fastenerGroups }: Rebuild): readonly CarriedTorque[] {
  if (carried === undefined || carried.torques.size === 0) return [];
  return fastenerGroups.flatMap(({ name, members }) => {
    const untouched = new Set(
      members
        .filter(({ history, loosened }) => history.length === 0 && loosened === undefined)
        .map(({ item }) => item),
    );
    return (carried.torques.get(name) ?? []).filter(({ item }) => untouched.has(item));
  });
}
