/** What had to be done before a joint was closed or a part fitted, and whether it was. */
import type { Characteristic, Instance } from './characteristics.ts';
import type {
  FastenerDeclaration,
  InspectionDeclaration,
  LimitDeclaration,
  Pointer,
} from './declarations.ts';
import { type Entry, isBefore, takenAs } from './entries.ts';
import type { FastenerGroup } from './fasteners.ts';
import type { InspectionHistory } from './inspections.ts';
import { itemsMatch, writeTarget } from './items.ts';
import type { JointHistory } from './joints.ts';
import type { PartHistory } from './parts.ts';
import type { Scope } from './scope.ts';

/** A line that closed or fitted something, as it stands at the end of the log. */
export interface Closing {
  readonly entry: Entry;
  readonly name: string;
  readonly item: string;
}

/** What one closing did without. */
export interface Lacking {
  /** The line that closed or fitted it, with the members that it speaks of. */
  readonly closing: Entry;
  readonly name: string;
  readonly items: readonly string[];
  /** The readings, the inspection or the fasteners that were wanted. */
  readonly wanted: readonly string[];
  /** `later`: it was done only afterwards. `failed`: it was done, and it had failed. `again`: it was due again. */
  readonly how: 'never' | 'later' | 'failed' | 'again';
  /** The line that did it later, failed, or made it due again. */
  readonly because: Entry | undefined;
}

/** A limit, an inspection or a group of fasteners that has to be done `before` something. */
export interface Prerequisite {
  readonly subject: 'prerequisite';
  readonly declaration: LimitDeclaration | InspectionDeclaration | FastenerDeclaration;
  readonly lacking: readonly Lacking[];
  readonly inputs: readonly unknown[];
}

/** What closings are made of. */
export interface Closables {
  readonly scope: Scope;
  readonly parts: ReadonlyMap<string, PartHistory>;
  readonly joints: ReadonlyMap<string, JointHistory>;
  readonly groups: ReadonlyMap<string, FastenerGroup>;
}

/** The subjects that say whether what a `before` names is closed or fitted. */
export function closablesOf(
  before: Pointer,
  from: Closables,
): readonly (PartHistory | JointHistory | FastenerGroup)[] {
  const { scope, parts, joints, groups } = from;
  const known = <T>(one: T | undefined): readonly T[] => (one === undefined ? [] : [one]);
  const declaration = scope.shared.get(before.name);
  switch (declaration?.kind) {
    case 'part':
      return known(parts.get(before.name));
    case 'joint':
      return known(joints.get(before.name));
    case 'fastener':
      return known(groups.get(before.name));
    case 'stack':
      return declaration.members.flatMap((member) => known(parts.get(member.name)));
    case 'assembly': {
      const within = ({ declaration }: { declaration: { assembly: string | undefined } }) =>
        declaration.assembly === before.name;
      const own = [...joints.values()].filter(within);
      if (own.length > 0) return own;
      return [
        ...[...parts.values()].filter((part) => within(part) && !part.declaration.temporary),
        ...[...groups.values()].filter(within),
      ];
    }
    default:
      return [];
  }
}

/**
 * The lines that closed or fitted what a `before` names, as it stands at the end of the log: what was tried and came
 * out again does not count. A part is judged member by member; a stack is fitted when the first of its parts is; an
 * assembly is closed when its first joint is or, where it has none, when its first part is fitted or its first
 * fastener run down.
 */
export function closingsOf(
  before: Pointer,
  closables: readonly (PartHistory | JointHistory | FastenerGroup)[],
): readonly Closing[] {
  const closings = closables.flatMap((one): readonly Closing[] => {
    switch (one.subject) {
      case 'part':
        return one.members.flatMap(({ item, fitted }) =>
          fitted === undefined ? [] : [{ entry: fitted, name: one.name, item }],
        );
      case 'joint':
        return one.closed === undefined ? [] : [{ entry: one.closed, name: one.name, item: '' }];
      default:
        return one.members.flatMap(({ item, fingerTight, tightenings }) => {
          const entry = fingerTight ?? tightenings.find((one) => !one.retorque)?.entry;
          return entry === undefined ? [] : [{ entry, name: one.name, item }];
        });
    }
  });
  const single = closables.length === 1 ? closables[0] : undefined;
  if (single?.subject === 'part' && single.name === before.name) {
    const { items } = before;
    if (items === undefined) return closings;
    return closings.filter(({ item }) => items.some((one) => one === item || item.startsWith(`${one}/`)));
  }
  const first = closings.reduce<Closing | undefined>(
    (earliest, one) => (earliest === undefined || one.entry.index < earliest.entry.index ? one : earliest),
    undefined,
  );
  return first === undefined ? [] : [{ ...first, name: before.name, item: '' }];
}

/** What is still lacking, closing by closing; those of one line are told together. */
export function lackingFor(
  closings: readonly Closing[],
  check: (closing: Closing) => Omit<Lacking, 'closing' | 'name' | 'items'> | undefined,
): readonly Lacking[] {
  const found: (Lacking & { items: string[]; wanted: string[] })[] = [];
  for (const closing of closings) {
    const lacks = check(closing);
    if (lacks === undefined) continue;
    const same = found.find((one) => one.closing === closing.entry && one.how === lacks.how);
    if (same === undefined)
      found.push({
        ...lacks,
        closing: closing.entry,
        name: closing.name,
        items: [closing.item],
        wanted: [...lacks.wanted],
      });
    else {
      same.items.push(closing.item);
      for (const one of lacks.wanted) if (!same.wanted.includes(one)) same.wanted.push(one);
    }
  }
  return found;
}

/** Whether an inspection had passed when something was closed. */
export function inspectionLacks(
  { name, records }: InspectionHistory,
  { entry }: Closing,
): Omit<Lacking, 'closing' | 'name' | 'items'> | undefined {
  const wanted = [name];
  const earlier = records.filter((record) => isBefore(record.entry, entry));
  const last = earlier.at(-1);
  if (last === undefined) {
    const later = records.find((record) => record.verdict !== 'open')?.entry;
    return { wanted, how: later === undefined ? 'never' : 'later', because: later };
  }
  if (last.because !== undefined && last.because.index <= entry.index)
    return { wanted, how: 'again', because: last.because };
  return last.verdict === 'fail' ? { wanted, how: 'failed', because: last.entry } : undefined;
}

/** Whether a limit had been read, at all its places, when something was closed. */
export function readingsLack(
  characteristic: Characteristic,
  declaration: LimitDeclaration,
  { entry, item }: Closing,
): Omit<Lacking, 'closing' | 'name' | 'items'> | undefined {
  const own = characteristic.instances.filter((instance) => instance.declaration === declaration);
  const matching = own.filter((instance) => itemsMatch(instance.item, item));
  const wanted: string[] = [];
  let later: Entry | undefined;
  let again: Entry | undefined;
  for (const instance of matching.length > 0 ? matching : own) {
    const lacks = instanceLacks(characteristic.name, instance, entry);
    wanted.push(...lacks.wanted);
    later ??= lacks.later;
    again ??= lacks.again;
  }
  if (wanted.length === 0) return undefined;
  const how = later !== undefined ? 'later' : again !== undefined ? 'again' : 'never';
  return { wanted, how, because: later ?? again };
}

function instanceLacks(
  name: string,
  instance: Instance,
  closing: Entry,
): {
  readonly wanted: readonly string[];
  readonly later: Entry | undefined;
  readonly again: Entry | undefined;
} {
  const { worked, readings, declaration, item } = instance;
  const stood = readings.filter(
    ({ reading, history, because }) =>
      takenAs(reading.entry) !== 'found' &&
      isBefore(reading.entry, closing) &&
      (history === undefined || history === 'corrected' || (because?.index ?? 0) > closing.index),
  );
  if (worked !== undefined && stood.length === 0) {
    // Worked out from others: each of those must have been read, at each place, before.
    const spots = new Map<string, boolean>();
    let later: Entry | undefined;
    for (const reading of worked.readings) {
      const spot = writeTarget(reading.name, reading.item, reading.place);
      const before = isBefore(reading.entry, closing);
      if (!before) later ??= reading.entry;
      spots.set(spot, before || spots.get(spot) === true);
    }
    const wanted = [...spots].filter(([, before]) => !before).map(([spot]) => spot);
    if (wanted.length === 0) later = undefined;
    wanted.push(...worked.missing.map((one) => writeTarget(one.name, one.item, one.place)));
    return { wanted, later, again: undefined };
  }
  const read = new Set(stood.map(({ reading }) => reading.place));
  const places = declaration.places.items.length === 0 ? [''] : declaration.places.items;
  const missing =
    read.has('') || (places[0] === '' && read.size > 0) ? [] : places.filter((one) => !read.has(one));
  if (missing.length === 0) return { wanted: [], later: undefined, again: undefined };
  const others = readings.filter(
    ({ reading }) =>
      missing.includes(reading.place) && !reading.placeholder && takenAs(reading.entry) !== 'found',
  );
  return {
    wanted:
      missing.length === places.length
        ? [writeTarget(name, item)]
        : missing.map((place) => writeTarget(name, item, place)),
    later: others.find(({ reading }) => !isBefore(reading.entry, closing))?.reading.entry,
    again: others.find(({ because }) => because !== undefined && because.index <= closing.index)?.because,
  };
}

/** Whether a group of fasteners had its final torque when something was closed. */
export function torqueLacks(
  { name, members }: FastenerGroup,
  { entry, item }: Closing,
): Omit<Lacking, 'closing' | 'name' | 'items'> | undefined {
  const matching = members.filter((member) => itemsMatch(member.item, item));
  const loose = (matching.length > 0 ? matching : members).filter(
    ({ tightenings }) => !tightenings.some((one) => one.final && isBefore(one.entry, entry)),
  );
  if (loose.length === 0) return undefined;
  const later = loose
    .flatMap(({ tightenings }) => tightenings)
    .find((one) => one.final && !isBefore(one.entry, entry))?.entry;
  return {
    wanted: loose.map((member) => writeTarget(name, member.item)),
    how: later === undefined ? 'never' : 'later',
    because: later,
  };
}
