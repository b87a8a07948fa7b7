/** Sealants and threadlockers at work: what each was put on, what closed and loaded that, and how long lay between. */

import { hasClause } from '../../grammar/index.ts';
import { addMinutes, type Instant, minutesBetween, wallMinutes } from '../calculations/index.ts';
import type { Rebuild } from './bind.ts';
import type { FastenerDeclaration, JointDeclaration, SealantDeclaration } from './declarations.ts';
import type { Entry, Step } from './entries.ts';
import { isUnfilled } from './fasteners.ts';

/** One application of a sealant to a joint or to fasteners, until the next one to the same, or until it is opened. */
export interface Curing {
  readonly applied: Entry;
  readonly sealant: SealantDeclaration;
  readonly to: JointDeclaration | FastenerDeclaration;
  /** The members that it went on; all of a joint's. */
  readonly items: readonly string[] | undefined;
  /** Lines that ran a fastener of it down or torqued it, in the order of the log. */
  readonly closings: readonly Entry[];
  /** The `run` lines after it. */
  readonly runs: readonly Entry[];
  /** It was opened or sealed anew since: what was wrong with it is put right. */
  readonly undone: boolean;
}

/** Three rules ask for the same log; it is gone through once. */
const known = new WeakMap<Rebuild, readonly Curing[]>();

/** Everything that cures in a log, in its order. */
export function curingsOf(rebuild: Rebuild): readonly Curing[] {
  let curings = known.get(rebuild);
  if (curings === undefined) {
    curings = findCurings(rebuild);
    known.set(rebuild, curings);
  }
  return curings;
}

function findCurings(rebuild: Rebuild): readonly Curing[] {
  const { scope, byKind, byName } = rebuild;
  if (scope.sealants.size === 0) return [];
  const found: Curing[] = [];
  for (const applied of byKind.get('apply') ?? []) {
    const sealant = scope.sealants.get(applied.statement.name?.text ?? '');
    if (sealant === undefined) continue;
    for (const { declaration, items } of applied.targets) {
      if (declaration?.kind !== 'joint' && declaration?.kind !== 'fastener') continue;
      const groups = declaration.kind === 'joint' ? declaration.fasteners : [declaration.name];
      const own = declaration.kind === 'joint' ? undefined : new Set(items);
      const speaksOf = (entry: Entry) =>
        entry.targets.some(
          (target) =>
            groups.includes(target.name) && (own === undefined || target.items.some((item) => own.has(item))),
        );
      const after = groups
        .flatMap((name) => byName.get(name) ?? [])
        .filter((entry) => entry.index > applied.index && speaksOf(entry))
        .sort((a, b) => a.index - b.index);
      const until = Math.min(
        ...[
          (byName.get(declaration.name) ?? []).find(
            (entry) =>
              entry.kind === 'apply' &&
              entry.index > applied.index &&
              isSealing(entry, rebuild) &&
              (own === undefined || speaksOf(entry)),
          ),
          declaration.kind === 'fastener'
            ? after.find(isUndoing)
            : openedAfter(rebuild, declaration, applied),
        ].map((entry) => entry?.index ?? Number.POSITIVE_INFINITY),
      );
      const renewed = new Set(
        (byName.get(declaration.name) ?? [])
          .filter(
            (entry) =>
              entry.index > applied.index &&
              (isUndoing(entry) || (entry.kind === 'apply' && isSealing(entry, rebuild))),
          )
          .flatMap(({ targets }) => targets.flatMap((target) => target.items)),
      );
      found.push({
        applied,
        sealant,
        undone:
          until < Number.POSITIVE_INFINITY &&
          (declaration.kind === 'joint' || items.every((item) => renewed.has(item))),
        to: declaration,
        items: declaration.kind === 'joint' ? undefined : items,
        closings: [...new Set(after)].filter(
          (entry) =>
            entry.index < until &&
            (entry.kind === 'torque' || entry.kind === 'finger-tight') &&
            !isUnfilled(entry) &&
            !hasClause(entry.statement, 'again'),
        ),
        runs: (byKind.get('run') ?? []).filter((entry) => entry.index > applied.index && entry.index < until),
      });
    }
  }
  return found;
}

function isSealing(entry: Entry, { scope }: Rebuild): boolean {
  return scope.sealants.has(entry.statement.name?.text ?? '');
}

function isUndoing({ kind }: Entry): boolean {
  return kind === 'loosen' || kind === 'remove';
}

function openedAfter({ joints }: Rebuild, { name }: JointDeclaration, applied: Entry): Entry | undefined {
  return joints
    .find((joint) => joint.name === name)
    ?.openings.find((opening) => opening.index > applied.index);
}

/** Between how many minutes something took. */
export interface Span {
  readonly least: number;
  readonly most: number;
}

const MINUTES_IN_DAY = 1440;

/**
 * How many minutes can lie between two lines, the second after the first. A line without a time lies between its timed
 * neighbours, and on the day of the one before it. Undefined when nothing before one of them has a time, or when the
 * times run backwards.
 */
export function minutesApart(rebuild: Rebuild, from: Entry, to: Entry): Span | undefined {
  const [a, b] = [boundsOf(rebuild, from), boundsOf(rebuild, to)];
  if (a === undefined || b === undefined) return undefined;
  const most = minutesBetween(a.earliest, b.latest);
  if (most < 0 || minutesBetween(a.earliest, a.latest) < 0 || minutesBetween(b.earliest, b.latest) < 0)
    return undefined;
  return { least: Math.max(0, minutesBetween(a.latest, b.earliest)), most };
}

/** Between which moments a line lies. */
function boundsOf(
  { timed }: Rebuild,
  entry: Entry,
): { readonly earliest: Instant; readonly latest: Instant } | undefined {
  const place = (one: Step | Entry) => one.block.start;
  let low = 0;
  let high = timed.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (place(timed[middle] as Step | Entry) <= place(entry)) low = middle + 1;
    else high = middle;
  }
  const last = timed[low - 1];
  const before = last?.moment;
  if (before === undefined) return undefined;
  const earliest = before.instant;
  if (last === entry && before.time !== undefined) return { earliest, latest: earliest };
  const wall = wallMinutes(earliest);
  const midnight = addMinutes(
    earliest,
    MINUTES_IN_DAY - (((wall % MINUTES_IN_DAY) + MINUTES_IN_DAY) % MINUTES_IN_DAY),
  );
  const next = timed[low]?.moment;
  const isSooner = last !== entry && next?.time !== undefined && minutesBetween(next.instant, midnight) > 0;
  return { earliest, latest: isSooner ? next.instant : midnight };
}
