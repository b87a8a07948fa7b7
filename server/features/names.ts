/**
 * The names that stand in a statement, what each of them means, and where else the same thing is named.
 *
 * The names of a block are worked out when they are first asked for and kept with the block, so an edit costs
 * nothing here, and the next question reads only the statement that changed.
 */
import {
  type Block,
  blockAt,
  type ExpressionNode,
  type NameNode,
  type Refers,
  type Span,
  type StatementNode,
  statementSpec,
  type TargetNode,
  type ValueKind,
} from '../../grammar/index.ts';
import { type Declaration, type FileDeclarations, namesIn } from '../rebuild/index.ts';
import type { Files, Place } from './files.ts';

/** Limits, fasteners, parts, joints, stacks, inspections and assemblies share one name space. */
export type NameSpace = 'shared' | 'person' | 'tool' | 'sealant' | 'machine' | 'open-item';

/** A name that stands in a statement. */
export interface Named extends Span {
  readonly space: NameSpace;
  readonly text: string;
  /** The statement declares it. */
  readonly declares: boolean;
  /** It may also be a word of the trade: `cotter`, `stripe`. */
  readonly orWord: boolean;
  /** The whole target (`case-m8[1..4]`) that it begins; otherwise the name itself. */
  readonly target: Span | TargetNode;
}

/** One thing that names mean: where it is declared, and how it is called there. */
export interface Meaning {
  readonly space: NameSpace;
  readonly text: string;
  /** The file that declares it; the file that speaks of it where nothing does. */
  readonly home: string;
  /** Nothing declares it. */
  readonly unknown: boolean;
}

/** A place where a thing is named. */
export interface Occurrence extends Place {
  readonly block: Block;
  readonly declares: boolean;
  readonly name: Named;
}

const kept = new WeakMap<Block, readonly Named[]>();
const none: readonly Named[] = [];

/** The names of a block's statement, in the order in which they stand; spans count from the block's start. */
export function namesOf(block: Block): readonly Named[] {
  if (block.statement === undefined || block.statement.kind === 'note') return none;
  let names = kept.get(block);
  if (names === undefined) {
    names = [...readNames(block.statement)].sort((a, b) => a.start - b.start);
    kept.set(block, names);
  }
  return names;
}

function* readNames(statement: StatementNode): Iterable<Named> {
  const spec = statementSpec(statement.kind);
  if (spec === undefined) return;
  for (const fixed of spec.fixed)
    yield* namesFor(statement, fixed.value, fixed.refers, statement[fixed.name as keyof StatementNode]);
  for (const clause of statement.clauses) {
    const own = spec.clauses.find((one) => one.name === clause.name);
    if (own !== undefined) yield* namesFor(statement, own.value, own.refers, clause.value);
  }
}

/** The names in one part of a statement; the table says how the part is read and what its names refer to. */
function* namesFor(
  statement: StatementNode,
  value: ValueKind,
  refers: Refers | undefined,
  node: unknown,
): Iterable<Named> {
  if (node === undefined) return;
  if (value === 'expression') {
    for (const target of namesIn(node as ExpressionNode))
      yield named(statement, 'limit', target.name, target);
    return;
  }
  if (refers === undefined) return;
  switch (value) {
    case 'name':
      yield named(statement, refers, node as NameNode);
      break;
    case 'names':
      for (const name of node as readonly NameNode[]) yield named(statement, refers, name);
      break;
    case 'target':
      yield named(statement, refers, (node as TargetNode).name, node as TargetNode);
      break;
    case 'targets':
    case 'members':
      for (const target of node as readonly TargetNode[]) yield named(statement, refers, target.name, target);
      break;
    case 'target-grade': {
      const { target } = node as { readonly target: TargetNode };
      yield named(statement, refers, target.name, target);
      break;
    }
    case 'inspection':
      if (!(node as { readonly quoted: boolean }).quoted) yield named(statement, refers, node as NameNode);
      break;
    default:
      break;
  }
}

function named(
  statement: StatementNode,
  refers: Refers,
  name: NameNode,
  target: Span | TargetNode = name,
): Named {
  return {
    space: refers === 'new' ? spaceDeclaredBy(statement.kind) : spaceOf(refers),
    text: name.text,
    start: name.start,
    end: name.end,
    declares: refers === 'new' || statement.kind === 'open',
    orWord: refers === 'applied',
    target,
  };
}

function spaceOf(refers: Refers): NameSpace {
  switch (refers) {
    case 'tool':
    case 'person':
    case 'sealant':
    case 'open-item':
      return refers;
    case 'applied':
      return 'sealant';
    default:
      return 'shared';
  }
}

/** The name space of what a statement of that kind declares. */
function spaceDeclaredBy(kind: string): NameSpace {
  return kind === 'tool' || kind === 'person' || kind === 'sealant' || kind === 'machine' ? kind : 'shared';
}

/** The name at an offset, with its block. A target's brackets belong to its name. */
export function nameAt(
  file: Parameters<typeof blockAt>[0],
  offset: number,
): { readonly block: Block; readonly name: Named } | undefined {
  const block = blockAt(file, offset);
  if (block === undefined) return undefined;
  const inside = offset - block.start;
  const names = namesOf(block);
  const name =
    names.find((one) => one.start <= inside && inside <= one.end) ??
    names.find((one) => one.target.start <= inside && inside <= one.target.end);
  return name === undefined ? undefined : { block, name };
}

const declared = new WeakMap<FileDeclarations, ReadonlyMap<string, readonly Declaration[]>>();

/** What a file declares under a name, in its order. */
function declarationsIn(file: FileDeclarations, space: NameSpace, text: string): readonly Declaration[] {
  let index = declared.get(file);
  if (index === undefined) {
    const building = new Map<string, Declaration[]>();
    for (const declaration of file.declarations) {
      if (!namesOf(declaration.block).some((one) => one.declares)) continue;
      const key = `${spaceDeclaredBy(declaration.kind)} ${declaration.name}`;
      const others = building.get(key);
      if (others === undefined) building.set(key, [declaration]);
      else others.push(declaration);
    }
    index = building;
    declared.set(file, index);
  }
  return index.get(`${space} ${text}`) ?? [];
}

/** The first file, among those that `path` can speak of, that declares the name. */
function homeOf(files: Files, path: string, space: NameSpace, text: string): string | undefined {
  return files.reach(path).find((one) => declarationsIn(one, space, text).length > 0)?.path;
}

/** What a name means where it stands in a file. */
export function meaningOf(files: Files, path: string, name: Named): Meaning {
  const { space, text } = name;
  if (space === 'open-item') return { space, text, home: path, unknown: false };
  const home = homeOf(files, path, space, text) ?? lent(files, path, space, text)[0];
  return { space, text, home: home ?? path, unknown: home === undefined };
}

/**
 * Where a name that a file neither declares nor brings in is declared for the files that use it: a table of limits
 * names the sealants of whatever workshop's register its log uses.
 */
function lent(files: Files, path: string, space: NameSpace, text: string): readonly string[] {
  const homes = new Set<string>();
  for (const dependent of files.dependents(path)) {
    const home = homeOf(files, dependent, space, text);
    if (home !== undefined) homes.add(home);
  }
  return [...homes];
}

/** The declarations that a name at home in a file stands for. */
export function declarationsOfMeaning(files: Files, meaning: Meaning): readonly Declaration[] {
  const home = files.reach(meaning.home)[0];
  return home === undefined ? [] : declarationsIn(home, meaning.space, meaning.text);
}

/** The files in which the name means this and no other thing, its home first. */
export function filesNaming(files: Files, meaning: Meaning): readonly string[] {
  const { space, text, home, unknown } = meaning;
  if (unknown || space === 'open-item') return [home];
  const found = new Set<string>([home]);
  for (const path of files.dependents(home)) {
    if (homeOf(files, path, space, text) !== home) continue;
    found.add(path);
    for (const used of files.reach(path))
      if (!found.has(used.path) && homeOf(files, used.path, space, text) === undefined) found.add(used.path);
  }
  return [...found];
}

/** Where one file names the thing, in the order of its text. */
export function occurrencesIn(files: Files, meaning: Meaning, path: string): readonly Occurrence[] {
  const file = files.file(path);
  if (file === undefined) return [];
  const found: Occurrence[] = [];
  // Letters with marks may be written in two ways; other names are looked for in the text before its names are read.
  const plain = /^[\x20-\x7e]*$/.test(meaning.text);
  for (const block of file.blocks) {
    if (plain && !block.text.includes(meaning.text)) continue;
    for (const name of namesOf(block))
      if (name.text === meaning.text && name.space === meaning.space)
        found.push({
          path,
          block,
          start: block.start + name.start,
          end: block.start + name.end,
          declares: name.declares,
          name,
        });
  }
  return found;
}

/** The statement that already calls another thing `text`, where a file can speak of both. */
export function takenBy(
  files: Files,
  meaning: Meaning,
  text: string,
): { readonly path: string; readonly block: Block } | undefined {
  if (meaning.space === 'open-item')
    return occurrencesIn(files, { ...meaning, text }, meaning.home).find((one) => one.declares);
  for (const path of files.dependents(meaning.home))
    for (const reached of files.reach(path)) {
      const [taken] = declarationsIn(reached, meaning.space, text);
      if (taken !== undefined) return taken;
    }
  return undefined;
}

/** Other files that the name is at home in for some log, although `path` itself does not bring any of them in. */
export function otherHomes(files: Files, meaning: Meaning, path: string): readonly string[] {
  if (homeOf(files, path, meaning.space, meaning.text) !== undefined) return [];
  return lent(files, path, meaning.space, meaning.text).filter((home) => home !== meaning.home);
}
