/** Where a name is declared, and everywhere that the same thing is named: definition, references, highlights. */
import type { TargetNode } from '../../grammar/index.ts';
import { selectItems, spaceOf } from '../rebuild/index.ts';
import type { Files, Place } from './files.ts';
import {
  declarationsOfMeaning,
  filesNaming,
  type Meaning,
  meaningOf,
  nameAt,
  namesOf,
  type Occurrence,
  occurrencesIn,
} from './names.ts';

/** A way from what stands in the text to where it is declared. */
export interface Definition {
  /** What the way begins from, in the file that was asked about. */
  readonly from: { readonly start: number; readonly end: number };
  /** The name in its declaration, or the start of a file. */
  readonly to: Place;
  /** The whole declaration. */
  readonly whole: { readonly start: number; readonly end: number };
}

/** Where the name at an offset is declared; for the text of a `use`, the file that it brings in. */
export function definitionsAt(files: Files, path: string, offset: number): readonly Definition[] {
  const file = files.file(path);
  if (file === undefined) return [];
  const used = files.uses(path).find(({ declaration: { block, at } }) => {
    const inside = offset - block.start;
    return inside >= at.start && inside <= at.end && file.blocks.includes(block);
  });
  if (used !== undefined) {
    if (files.file(used.path) === undefined) return [];
    const { block, at } = used.declaration;
    return [
      {
        from: { start: block.start + at.start, end: block.start + at.end },
        to: { path: used.path, start: 0, end: 0 },
        whole: { start: 0, end: 0 },
      },
    ];
  }
  const found = nameAt(file, offset);
  if (found === undefined) return [];
  const { block, name } = found;
  const from = { start: block.start + name.start, end: block.start + name.end };
  const meaning = meaningOf(files, path, name);
  if (name.space === 'open-item')
    return occurrencesIn(files, meaning, path)
      .filter((one) => one.declares)
      .map((one) => ({ from, to: one, whole: wholeOf(one) }));
  return declarationsOfMeaning(files, meaning).flatMap((declaration) => {
    const own = namesOf(declaration.block).find((one) => one.declares);
    if (own === undefined) return [];
    const to = {
      path: declaration.path,
      block: declaration.block,
      start: declaration.block.start + own.start,
      end: declaration.block.start + own.end,
    };
    return [{ from, to, whole: wholeOf(to) }];
  });
}

function wholeOf({ block }: Pick<Occurrence, 'block'>): { readonly start: number; readonly end: number } {
  return {
    start: block.start + (block.statement?.start ?? 0),
    end: block.start + (block.statement?.end ?? block.text.length),
  };
}

/**
 * Everywhere that the thing named at an offset is named, its declarations among them; file by file. On a member in
 * brackets: where one of those members is meant, by the whole of what names it.
 */
export function referencesAt(files: Files, path: string, offset: number): readonly Occurrence[] {
  const found = namedAt(files, path, offset);
  if (found === undefined) return [];
  return found.only(
    filesNaming(files, found.meaning).flatMap((one) => occurrencesIn(files, found.meaning, one)),
  );
}

/** Everywhere in the same file that the thing (or the member) named at an offset is named. */
export function highlightsAt(files: Files, path: string, offset: number): readonly Occurrence[] {
  const found = namedAt(files, path, offset);
  return found === undefined ? [] : found.only(occurrencesIn(files, found.meaning, path));
}

/** What is named at an offset, and which of the places that name it are meant. */
function namedAt(
  files: Files,
  path: string,
  offset: number,
):
  | { readonly meaning: Meaning; readonly only: (all: readonly Occurrence[]) => readonly Occurrence[] }
  | undefined {
  const file = files.file(path);
  const found = file === undefined ? undefined : nameAt(file, offset);
  if (found === undefined) return undefined;
  const { block, name } = found;
  const meaning = meaningOf(files, path, name);
  const spaces = declarationsOfMeaning(files, meaning).map(spaceOf);
  const membersOf = (target: TargetNode) =>
    new Set(spaces.flatMap((space) => selectItems(target, space, space.items).items));
  const inside = offset - block.start;
  const member =
    'items' in name.target && inside > name.end
      ? name.target.items?.find((one) => one.start <= inside && inside <= one.end)
      : undefined;
  if (member === undefined || !('items' in name.target)) return { meaning, only: (all) => all };
  const wanted = membersOf({ ...name.target, items: [member] });
  return {
    meaning,
    only: (all) =>
      all.flatMap((one) => {
        const { target } = one.name;
        // A name alone stands for every member.
        if (!('items' in target) || target.items === undefined) return [one];
        if (![...membersOf(target)].some((item) => wanted.has(item))) return [];
        return [{ ...one, start: one.block.start + target.start, end: one.block.start + target.end }];
      }),
  };
}
