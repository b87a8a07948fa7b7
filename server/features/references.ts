/** Where a name is declared, and everywhere that the same thing is named: definition, references, highlights. */
import type { Files, Place } from './files.ts';
import {
  declarationsOfMeaning,
  filesNaming,
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

/** Everywhere that the thing named at an offset is named, its declarations among them; file by file. */
export function referencesAt(files: Files, path: string, offset: number): readonly Occurrence[] {
  const file = files.file(path);
  const found = file === undefined ? undefined : nameAt(file, offset);
  if (found === undefined) return [];
  const meaning = meaningOf(files, path, found.name);
  return filesNaming(files, meaning).flatMap((one) => occurrencesIn(files, meaning, one));
}

/** Everywhere in the same file that the thing named at an offset is named. */
export function highlightsAt(files: Files, path: string, offset: number): readonly Occurrence[] {
  const file = files.file(path);
  const found = file === undefined ? undefined : nameAt(file, offset);
  return found === undefined ? [] : occurrencesIn(files, meaningOf(files, path, found.name), path);
}
