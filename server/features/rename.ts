/** Gives a thing another name wherever it is named, or says why that cannot be done. */

import {
  type Block,
  blockAt,
  parse,
  type SourceFile,
  type Span,
  type TargetGradeNode,
} from '../../grammar/index.ts';
import { fileName } from '../rebuild/index.ts';
import type { Files, Place } from './files.ts';
import {
  filesNaming,
  meaningOf,
  type Named,
  type NameSpace,
  nameAt,
  namesOf,
  occurrencesIn,
  otherHomes,
  takenBy,
} from './names.ts';

/** A refusal, in words for the builder. */
export interface Refused {
  readonly refused: string;
}

export interface RenameEdit extends Place {
  readonly text: string;
  /** What the change would undo, where it touches what was signed or pinned: to be confirmed by a person. */
  readonly breaks: string | undefined;
}

const words: Readonly<Record<NameSpace, string>> = {
  shared: 'name',
  person: 'person',
  tool: 'tool',
  sealant: 'sealant',
  machine: 'machine',
  'open-item': 'open item',
};

/** The name at an offset, if it can be renamed. */
export function renameableAt(
  files: Files,
  path: string,
  offset: number,
): { readonly start: number; readonly end: number; readonly text: string } | Refused {
  const file = files.file(path);
  const found = file === undefined ? undefined : nameAt(file, offset);
  const apart = file === undefined ? undefined : partThatStays(file, offset);
  if (apart !== undefined) return { refused: apart };
  if (found === undefined)
    return { refused: 'Put the cursor on a name: a tool, a person, a limit, a group …' };
  const { block, name } = found;
  if (meaningOf(files, path, name).unknown)
    return {
      refused: name.orWord
        ? `\`${name.text}\` is a word of the trade, not a name that was declared.`
        : `Nothing declares ${name.text}.`,
    };
  return { start: block.start + name.start, end: block.start + name.end, text: name.text };
}

const stays = {
  member:
    'Members are not renamed: limits, parts and readings that belong together are matched by them. To rename the whole, put the cursor before the bracket.',
  place:
    'Places are not renamed: readings of other logs are compared by them. To rename the whole, put the cursor on the name in front.',
  grade: 'Grades are not renamed: they are written as the maker of the part calls them.',
};

/** Why what stands at an offset keeps its name, if it is a member, a place or a grade. */
function partThatStays(file: SourceFile, offset: number): string | undefined {
  const block = blockAt(file, offset);
  const { statement } = block ?? {};
  if (block === undefined || statement === undefined) return undefined;
  const inside = offset - block.start;
  const holds = ({ start, end }: Span) => start <= inside && inside <= end;
  for (const { name, value } of statement.clauses) {
    const grade =
      name === 'grade' ? value : name === 'for' ? (value as TargetGradeNode | undefined)?.grade : undefined;
    if (grade !== undefined && holds(grade as Span)) return stays.grade;
  }
  const name = nameAt(file, offset)?.name;
  if (name !== undefined && 'items' in name.target && inside > name.end)
    return name.target.place !== undefined && inside >= name.target.place.start ? stays.place : stays.member;
  const row = statement.rows.find(holds);
  const cell = row?.cells.find(holds);
  // The first row and the first column are headings: places where the target names its members, else members.
  const isHeading = cell !== undefined && (row === statement.rows[0] || cell === row?.cells[0]);
  if (!isHeading || cell.text === '') return undefined;
  return statement.target?.items === undefined ? stays.member : stays.place;
}

/** The edits that rename the thing named at an offset, in every file that names it. */
export function renameAt(
  files: Files,
  path: string,
  offset: number,
  given: string,
): readonly RenameEdit[] | Refused {
  const at = renameableAt(files, path, offset);
  const file = files.file(path);
  const found = file === undefined ? undefined : nameAt(file, offset);
  if ('refused' in at || found === undefined) return 'refused' in at ? at : { refused: 'Nothing to rename.' };
  const text = given.trim().normalize('NFC');
  if (text === found.name.text) return [];
  const fault = faultOfName(text);
  if (fault !== undefined) return { refused: fault };
  const meaning = meaningOf(files, path, found.name);
  const taken = takenBy(files, meaning, text);
  if (taken !== undefined)
    return {
      refused: `${fileName(taken.path)} has ${text} already (line ${taken.block.line + 1}): \`${firstLine(taken.block)}\`.`,
    };
  const edits: RenameEdit[] = [];
  for (const one of filesNaming(files, meaning)) {
    const places = occurrencesIn(files, meaning, one);
    if (places.length === 0) continue;
    const [other] = otherHomes(files, meaning, one);
    if (other !== undefined)
      return {
        refused: `${fileName(one)} names ${meaning.text} for logs of ${fileName(other)} too, where it would stay as it is. Rename it in both by hand.`,
      };
    const source = files.file(one);
    if (source === undefined) continue;
    for (const block of new Set(places.map((place) => place.block))) {
      const refused = misread(block, found.name, text);
      if (refused !== undefined)
        return { refused: `${refused} (${fileName(one)}, line ${block.line + 1}: \`${firstLine(block)}\`)` };
    }
    const sealed = sealedUpTo(source);
    const pinned = pinnedBy(files, one);
    for (const place of places)
      edits.push({
        path: one,
        start: place.start,
        end: place.end,
        text,
        breaks:
          place.start < sealed
            ? `${fileName(one)} is signed with a mark, which this would break`
            : pinned === undefined
              ? undefined
              : `${fileName(pinned)} pins ${fileName(one)} by its mark, which this would break`,
      });
  }
  const word = wordTaken(files, meaning.home, found.name.space, text);
  return word === undefined ? edits : { refused: word };
}

/** Why a text cannot be a name, if it cannot. */
function faultOfName(text: string): string | undefined {
  if (text === '') return 'A name cannot be empty.';
  if (/\s/.test(text)) return `A name has no blanks: write ${text.replace(/\s+/g, '-')}.`;
  if (!/^\p{L}/u.test(text)) return `A name begins with a letter: ${text} does not.`;
  if (text.endsWith('-')) return 'A name does not end in a hyphen.';
  const odd = /[^\p{L}\p{M}\p{N}_-]/u.exec(text)?.[0];
  if (odd !== undefined) return `A name has letters, digits, \`-\` and \`_\`, no \`${odd}\`.`;
  return undefined;
}

/** Why a statement would be read otherwise with the new name in it: some words are keywords where they stand. */
function misread(block: Block, old: Named, text: string): string | undefined {
  const names = namesOf(block);
  const changed = (name: Named) => name.text === old.text && name.space === old.space;
  let written = block.text;
  for (const name of [...names].reverse())
    if (changed(name)) written = written.slice(0, name.start) + text + written.slice(name.end);
  const [anew, ...others] = parse(written).blocks;
  const wanted = names.map((name) => `${name.space} ${changed(name) ? text : name.text}`);
  const same =
    anew !== undefined &&
    others.length === 0 &&
    anew.statement?.kind === block.statement?.kind &&
    anew.statement?.clauses.length === block.statement?.clauses.length &&
    anew.faults.length === block.faults.length &&
    namesOf(anew)
      .map((name) => `${name.space} ${name.text}`)
      .join('\n') === wanted.join('\n');
  return same ? undefined : `\`${text}\` would not be read as a name here`;
}

/** Why a sealant cannot take a name: it is a word of the trade that some fastener is locked by. */
function wordTaken(files: Files, home: string, space: NameSpace, text: string): string | undefined {
  if (space !== 'sealant') return undefined;
  if (text === 'stripe') return '`stripe` is the witness mark itself: a sealant needs another name.';
  for (const path of files.dependents(home))
    for (const { blocks } of files.reach(path))
      for (const block of blocks)
        if (namesOf(block).some((name) => name.space === 'sealant' && name.orWord && name.text === text))
          return `\`${text}\` is how a fastener is locked (\`${firstLine(block)}\`): a sealant needs another ${words[space]}.`;
  return undefined;
}

/** The end of the last signature with a mark: what stands before it is part of the mark. 0 without one. */
export function sealedUpTo(file: SourceFile): number {
  for (let i = file.blocks.length - 1; i >= 0; i--) {
    const block = file.blocks[i];
    const { statement } = block ?? {};
    if (block === undefined || (statement?.kind !== 'sign' && statement?.kind !== 'release')) continue;
    if (statement.clauses.some((clause) => clause.name === 'mark')) return block.start + statement.end;
  }
  return 0;
}

/** A file that uses `path` with its mark. */
export function pinnedBy(files: Files, path: string): string | undefined {
  return files
    .dependents(path)
    .find((one) => files.uses(one).some((use) => use.path === path && use.declaration.mark !== undefined));
}

function firstLine(block: Block): string {
  const from = block.text.slice(block.statement?.start ?? 0);
  const line = from.slice(0, /\r|\n|$/.exec(from)?.index).trim();
  return line.length > 60 ? `${line.slice(0, 59)}…` : line;
}
