/** Groups of fasteners: the state of each member, the passes made over the group, and what is still due. */
import { clauseValue, hasClause, torqueTo } from '../../grammar/index.ts';
import { contains, convert, type Quantity, withinPercent } from '../quantities/index.ts';
import type { CarriedFastener } from './carried.ts';
import type { FastenerDeclaration, JointDeclaration } from './declarations.ts';
import { type Entry, fitCondition, isBefore, isByInspector, type Resolved } from './entries.ts';
import type { Scope } from './scope.ts';

/** One fastener, torqued once. */
export interface Tightening {
  readonly entry: Entry;
  readonly item: string;
  readonly torque: Quantity | undefined;
  readonly angle: Quantity | undefined;
  /** How far it has been turned since it was last undone, this line included, in the unit of the angle asked for. */
  readonly turned: number | undefined;
  /** Which stage it was: 1 for the first; `stages` for the final one; undefined when the value fits none. */
  readonly stage: number | undefined;
  /** It meets the final torque (and the angle, where one is asked for). */
  readonly final: boolean;
  readonly retorque: boolean;
}

/** Where one member stands at the end of the log. */
export interface MemberState {
  readonly item: string;
  /** Tightenings since it was last fitted new, loosened or removed. */
  readonly tightenings: readonly Tightening[];
  /** All tightenings of it. */
  readonly history: readonly Tightening[];
  readonly fingerTight: Entry | undefined;
  readonly loosened: Entry | undefined;
  /** The last time its lock was put on since it was last undone; see `isLocked`. */
  readonly locked: Entry | undefined;
  /** The first time since then: a sealant put on once more later was on the thread all the same. */
  readonly firstLocked: Entry | undefined;
  /** The lock that its last undoing took off. */
  readonly lockUndone: Entry | undefined;
  readonly striped: Entry | undefined;
  /** An inspector's concession for it as it is: made since it was last torqued or undone. */
  readonly accepted: Entry | undefined;
  /** Of a `once` fastener that was torqued to the end: what undid it, and nothing has been done about it since. */
  readonly spent: Spent | undefined;
  /** It has its final torque, or kept the one that an earlier log gave it. */
  readonly done: boolean;
}

/**
 * What undid a `once` fastener (undefined when no line says so, and an earlier log left it torqued), and its final
 * torque before that: undefined when it came with the machine.
 */
export interface Spent {
  readonly undone: Entry | undefined;
  readonly before: Entry | undefined;
}

/** Tightenings at one stage, in the order they were made, until every member had one. */
export interface Pass {
  readonly stage: number;
  readonly tightenings: readonly Tightening[];
  /** Every member was reached. */
  readonly complete: boolean;
  /** No line of it claims an order (`[all]`, a bare name). */
  readonly claimsOrder: boolean;
  /** All that it tightened has been loosened or replaced since. */
  readonly undone: boolean;
}

/** A member that reached a stage without the one before, or before the others had it. */
export interface SkippedStage {
  readonly tightening: Tightening;
  readonly missed: number;
  /** Members that had not had the stage before; the member itself when only it missed it. */
  readonly without: readonly string[];
}

/** A fastener that is never to be used again once torqued, torqued again after it was undone. */
export interface Reuse extends Spent {
  readonly tightening: Tightening;
}

export interface FastenerGroup {
  readonly subject: 'fastener-group';
  readonly name: string;
  readonly declaration: FastenerDeclaration;
  readonly members: readonly MemberState[];
  readonly passes: readonly Pass[];
  readonly skipped: readonly SkippedStage[];
  readonly reused: readonly Reuse[];
  /** How many stages there are, the final one included. */
  readonly stageCount: number;
  /** Work on it has begun: run down, torqued, or its joint sealed. */
  readonly touched: boolean;
  readonly required: boolean;
  /** The joint that it closes. */
  readonly joint: JointDeclaration | undefined;
  /** The concession that stands for it. */
  readonly accepted: readonly Entry[];
  readonly entries: readonly Entry[];
  readonly inputs: readonly unknown[];
}

/** The intermediate torques of a group, without the final one where the list ends with it. */
export function stagesBeforeFinal(declaration: FastenerDeclaration): readonly Quantity[] {
  const { stages, torque } = declaration;
  const last = stages.at(-1);
  if (last !== undefined && torque !== undefined && contains(torque, last) === true)
    return stages.slice(0, -1);
  return stages;
}

/** A stage's torque is met within this many percent, as a bare torque is (common practice). */
const STAGE_PERCENT = 5;

/** Whether a torque is that of a stage. */
export function meetsStage(torque: Quantity, stage: Quantity): boolean {
  return withinPercent(torque, stage, STAGE_PERCENT);
}

function stageOf(
  declaration: FastenerDeclaration,
  before: readonly Quantity[],
  entry: Entry,
): number | undefined {
  const said = clauseValue(entry.statement, 'stage')?.value;
  if (said !== undefined && said >= 1 && said <= before.length + 1) return said;
  if (entry.torque === undefined) return entry.angle !== undefined ? before.length + 1 : undefined;
  if (declaration.torque !== undefined && contains(declaration.torque, entry.torque) === true)
    return before.length + 1;
  for (const [i, stage] of before.entries()) if (meetsStage(entry.torque, stage)) return i + 1;
  return undefined;
}

function targetOf(entry: Entry, name: string): Resolved | undefined {
  return entry.targets.find((target) => target.name === name);
}

interface MutableMember {
  item: string;
  tightenings: Tightening[];
  history: Tightening[];
  fingerTight: Entry | undefined;
  loosened: Entry | undefined;
  locked: Entry | undefined;
  firstLocked: Entry | undefined;
  lockUndone: Entry | undefined;
  striped: Entry | undefined;
  accepted: Entry | undefined;
  spent: Spent | undefined;
  /** The final torque with which an earlier log left it, until this one says more of it. */
  left: Entry | undefined;
  /** A new one was fitted, or it was run down by hand: it did not come with the machine as it is. */
  handled: boolean;
  /** The highest stage it has had since the whole group was last undone. */
  reached: Set<number>;
}

export interface FastenerInputs {
  readonly declaration: FastenerDeclaration;
  readonly entries: readonly Entry[];
  /** The lines that seal the joint that it closes. */
  readonly sealings: readonly Entry[];
  readonly joint: JointDeclaration | undefined;
  readonly required: boolean;
  /** How an earlier log of the machine left its members. */
  readonly carried: readonly CarriedFastener[];
  readonly people: Scope['people'];
}

/** Builds a group from the entries that name it (and the sealing of its joint), in the order of the log. */
export function buildFastenerGroup(
  { declaration, entries, sealings, joint, required, carried, people }: FastenerInputs,
  inputs: readonly unknown[],
): FastenerGroup {
  const { name, space } = declaration;
  const before = stagesBeforeFinal(declaration);
  const stageCount = before.length + 1;
  const members = new Map<string, MutableMember>();
  for (const item of space.items) {
    const earlier = carried.find((one) => one.item === item);
    members.set(item, {
      item,
      tightenings: [],
      history: [],
      fingerTight: undefined,
      loosened: undefined,
      locked: undefined,
      firstLocked: undefined,
      lockUndone: undefined,
      striped: undefined,
      accepted: undefined,
      spent: earlier?.spent,
      left: earlier?.torqued,
      handled: false,
      reached: new Set<number>(),
    });
  }
  const passes: Pass[] = [];
  const skipped: SkippedStage[] = [];
  const reused: Reuse[] = [];
  const accepted: Entry[] = [];
  let pass:
    | { stage: number; tightenings: Tightening[]; reached: Set<string>; claimsOrder: boolean }
    | undefined;
  let touched = sealings.length > 0;

  const endPass = () => {
    if (pass !== undefined)
      passes.push({
        stage: pass.stage,
        tightenings: pass.tightenings,
        complete: pass.reached.size === space.items.length,
        claimsOrder: pass.claimsOrder,
        undone: false,
      });
    pass = undefined;
  };
  const undo = (member: MutableMember, entry: Entry) => {
    const before = member.tightenings.find((one) => one.final)?.entry ?? member.left;
    member.left = undefined;
    // One that nobody had handled before was tight when the machine came in.
    if (declaration.once && (before !== undefined || (!member.handled && member.history.length === 0)))
      member.spent = { undone: entry, before };
    member.handled = true;
    if (member.locked !== undefined) member.lockUndone = member.locked;
    member.tightenings = [];
    member.fingerTight = undefined;
    member.locked = undefined;
    member.firstLocked = undefined;
    member.striped = undefined;
    member.loosened = entry;
    member.accepted = undefined;
    // When all are undone the stages begin again; one that is touched up keeps what the group had.
    if ([...members.values()].every((one) => one.tightenings.length === 0)) {
      endPass();
      for (const one of members.values()) one.reached.clear();
    }
  };

  for (const entry of entries) {
    const target = targetOf(entry, name);
    if (target === undefined) continue;
    switch (entry.kind) {
      case 'finger-tight':
        touched = true;
        for (const item of target.items) {
          const member = members.get(item);
          if (member === undefined) continue;
          member.fingerTight = entry;
          member.handled = true;
        }
        break;
      case 'torque': {
        if (isUnfilled(entry)) break;
        touched = true;
        const stage = stageOf(declaration, before, entry);
        const isFinal = stage === stageCount && meetsTorque(declaration, entry) !== false;
        const retorque = hasClause(entry.statement, 'again');
        for (const item of target.items) {
          const member = members.get(item);
          if (member === undefined) continue;
          const tightening: Tightening = {
            entry,
            item,
            torque: entry.torque,
            angle: entry.angle,
            turned: turnedSoFar(declaration, entry, member.tightenings),
            stage,
            final: isFinal && isComplete(declaration, entry, member.tightenings),
            retorque,
          };
          // The stages of one that was tight as the machine came in were done before this log.
          const isLater = retorque && !member.handled && member.history.length === 0;
          if (isLater) {
            if (stage !== undefined) for (let one = 1; one < stage; one++) member.reached.add(one);
          } else if (
            stage !== undefined &&
            stage > 1 &&
            !member.reached.has(stage - 1) &&
            !member.reached.has(stage)
          ) {
            const others = [...members.values()].filter(
              (one) => !one.reached.has(stage - 1) && !one.reached.has(stage),
            );
            skipped.push({ tightening, missed: stage - 1, without: others.map((one) => one.item) });
          } else if (stage !== undefined && stage > 1 && !member.reached.has(stage)) {
            const others = [...members.values()].filter(
              (one) => !one.reached.has(stage - 1) && !one.reached.has(stage),
            );
            if (others.length > 0 && !skipped.some((one) => one.tightening.entry === entry))
              skipped.push({ tightening, missed: stage - 1, without: others.map((one) => one.item) });
          }
          if (stage !== undefined) member.reached.add(stage);
          // A line that is no later pass begins anew: it was undone in between, though no line says so.
          if (declaration.once && member.left !== undefined && !retorque)
            member.spent = { undone: undefined, before: member.left };
          member.left = undefined;
          if (member.spent !== undefined) reused.push({ tightening, ...member.spent });
          member.spent = undefined;
          member.tightenings.push(tightening);
          member.history.push(tightening);
          member.striped = undefined;
          member.accepted = undefined;
          if (stage === undefined) continue;
          if (pass !== undefined && (pass.stage !== stage || pass.reached.size === space.items.length))
            endPass();
          pass ??= { stage, tightenings: [], reached: new Set(), claimsOrder: true };
          pass.tightenings.push(tightening);
          pass.reached.add(item);
          if (target.ordered === 'not-claimed') pass.claimsOrder = false;
        }
        break;
      }
      case 'loosen':
      case 'remove':
        for (const item of target.items) {
          const member = members.get(item);
          if (member !== undefined) undo(member, entry);
        }
        break;
      case 'fit':
        if (fitCondition(entry) === 'new')
          for (const item of target.items) {
            const member = members.get(item);
            if (member !== undefined) {
              undo(member, entry);
              member.history = [];
              member.spent = undefined;
              for (let i = reused.length - 1; i >= 0; i--)
                if (reused[i]?.tightening.item === item) reused.splice(i, 1);
            }
          }
        break;
      case 'apply':
        for (const item of target.items) {
          const member = members.get(item);
          if (member === undefined) continue;
          if (entry.statement.name?.text === 'stripe') member.striped = entry;
          else if (entry.statement.name?.text === declaration.lock) {
            member.locked = entry;
            member.firstLocked ??= entry;
            member.lockUndone = undefined;
          }
        }
        break;
      case 'accept':
        accepted.push(entry);
        if (!isByInspector(entry, people)) break;
        for (const item of target.items) {
          const member = members.get(item);
          if (member !== undefined) member.accepted = entry;
        }
        break;
      default:
        break;
    }
  }
  endPass();
  // A log that covers the group accounts for it anew; one that opened its joint undid it.
  const kept = required || sealings.length > 0 ? [] : carried.filter(({ torqued }) => torqued !== undefined);
  const keepsTorque = (item: string) => kept.some((one) => one.item === item);
  return {
    subject: 'fastener-group',
    name,
    declaration,
    members: [...members.values()].map(({ reached: _, left: __, handled, ...member }) => ({
      ...member,
      done:
        member.tightenings.some((one) => one.final) ||
        // A check of the torque that an earlier log gave it takes nothing from that.
        (!handled && member.history.every((one) => one.retorque) && keepsTorque(member.item)),
    })),
    passes: passes.map((one) => ({
      ...one,
      undone: one.tightenings.every(
        ({ item, entry }) => entry.index < (members.get(item)?.loosened?.index ?? -1),
      ),
    })),
    skipped,
    reused,
    stageCount,
    touched,
    required,
    joint,
    accepted,
    entries,
    inputs,
  };
}

/** Whether the torque (or, without one, the angle) is still `?`: it is to be done, and nothing has been. */
export function isUnfilled(entry: Entry): boolean {
  const to = torqueTo(entry.statement);
  if (to !== undefined) return to.number === undefined;
  return clauseValue(entry.statement, 'angle') !== undefined && entry.angle === undefined;
}

/** Whether the torque of an entry is one that the group asks for; undefined when it states none to compare. */
function meetsTorque(declaration: FastenerDeclaration, entry: Entry): boolean | undefined {
  const { torque } = declaration;
  return torque === undefined || entry.torque === undefined ? undefined : contains(torque, entry.torque);
}

/** The angles of an entry and those before it, added up; undefined where no angle is asked for or none recorded. */
function turnedSoFar(
  { angle: wanted }: FastenerDeclaration,
  entry: Entry,
  earlier: readonly Tightening[],
): number | undefined {
  const before = earlier.at(-1)?.turned;
  if (wanted === undefined || entry.angle === undefined) return before;
  const now = convert(entry.angle.value, entry.angle.unit, wanted.unit);
  return now === undefined ? before : (before ?? 0) + now;
}

/** Whether a tightening completes the fastener: where an angle is asked for, turned so far after its torque. */
function isComplete(declaration: FastenerDeclaration, entry: Entry, earlier: readonly Tightening[]): boolean {
  const wanted = declaration.angle;
  if (wanted === undefined || earlier.some((one) => one.final)) return true;
  const turned = turnedSoFar(declaration, entry, earlier);
  if (turned === undefined || contains(wanted, { value: turned, unit: wanted.unit }) !== true) return false;
  return [entry, ...earlier.map((one) => one.entry)].some(
    (one) => meetsTorque(declaration, one) !== false && one.torque !== undefined,
  );
}

/**
 * Whether a member's lock holds. A sealant is put on before it is torqued to the end and keeps through later passes; a
 * cotter, a wire or a tab comes after the last of them.
 */
export function isLocked({ locked, firstLocked, tightenings }: MemberState, lockIsSealant: boolean): boolean {
  if (locked === undefined || firstLocked === undefined) return false;
  if (lockIsSealant) {
    const final = tightenings.find((one) => one.final)?.entry;
    return final === undefined || isBefore(firstLocked, final);
  }
  const last = tightenings.at(-1)?.entry;
  return last === undefined || locked.index > last.index;
}

/** Members that still need their final torque, in the order of the declaration: one that is accepted as it is does not. */
export function notTorqued(group: FastenerGroup): readonly MemberState[] {
  return group.members.filter((member) => !member.done && member.accepted === undefined);
}

/** How many members have their final torque. */
export function countTorqued(group: FastenerGroup): number {
  return group.members.filter((member) => member.done).length;
}
