/**
 * One rebuild from the syntax trees: what is declared, what happened, in which state.
 *
 * `bind` takes the rebuild of the text before an edit and gives every object back that the edit cannot have
 * changed: entries whose line, step and scope are the same, and subjects (a characteristic, a group of fasteners)
 * whose inputs are the same. What is the same object needs no second judgement.
 */
import {
  type Block,
  type SourceFile,
  type StatementKind,
  type StatementNode,
  statementSpec,
} from '../../grammar/index.ts';
import { buildCharacteristic, type Characteristic } from './characteristics.ts';
import {
  type Declaration,
  type FileDeclarations,
  isDeclaration,
  type LimitDeclaration,
  sameMembers,
  type UseDeclaration,
} from './declarations.ts';
import { bindEntry, bindStep, type Entry, type Step } from './entries.ts';
import { namesIn } from './expressions.ts';
import { buildFastenerGroup, type FastenerGroup } from './fasteners.ts';
import { buildPart, type PartHistory } from './parts.ts';
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
    | 'wrong-opening';
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
  readonly declarations: FileDeclarations | undefined;
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
  /** Null for a table of limits and a register. */
  readonly state: State | null;
  readonly steps: readonly Step[];
  readonly entries: readonly Entry[];
  readonly characteristics: readonly Characteristic[];
  readonly fastenerGroups: readonly FastenerGroup[];
  readonly parts: readonly PartHistory[];
  readonly openItems: readonly OpenItem[];
  /** `close` lines that close nothing, and `open` lines whose name is already open. */
  readonly strayItems: readonly Entry[];
  /** The `run` lines, in the order of the log. */
  readonly runs: readonly Entry[];
  readonly release: Entry | undefined;
  readonly misplaced: readonly Misplaced[];
  /** What each block became; parallel to `file.blocks`. */
  readonly bound: readonly (Step | Entry | undefined)[];
}

/** Whether the object came from a `step` line. */
function isStep(bound: Step | Entry | undefined): bound is Step {
  return bound !== undefined && !('kind' in bound);
}

/** The blocks of a file that declare something; what `declarationsOf` works on. */
export function declarationBlocks(file: SourceFile): readonly Block[] {
  return file.blocks.filter((block) => block.statement !== undefined && isDeclaration(block.statement));
}

const EMPTY: readonly never[] = [];

/** Binds a file in its scope. `previous` is the rebuild of the same file before an edit. */
export function bind(
  file: SourceFile,
  own: FileDeclarations,
  { scope, imports }: { readonly scope: Scope; readonly imports: readonly Import[] },
  previous?: Rebuild,
): Rebuild {
  const { path, kind } = own;
  const reusable =
    previous !== undefined && previous.scope === scope && previous.path === path ? previous : undefined;
  const blocks = file.blocks;
  const oldBlocks = reusable?.file.blocks ?? EMPTY;
  let prefix = 0;
  while (prefix < blocks.length && prefix < oldBlocks.length && blocks[prefix] === oldBlocks[prefix])
    prefix++;
  let suffix = 0;
  const most = Math.min(blocks.length, oldBlocks.length) - prefix;
  while (suffix < most && blocks[blocks.length - 1 - suffix] === oldBlocks[oldBlocks.length - 1 - suffix])
    suffix++;
  const suffixStart = blocks.length - suffix;
  const shift = oldBlocks.length - blocks.length;

  const bound: (Step | Entry | undefined)[] = new Array(blocks.length);
  const steps: Step[] = [];
  const entries: Entry[] = [];
  const misplaced: Misplaced[] = [];
  const byName = new Map<string, Entry[]>();
  const items: Entry[] = [];
  const runs: Entry[] = [];
  let step: Step | undefined;
  let release: Entry | undefined;
  let opened = false;
  let lastSign = -1;

  for (let i = 0; i < blocks.length; i++) {
    const block = blocks[i] as Block;
    const statement = block.statement;
    if (statement === undefined || statement.kind === 'unknown') continue;
    const spec = statementSpec(statement.kind);
    if (spec === undefined) continue;
    const place = spec.place;
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
    const old =
      reusable === undefined || (i >= prefix && i < suffixStart)
        ? undefined
        : reusable.bound[i < prefix ? i : i + shift];
    if (place === 'step') {
      step = isStep(old) ? old : bindStep(path, block, statement, scope);
      steps.push(step);
      bound[i] = step;
      continue;
    }
    if (place === 'entry' && step === undefined && release === undefined)
      misplaced.push({ block, statement, reason: 'before-any-step' });
    const entry: Entry =
      old !== undefined && !isStep(old) && old.step === step
        ? old
        : bindEntry(path, block, statement as StatementNode & { kind: StatementKind }, step, scope);
    entry.index = entries.length;
    entries.push(entry);
    bound[i] = entry;
    if (place === 'closing') {
      lastSign = entries.length;
      step = undefined;
      if (entry.kind === 'release') release ??= entry;
      continue;
    }
    for (const target of entry.targets) {
      if (target.declaration === undefined && entry.kind !== 'accept') continue;
      const list = byName.get(target.name);
      if (list === undefined) byName.set(target.name, [entry]);
      else if (list[list.length - 1] !== entry) list.push(entry);
    }
    if (entry.kind === 'open' || entry.kind === 'close') items.push(entry);
    else if (entry.kind === 'run') runs.push(entry);
  }

  const state: State | null =
    kind !== 'rebuild'
      ? null
      : release !== undefined
        ? 'released'
        : lastSign === entries.length && lastSign > 0
          ? 'signed'
          : 'open';
  const subjects = buildSubjects(scope, kind === 'rebuild', byName, reusable);
  const { openItems, strayItems } = trackItems(items);
  return {
    path,
    kind,
    file,
    own,
    scope,
    imports,
    state,
    steps,
    entries,
    ...subjects,
    openItems,
    strayItems,
    runs,
    release,
    misplaced,
    bound,
  };
}

function openingOf(kind: FileDeclarations['kind']): StatementKind {
  return kind === 'rebuild' ? 'log' : kind;
}

function trackItems(entries: readonly Entry[]): Pick<Rebuild, 'openItems' | 'strayItems'> {
  const items: OpenItem[] = [];
  const stray: Entry[] = [];
  for (const entry of entries) {
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

type Subjects = Pick<Rebuild, 'characteristics' | 'fastenerGroups' | 'parts'>;

function buildSubjects(
  scope: Scope,
  isLog: boolean,
  byName: ReadonlyMap<string, Entry[]>,
  previous: Rebuild | undefined,
): Subjects {
  if (!isLog) return { characteristics: EMPTY, fastenerGroups: EMPTY, parts: EMPTY };
  const of = (name: string): readonly Entry[] => byName.get(name) ?? EMPTY;

  const oldParts = new Map(previous?.parts.map((part) => [part.name, part]));
  const parts: PartHistory[] = [];
  for (const declaration of scope.parts.values()) {
    const entries = of(declaration.name);
    const inputs = [declaration, ...entries];
    const old = oldParts.get(declaration.name);
    parts.push(
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildPart(declaration, entries, isCovered(scope, declaration), inputs),
    );
  }

  const oldGroups = new Map(previous?.fastenerGroups.map((group) => [group.name, group]));
  const fastenerGroups: FastenerGroup[] = [];
  for (const declaration of scope.fasteners.values()) {
    const entries = of(declaration.name);
    const joint = [...scope.joints.values()].find((one) => one.fasteners.includes(declaration.name));
    const sealings = joint === undefined ? EMPTY : of(joint.name).filter((entry) => entry.kind === 'apply');
    const inputs = [declaration, joint, ...entries, null, ...sealings];
    const old = oldGroups.get(declaration.name);
    fastenerGroups.push(
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildFastenerGroup(declaration, entries, sealings, joint, isCovered(scope, declaration), inputs),
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
    const entries = own.filter((entry) => entry.kind === 'measure');
    const concessions = own.filter((entry) => entry.kind === 'accept');
    const events = eventsFor(declarations, of);
    const required = declarations.some((declaration) => isCovered(scope, declaration));
    const inputs = [declarations, ...sources, null, ...entries, null, ...events, null, ...concessions];
    const old = oldCharacteristics.get(name);
    const built =
      old !== undefined && sameMembers(old.inputs, inputs)
        ? old
        : buildCharacteristic(
            { name, declarations, entries, events, concessions, sources, required, scope },
            inputs,
          );
    underWay.delete(name);
    done.set(name, built);
    characteristics.push(built);
    return built;
  };
  for (const [name, declarations] of scope.limits) build(name, declarations);
  return { characteristics, fastenerGroups, parts };
}

/** What happened to the things that a limit's lines are `of`, and to the parts whose grade they depend on. */
function eventsFor(
  declarations: readonly LimitDeclaration[],
  of: (name: string) => readonly Entry[],
): readonly Entry[] {
  const names = new Set<string>();
  for (const declaration of declarations) {
    if (declaration.of !== undefined) names.add(declaration.of.name);
    if (declaration.grade !== undefined) names.add(declaration.grade.part.name);
  }
  if (names.size === 0) return EMPTY;
  const events = [...names].flatMap((name) => of(name).filter((entry) => entry.kind !== 'measure'));
  return names.size === 1 ? events : events.sort((a, b) => a.index - b.index);
}
