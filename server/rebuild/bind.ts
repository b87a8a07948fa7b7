/**
 * One rebuild from the syntax trees: what is declared, what happened, in which state.
 *
 * `bind` takes the rebuild of the text before an edit and gives every object back that the edit cannot have
 * changed: entries whose line, step and scope are the same, and subjects (a characteristic, a group of fasteners)
 * whose inputs are the same. What is the same object needs no second judgement.
 */
import {
  type Block,
  keptOf,
  type SourceFile,
  type StatementKind,
  type StatementNode,
  statementSpec,
} from '../../grammar/index.ts';
import { type CarriedOver, carryOver } from './carried.ts';
import { buildCharacteristic, type Characteristic } from './characteristics.ts';
import {
  type Closables,
  closablesOf,
  closingsOf,
  inspectionLacks,
  lackingFor,
  type Prerequisite,
  readingsLack,
  torqueLacks,
} from './closings.ts';
import {
  type Declaration,
  type FileDeclarations,
  isDeclaration,
  type LimitDeclaration,
  type Pointer,
  sameMembers,
  type UseDeclaration,
} from './declarations.ts';
import { bindEntry, bindStep, type Entry, type Step } from './entries.ts';
import { namesIn } from './expressions.ts';
import { buildFastenerGroup, type FastenerGroup } from './fasteners.ts';
import { buildInspection, type InspectionHistory, inspectionKey } from './inspections.ts';
import { buildJoint, type JointHistory } from './joints.ts';
import { followMarks, type MarkChain } from './marks.ts';
import { buildPart, type PartHistory } from './parts.ts';
import { thingsNamed } from './rests-on.ts';
import type { Scope } from './scope.ts';

export type State = 'open' | 'signed' | 'released';

/** A statement where it may not stand. */
export interface Misplaced {
  readonly block: Block;
  readonly statement: StatementNode;
  readonly reason:
    | 'not-a-log'
    | 'before-any-step'
    | 'after-release'
    | 'second-opening'
    | 'not-first'
    | 'wrong-opening'
    | 'no-opening';
}

/** A `use` line with what became of it. */
export interface Import {
  readonly declaration: UseDeclaration;
  /** The file it names, as the workspace knows it. */
  readonly path: string;
  /** `waiting`: the file has not been read yet. */
  readonly status: 'read' | 'missing' | 'waiting';
  /** The files of a loop, from this one back to it. */
  readonly loop: readonly string[] | undefined;
  /** Files in the folder where a missing one should be, by their names. */
  readonly nearby: readonly string[];
  readonly declarations: FileDeclarations | undefined;
  /** Its text and tree, where it was read. */
  readonly file: SourceFile | undefined;
  /** What it says, where it is another log. */
  readonly rebuild: Rebuild | undefined;
}

export interface OpenItem {
  readonly name: string;
  readonly opened: Entry;
  readonly closed: Entry | undefined;
}

export interface Rebuild {
  readonly path: string;
  readonly kind: FileDeclarations['kind'];
  readonly file: SourceFile;
  readonly own: FileDeclarations;
  readonly scope: Scope;
  readonly imports: readonly Import[];
  /** The digests of the pinned photographs that were read, by the file as written; null where it could not be read. */
  readonly photographs: ReadonlyMap<string, string | null>;
  /** What it takes over from released logs of the same machine that it uses. */
  readonly carried: CarriedOver | undefined;
  /** Null for a table of limits and a register. */
  readonly state: State | null;
  readonly steps: readonly Step[];
  readonly entries: readonly Entry[];
  readonly characteristics: readonly Characteristic[];
  readonly fastenerGroups: readonly FastenerGroup[];
  readonly parts: readonly PartHistory[];
  readonly joints: readonly JointHistory[];
  /** The declared ones in the order of their declarations, then those in quotes. */
  readonly inspections: readonly InspectionHistory[];
  /** What is declared to be done `before` something. */
  readonly prerequisites: readonly Prerequisite[];
  readonly openItems: readonly OpenItem[];
  /** `close` lines that close nothing, and `open` lines whose name is already open. */
  readonly strayItems: readonly Entry[];
  /** The `run` lines, in the order of the log. */
  readonly runs: readonly Entry[];
  readonly release: Entry | undefined;
  /** What its signatures are marked with. */
  readonly marks: MarkChain;
  readonly misplaced: readonly Misplaced[];
  /** What each block became; parallel to `file.blocks`. */
  readonly bound: readonly (Step | Entry | undefined)[];
  /** The only block that became another thing than in an earlier `bound`, where that is known. */
  readonly rebound: { readonly since: Rebuild['bound']; readonly block: number } | undefined;
  /** The entries that speak of each name. */
  readonly byName: EntryLists;
  /** The entries of each kind of statement. */
  readonly byKind: EntryLists;
  /** Steps and entries that state a time, in the order of the log. */
  readonly timed: readonly (Step | Entry)[];
  /** Steps and entries with a name that nothing declares. */
  readonly unresolvedIn: readonly (Step | Entry)[];
}

const NOT_READ: Rebuild['photographs'] = new Map();

/** Whether the object came from a `step` line. */
export function isStep(bound: Step | Entry): bound is Step {
  return !('kind' in bound);
}

/** The blocks of a file that declare something; what `declarationsOf` works on. */
export function declarationBlocks(
  file: SourceFile,
  before?: { readonly file: SourceFile; readonly found: readonly Block[] },
): readonly Block[] {
  const declares = ({ statement }: Block) => statement !== undefined && isDeclaration(statement);
  if (before !== undefined) {
    // Most edits touch no declaration, and then the list is the one before.
    const { blocks } = file;
    const old = before.file.blocks;
    const { prefix, suffix } = sameEnds(file, old);
    const touched = [
      ...blocks.slice(prefix, blocks.length - suffix),
      ...old.slice(prefix, old.length - suffix),
    ];
    if (!touched.some(declares)) return before.found;
  }
  return file.blocks.filter(declares);
}

interface SameEnds {
  readonly old: readonly Block[];
  readonly prefix: number;
  readonly suffix: number;
}

/** What `sameEnds` last said of a file: binding and the rules ask the same. */
const ends = new WeakMap<SourceFile, SameEnds>();

/** How many blocks at the beginning, and how many of the rest at the end, are the same objects. */
export function sameEnds(file: SourceFile, old: readonly Block[]): SameEnds {
  const known = ends.get(file);
  if (known?.old === old) return known;
  const { blocks } = file;
  const most = Math.min(blocks.length, old.length);
  const kept = keptOf(file);
  const told = kept?.blocks === old ? kept : undefined;
  let prefix = told?.prefix ?? 0;
  while (prefix < most && blocks[prefix] === old[prefix]) prefix++;
  let suffix = Math.min(told?.suffix ?? 0, most - prefix);
  while (suffix < most - prefix && blocks[blocks.length - 1 - suffix] === old[old.length - 1 - suffix])
    suffix++;
  const found = { old, prefix, suffix };
  ends.set(file, found);
  return found;
}

const EMPTY: readonly never[] = [];

/** Lists of entries, each in the order of the log; the same list for as long as its entries are the same. */
export type EntryLists = ReadonlyMap<string, readonly Entry[]>;

/** The names that an entry speaks of, each once. */
function namesOf(entry: Entry): readonly string[] {
  const inspected = entry.kind === 'inspect' ? inspectionKey(entry) : undefined;
  if (inspected !== undefined) return [inspected];
  if (entry.targets.length === 0) return EMPTY;
  const known = entry.targets.filter((one) => one.declaration !== undefined || entry.kind === 'accept');
  return known.length < 2 ? known.map((one) => one.name) : [...new Set(known.map((one) => one.name))];
}

function groupBy(
  entries: readonly Entry[],
  keysOf: (entry: Entry) => readonly string[],
): Map<string, readonly Entry[]> {
  const lists = new Map<string, Entry[]>();
  for (const entry of entries)
    for (const key of keysOf(entry)) {
      const list = lists.get(key);
      if (list === undefined) lists.set(key, [entry]);
      else list.push(entry);
    }
  return lists;
}

/** The lists after an edit: those of keys that no entry gone or come has stay the same objects. */
function regroup(
  before: EntryLists | undefined,
  gone: ReadonlySet<Entry>,
  come: readonly Entry[],
  keysOf: (entry: Entry) => readonly string[],
): EntryLists {
  const replaced =
    before !== undefined && gone.size === 1 && come.length === 1
      ? replaceOne(before, gone, come, keysOf)
      : undefined;
  if (replaced !== undefined) return replaced;
  const added = groupBy(come, keysOf);
  if (before === undefined) return added;
  const changed = new Set(added.keys());
  for (const entry of gone) for (const key of keysOf(entry)) changed.add(key);
  if (changed.size === 0) return before;
  const after = new Map(before);
  for (const key of changed) {
    const stay = (before.get(key) ?? EMPTY).filter((entry) => !gone.has(entry));
    const list = [...stay, ...(added.get(key) ?? EMPTY)].sort((a, b) => a.index - b.index);
    if (list.length === 0) after.delete(key);
    else after.set(key, list);
  }
  return after;
}

/** The lists where one entry stands in the place of another and has the same keys; undefined when it has not. */
function replaceOne(
  before: EntryLists,
  [gone]: Iterable<Entry>,
  [come]: readonly Entry[],
  keysOf: (entry: Entry) => readonly string[],
): EntryLists | undefined {
  if (gone === undefined || come === undefined || gone.index !== come.index) return undefined;
  const keys = keysOf(come);
  const old = keysOf(gone);
  if (keys.length !== old.length || keys.some((key, i) => key !== old[i])) return undefined;
  const after = new Map(before);
  for (const key of keys) {
    const list = (before.get(key) ?? EMPTY).slice();
    const at = list.indexOf(gone);
    if (at < 0) return undefined;
    list[at] = come;
    after.set(key, list);
  }
  return after;
}

/** Binds a file in its scope. `previous` is the rebuild of the same file before an edit. */
export function bind(
  file: SourceFile,
  own: FileDeclarations,
  {
    scope,
    imports,
    photographs = NOT_READ,
  }: {
    readonly scope: Scope;
    readonly imports: readonly Import[];
    readonly photographs?: Rebuild['photographs'];
  },
  previous?: Rebuild,
): Rebuild {
  const { path, kind } = own;
  const reusable =
    previous !== undefined && previous.scope === scope && previous.path === path ? previous : undefined;
  const walked =
    (reusable === undefined ? undefined : walkOneLine(file, reusable)) ?? walk(file, own, scope, reusable);
  const { steps, entries, release, closed, misplaced, bound, rebound, gone, come } = walked;
  const state: State | null =
    kind !== 'rebuild' ? null : release !== undefined ? 'released' : closed ? 'signed' : 'open';
  const byName = regroup(reusable?.byName, gone, come, namesOf);
  const byKind = regroup(reusable?.byKind, gone, come, (entry) => [entry.kind]);
  const carried = reusable?.imports === imports ? reusable.carried : carryOver(imports, scope.machine);
  const subjects = buildSubjects(
    { scope, isLog: kind === 'rebuild', byName, byKind, entries, carried },
    reusable,
  );
  /** The bound lines that matter, in order: the list before, unless the edit touched one of them. */
  const those = (
    before: readonly (Step | Entry)[] | undefined,
    matters: (one: Step | Entry) => boolean,
  ): readonly (Step | Entry)[] =>
    before !== undefined && steps === reusable?.steps && ![...gone, ...come].some(matters)
      ? before
      : bound.filter((one) => one !== undefined).filter(matters);
  return {
    path,
    kind,
    file,
    own,
    scope,
    imports,
    photographs,
    carried,
    state,
    steps,
    entries,
    ...subjects,
    ...trackItems([...(byKind.get('open') ?? EMPTY), ...(byKind.get('close') ?? EMPTY)]),
    runs: byKind.get('run') ?? EMPTY,
    release,
    marks: followMarks(
      file.blocks,
      inOrder([...(byKind.get('sign') ?? EMPTY), ...(byKind.get('release') ?? EMPTY)]).map(
        ({ block }) => block,
      ),
      reusable?.marks,
    ),
    misplaced,
    bound,
    rebound,
    byName,
    byKind,
    timed: those(reusable?.timed, (one) => one.moment !== undefined),
    unresolvedIn: those(reusable?.unresolvedIn, (one) => one.unresolved.length > 0),
  };
}

/** What a walk over the blocks gives. */
interface Walked extends Pick<Rebuild, 'steps' | 'entries' | 'release' | 'misplaced' | 'bound' | 'rebound'> {
  /** The log ends with a signature or a release. */
  readonly closed: boolean;
  /** Entries of the rebuild before that are no more, and entries that are new. */
  readonly gone: ReadonlySet<Entry>;
  readonly come: readonly Entry[];
}

/** The commonest edit: one line of a step became another. Undefined when the edit is anything else. */
function walkOneLine(file: SourceFile, previous: Rebuild): Walked | undefined {
  const { blocks } = file;
  const { prefix: at, suffix } = sameEnds(file, previous.file.blocks);
  if (blocks.length !== previous.file.blocks.length || at + suffix !== blocks.length - 1) return undefined;
  const block = blocks[at] as Block;
  const old = previous.bound[at];
  const { statement } = block;
  if (old === undefined || isStep(old) || old.step === undefined || statement === undefined) return undefined;
  if (statement.kind === 'unknown' || isClosing(old.kind) || previous.release !== undefined) return undefined;
  if (statementSpec(statement.kind)?.place !== 'entry') return undefined;
  const { path, scope, steps, release, misplaced } = previous;
  const known = statement as StatementNode & { kind: StatementKind };
  const entry = bindEntry(path, block, known, old.step, scope);
  entry.index = old.index;
  const entries = previous.entries.slice();
  entries[old.index] = entry;
  const bound = previous.bound.slice();
  bound[at] = entry;
  const closed = previous.state === 'signed';
  return {
    steps,
    entries,
    release,
    misplaced,
    bound,
    rebound: { since: previous.bound, block: at },
    closed,
    gone: new Set([old]),
    come: [entry],
  };
}

/** Every block in turn. */
function walk(
  file: SourceFile,
  { path, kind }: FileDeclarations,
  scope: Scope,
  reusable: Rebuild | undefined,
): Walked {
  const blocks = file.blocks;
  const oldBlocks = reusable?.file.blocks ?? EMPTY;
  const { prefix, suffix } = sameEnds(file, oldBlocks);
  const suffixStart = blocks.length - suffix;
  const shift = oldBlocks.length - blocks.length;

  const bound: (Step | Entry | undefined)[] = new Array(blocks.length);
  const steps: Step[] = [];
  const entries: Entry[] = [];
  const misplaced: Misplaced[] = [];
  const gone = new Set<Entry>();
  const come: Entry[] = [];
  const forget = (old: Step | Entry | undefined) => {
    if (old !== undefined && !isStep(old)) gone.add(old);
  };
  for (let i = prefix; i < oldBlocks.length - suffix; i++) forget(reusable?.bound[i]);
  let step: Step | undefined;
  let release: Entry | undefined;
  let opened = false;
  let lastSign = -1;

  for (let i = 0; i < blocks.length; i++) {
    const block = blocks[i] as Block;
    const statement = block.statement;
    if (statement === undefined || statement.kind === 'unknown') continue;
    const old =
      reusable === undefined || (i >= prefix && i < suffixStart)
        ? undefined
        : reusable.bound[i < prefix ? i : i + shift];
    // Most lines are entries that the edit has not touched.
    if (
      old !== undefined &&
      !isStep(old) &&
      old.step === step &&
      release === undefined &&
      !isClosing(old.kind)
    ) {
      if (step === undefined) misplaced.push({ block, statement, reason: 'before-any-step' });
      old.index = entries.length;
      entries.push(old);
      bound[i] = old;
      continue;
    }
    const place = statementSpec(statement.kind)?.place;
    if (place === undefined) continue;
    if (place === 'opening') {
      if (statement.kind !== openingOf(kind)) misplaced.push({ block, statement, reason: 'wrong-opening' });
      else if (opened) misplaced.push({ block, statement, reason: 'second-opening' });
      else if (i > 0 && blocks[0]?.statement !== undefined && blocks[0] !== block)
        misplaced.push({ block, statement, reason: 'not-first' });
      opened = true;
      continue;
    }
    if (place === 'declaration') {
      if (release !== undefined) misplaced.push({ block, statement, reason: 'after-release' });
      continue;
    }
    if (kind !== 'rebuild') {
      misplaced.push({ block, statement, reason: 'not-a-log' });
      continue;
    }
    if (release !== undefined && statement.kind !== 'note')
      misplaced.push({ block, statement, reason: 'after-release' });
    if (place === 'step') {
      step = old !== undefined && isStep(old) ? old : bindStep(path, block, statement, scope);
      steps.push(step);
      bound[i] = step;
      continue;
    }
    if (place === 'entry' && step === undefined && release === undefined)
      misplaced.push({ block, statement, reason: 'before-any-step' });
    let entry: Entry;
    if (old !== undefined && !isStep(old) && old.step === step) entry = old;
    else {
      forget(old);
      entry = bindEntry(path, block, statement as StatementNode & { kind: StatementKind }, step, scope);
      come.push(entry);
    }
    entry.index = entries.length;
    entries.push(entry);
    bound[i] = entry;
    if (place === 'closing') {
      lastSign = entries.length;
      step = undefined;
      if (entry.kind === 'release') release ??= entry;
    }
  }

  const first = opened ? undefined : blocks.find(({ statement }) => statement !== undefined);
  const isTold =
    first?.statement?.kind === 'unknown' || misplaced.some(({ reason }) => reason === 'wrong-opening');
  if (first?.statement !== undefined && !isTold)
    misplaced.unshift({ block: first, statement: first.statement, reason: 'no-opening' });
  const closed = lastSign === entries.length && lastSign > 0;
  return { steps, entries, release, misplaced, bound, rebound: undefined, closed, gone, come };
}

function isClosing(kind: StatementKind): boolean {
  return kind === 'sign' || kind === 'release';
}

function openingOf(kind: FileDeclarations['kind']): StatementKind {
  return kind === 'rebuild' ? 'log' : kind;
}

function inOrder(entries: readonly Entry[]): readonly Entry[] {
  return entries.toSorted((a, b) => a.index - b.index);
}

function trackItems(entries: readonly Entry[]): Pick<Rebuild, 'openItems' | 'strayItems'> {
  const items: OpenItem[] = [];
  const stray: Entry[] = [];
  for (const entry of inOrder(entries)) {
    const name = entry.statement.name?.text;
    if (name === undefined) continue;
    const at = items.findIndex((item) => item.name === name && item.closed === undefined);
    if (entry.kind === 'open') {
      if (at >= 0) stray.push(entry);
      else items.push({ name, opened: entry, closed: undefined });
    } else if (at < 0) stray.push(entry);
    else items[at] = { ...(items[at] as OpenItem), closed: entry };
  }
  return { openItems: items, strayItems: stray };
}

/** Whether the log must account for what is declared under this assembly. */
export function isCovered(scope: Scope, declaration: Declaration): boolean {
  return declaration.assembly !== undefined && (scope.covers?.has(declaration.assembly) ?? false);
}

type Subjects = Pick<
  Rebuild,
  'characteristics' | 'fastenerGroups' | 'parts' | 'joints' | 'inspections' | 'prerequisites'
>;

const NO_SUBJECTS: Subjects = {
  characteristics: EMPTY,
  fastenerGroups: EMPTY,
  parts: EMPTY,
  joints: EMPTY,
  inspections: EMPTY,
  prerequisites: EMPTY,
};

function buildSubjects(
  {
    scope,
    isLog,
    byName,
    byKind,
    entries,
    carried,
  }: Pick<Rebuild, 'scope' | 'byName' | 'byKind' | 'entries' | 'carried'> & { readonly isLog: boolean },
  previous: Rebuild | undefined,
): Subjects {
  if (!isLog) return NO_SUBJECTS;
  const of = (name: string): readonly Entry[] => byName.get(name) ?? EMPTY;

  const oldParts = new Map(previous?.parts.map((part) => [part.name, part]));
  const parts: PartHistory[] = [];
  for (const declaration of scope.parts.values()) {
    const entries = of(declaration.name);
    const inputs = [declaration, entries];
    const old = oldParts.get(declaration.name);
    parts.push(
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildPart(declaration, entries, isCovered(scope, declaration), inputs),
    );
  }

  const joints = buildJoints(scope, of, previous);
  const jointNamed = new Map(joints.map((joint) => [joint.name, joint]));
  /** What is `of` these names: the lists of lines that touch them, and the joints that may have been opened. */
  const touching = (names: readonly string[]) => {
    const named = names.map((name) => thingsNamed(name, scope));
    return {
      things: [...new Set(named.flatMap(({ things }) => [...things]))],
      joints: named.flatMap((one) => one.joints.map((name) => jointNamed.get(name))),
    };
  };
  const openings = (name: string): readonly Entry[] =>
    touching([name]).joints.flatMap((joint) => joint?.openings ?? EMPTY);

  const oldGroups = new Map(previous?.fastenerGroups.map((group) => [group.name, group]));
  const fastenerGroups: FastenerGroup[] = [];
  for (const declaration of scope.fasteners.values()) {
    const entries = of(declaration.name);
    const joint = [...scope.joints.values()].find((one) => one.fasteners.includes(declaration.name));
    const ofJoint = joint === undefined ? EMPTY : of(joint.name);
    const carriedFasteners = carried?.fasteners.get(declaration.name) ?? EMPTY;
    const inputs = [declaration, joint, entries, ofJoint, carriedFasteners];
    const old = oldGroups.get(declaration.name);
    if (old !== undefined && sameMembers(old.inputs, inputs)) {
      fastenerGroups.push(old);
      continue;
    }
    const sealings = ofJoint.filter((entry) => entry.kind === 'apply');
    fastenerGroups.push(
      buildFastenerGroup(
        {
          declaration,
          entries,
          sealings,
          joint,
          required: isCovered(scope, declaration),
          carried: carriedFasteners,
          people: scope.people,
        },
        inputs,
      ),
    );
  }

  const oldCharacteristics = new Map(previous?.characteristics.map((one) => [one.name, one]));
  const characteristics: Characteristic[] = [];
  const done = new Map<string, Characteristic>();
  const underWay = new Set<string>();
  const build = (name: string, declarations: readonly LimitDeclaration[]): Characteristic => {
    const ready = done.get(name);
    if (ready !== undefined) return ready;
    underWay.add(name);
    const sources: Characteristic[] = [];
    for (const declaration of declarations)
      for (const target of declaration.expression === undefined ? [] : namesIn(declaration.expression)) {
        const wanted = scope.limits.get(target.name.text);
        // A limit that is worked out from itself has no value; rule unknown-name says so.
        if (wanted === undefined || underWay.has(target.name.text)) continue;
        const source = build(target.name.text, wanted);
        if (!sources.includes(source)) sources.push(source);
      }
    const own = of(name);
    const causes = causesOf(declarations);
    const touched = touching(causes);
    const carriedParts = causes.map((cause) => carried?.parts.get(cause) ?? EMPTY);
    const carriedConcessions = carried?.concessions.get(name) ?? EMPTY;
    const inputs = [
      declarations,
      ...sources,
      own,
      ...touched.things.map(of),
      ...touched.joints,
      ...carriedParts,
      carriedConcessions,
    ];
    const old = oldCharacteristics.get(name);
    const built =
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildCharacteristic(
            {
              name,
              declarations,
              entries: own.filter((entry) => entry.kind === 'measure'),
              events: eventsFor(touched.things, of),
              openings,
              concessions: own.filter((entry) => entry.kind === 'accept'),
              carriedParts: carriedParts.flat(),
              carriedConcessions,
              sources,
              required: declarations.some((declaration) => isCovered(scope, declaration)),
              scope,
            },
            inputs,
          );
    underWay.delete(name);
    done.set(name, built);
    characteristics.push(built);
    return built;
  };
  for (const [name, declarations] of scope.limits) build(name, declarations);

  const closables: Closables = {
    scope,
    parts: new Map(parts.map((part) => [part.name, part])),
    joints: jointNamed,
    groups: new Map(fastenerGroups.map((group) => [group.name, group])),
  };
  const oldInspections = new Map(previous?.inspections.map((one) => [one.key, one]));
  const inspections: InspectionHistory[] = [];
  const quoted = new Set((byKind.get('inspect') ?? EMPTY).map((entry) => inspectionKey(entry) ?? ''));
  for (const key of new Set([...scope.inspections.keys(), ...quoted])) {
    const declaration = scope.inspections.get(key);
    if (declaration === undefined && !key.startsWith('"')) continue;
    const own = of(key);
    const pointers = [declaration?.of, declaration?.before].filter((one) => one !== undefined);
    const closedBy = (pointer: Pointer) => closingsOf(pointer, closablesOf(pointer, closables));
    const touched = touching(declaration?.of === undefined ? [] : [declaration.of.name]);
    const work = declaration?.needs === 'inspector' ? own.map((entry) => workInStep(entry, entries)) : EMPTY;
    const inputs = [
      declaration,
      own,
      ...touched.things.map(of),
      ...touched.joints,
      ...pointers.flatMap((pointer) => closablesOf(pointer, closables)),
      ...work.flat(),
    ];
    const old = oldInspections.get(key);
    inspections.push(
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildInspection(
            {
              key,
              declaration,
              entries: own,
              events: eventsFor(touched.things, of),
              openings: declaration?.of === undefined ? EMPTY : openings(declaration.of.name),
              closings: pointers.flatMap(closedBy).map(({ entry }) => entry),
              touched: pointers[0] === undefined ? undefined : closedBy(pointers[0]).at(-1)?.entry,
              workInStep: (entry) => work[own.indexOf(entry)] ?? EMPTY,
              required: declaration !== undefined && isCovered(scope, declaration),
              scope,
            },
            inputs,
          ),
    );
  }
  return {
    characteristics,
    fastenerGroups,
    parts,
    joints,
    inspections,
    prerequisites: buildPrerequisites(
      closables,
      { characteristics: done, inspections, of, touching: (name) => touching([name]) },
      previous,
    ),
  };
}

function buildJoints(
  scope: Scope,
  of: (name: string) => readonly Entry[],
  previous: Rebuild | undefined,
): readonly JointHistory[] {
  const old = new Map(previous?.joints.map((joint) => [joint.name, joint]));
  return [...scope.joints.values()].map((declaration) => {
    const groups = declaration.fasteners
      .map((name) => scope.fasteners.get(name))
      .filter((group) => group !== undefined);
    const names = [declaration.name, ...groups.map((group) => group.name)];
    const inputs = [declaration, ...names.map(of)];
    const before = old.get(declaration.name);
    return before !== undefined && sameMembers(before.inputs, inputs)
      ? before
      : buildJoint(declaration, groups, inOrder([...new Set(names.flatMap(of))]), inputs);
  });
}

interface PrerequisiteSources {
  readonly characteristics: ReadonlyMap<string, Characteristic>;
  readonly inspections: readonly InspectionHistory[];
  readonly of: (name: string) => readonly Entry[];
  readonly touching: (name: string) => {
    readonly things: readonly string[];
    readonly joints: readonly (JointHistory | undefined)[];
  };
}

/**
 * Each line of the tables that says `before`, with what it is done by. What is of a thing that this log neither
 * covers nor touches is not asked for: a new head gasket does not bring back the crankcase's inspections.
 */
function buildPrerequisites(
  closables: Closables,
  { characteristics, inspections, of, touching }: PrerequisiteSources,
  previous: Rebuild | undefined,
): readonly Prerequisite[] {
  const { scope, groups } = closables;
  const old = new Map(previous?.prerequisites.map((one) => [one.declaration, one]));
  const inspectionNamed = new Map(inspections.map((one) => [one.name, one]));
  const built: Prerequisite[] = [];
  for (const declaration of [
    ...[...scope.limits.values()].flat(),
    ...scope.inspections.values(),
    ...scope.fasteners.values(),
  ]) {
    const { before, name } = declaration;
    if (before === undefined) continue;
    const closed = closablesOf(before, closables);
    const characteristic = declaration.kind === 'limit' ? characteristics.get(name) : undefined;
    const inspection = declaration.kind === 'inspection' ? inspectionNamed.get(name) : undefined;
    const group = declaration.kind === 'fastener' ? groups.get(name) : undefined;
    const rests = declaration.of === undefined ? undefined : touching(declaration.of.name);
    const lists = rests?.things.map(of) ?? EMPTY;
    const joints = rests?.joints ?? EMPTY;
    const inputs = [declaration, characteristic, inspection, group, ...closed, ...lists, ...joints];
    const known = old.get(declaration);
    if (known !== undefined && sameMembers(known.inputs, inputs)) {
      built.push(known);
      continue;
    }
    const asked =
      rests === undefined ||
      isCovered(scope, declaration) ||
      lists.some((list) => list.length > 0) ||
      joints.some((joint) => joint !== undefined && (joint.closed ?? joint.openings[0]) !== undefined);
    const lacking = lackingFor(asked ? closingsOf(before, closed) : EMPTY, (closing) => {
      if (characteristic !== undefined && declaration.kind === 'limit')
        return readingsLack(characteristic, declaration, closing);
      if (inspection !== undefined) return inspectionLacks(inspection, closing);
      return group === undefined ? undefined : torqueLacks(group, closing);
    });
    built.push({ subject: 'prerequisite', declaration, lacking, inputs });
  }
  return built;
}

const WORK: ReadonlySet<StatementKind> = new Set([
  'remove',
  'fit',
  'apply',
  'finger-tight',
  'loosen',
  'torque',
]);

/** The lines of work in the step of an entry. */
function workInStep({ index, step }: Entry, entries: readonly Entry[]): readonly Entry[] {
  let from = index;
  while (from > 0 && entries[from - 1]?.step === step) from--;
  const work: Entry[] = [];
  for (let i = from; i < entries.length && entries[i]?.step === step; i++) {
    const entry = entries[i] as Entry;
    if (WORK.has(entry.kind)) work.push(entry);
  }
  return work;
}

/** The names of what a limit's lines are `of`, and of the parts whose grade they depend on. */
function causesOf(declarations: readonly LimitDeclaration[]): readonly string[] {
  const names = new Set<string>();
  for (const declaration of declarations) {
    if (declaration.of !== undefined) names.add(declaration.of.name);
    if (declaration.grade !== undefined) names.add(declaration.grade.part.name);
  }
  return [...names];
}

/** What happened to the things of these names, in the order of the log. */
function eventsFor(names: readonly string[], of: (name: string) => readonly Entry[]): readonly Entry[] {
  const events = names.flatMap((name) => of(name).filter((entry) => entry.kind !== 'measure'));
  return names.length < 2 ? events : events.sort((a, b) => a.index - b.index);
}
