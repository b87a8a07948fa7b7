/** The edits that pin what a log uses and write the mark of a signature, or the reason why none may be written. */
import { type Block, clauseNode, parse, type StatementNode } from '../../grammar/index.ts';
import type { Rebuild } from './bind.ts';
import { type Fix, type Location, locate } from './finding.ts';
import { digestOf, fileDigest, isMarkOf, MARK_DIGITS } from './marks.ts';

/** A stretch of the log with what is to stand there instead. */
export type MarkEdit = Fix['edits'][number];

/** How to mark a signature. */
export interface MarkPlan {
  /** The `sign` or `release` line that is marked. */
  readonly closing: Block;
  readonly mark: string;
  readonly edits: readonly MarkEdit[];
  /** The files and photographs that the edits pin, as the log writes them. */
  readonly pinned: readonly string[];
  readonly unpinned: readonly Unpinned[];
}

/** What stays without a pin: an earlier mark covers its line, or it could not be read. */
export interface Unpinned {
  readonly file: string;
  readonly reason: 'marked' | 'unread';
}

/** Why no mark may be written, in one sentence with its remedy. */
export interface MarkRefusal {
  readonly at: Location;
  readonly message: string;
}

/** A photograph that a log names. */
export interface Photo {
  readonly block: Block;
  /** The file as written, from the folder of the log. */
  readonly file: string;
  /** The digits it is pinned with. */
  readonly mark: string | undefined;
}

/** The photographs of a log, in its order. */
export function photosOf(rebuild: Rebuild): readonly Photo[] {
  const photos: Photo[] = [];
  for (const { block, statement } of rebuild.byKind.get('photo') ?? []) {
    if (statement.text === undefined || statement.text.placeholder) continue;
    photos.push({ block, file: statement.text.text, mark: clauseNode(statement, 'mark')?.value?.text });
  }
  return photos;
}

/** The photographs that a log pins, as written, each file once. */
export function pinnedPhotographs(rebuild: Rebuild): ReadonlySet<string> {
  return new Set(photosOf(rebuild).flatMap(({ file, mark }) => (mark === undefined ? [] : [file])));
}

/** The position of the last line that a mark covers; -1 when nothing is marked. */
export function lastMarkedStart(rebuild: Rebuild): number {
  return rebuild.marks.spans.at(-1)?.block.start ?? -1;
}

export interface MarkWishes {
  /** The `sign` or `release` to mark; without it, the last one that has no mark. */
  readonly closing?: Block;
  /** Digests (64 hexadecimal digits) of the photographs' bytes, by the file as the log writes it. */
  readonly photos?: ReadonlyMap<string, string>;
}

/**
 * The edits that first pin each `use` and `photo` and then mark a signature. Refuses where a mark would vouch for
 * something that is not so: an earlier mark is broken, a line does not parse, a used file is missing or no longer what
 * it was pinned as.
 */
export function markEdits(rebuild: Rebuild, wishes: MarkWishes = {}): MarkPlan | MarkRefusal {
  const closing = wishes.closing ?? rebuild.marks.unmarked.at(-1);
  const { statement } = closing ?? {};
  const broken = brokenMark(rebuild);
  if (broken !== undefined) return broken;
  if (closing === undefined || statement === undefined || !rebuild.marks.unmarked.includes(closing))
    return refuseAt(rebuild, closing, nothingToMark(rebuild));
  const marked = lastMarkedStart(rebuild);
  const refusal = unreadable(rebuild, marked, closing);
  if (refusal !== undefined) return refusal;

  const edits: MarkEdit[] = [];
  const pinned: string[] = [];
  const unpinned: Unpinned[] = [];
  const pin = (block: Block, own: StatementNode, file: string, digest: string | undefined) => {
    if (block.start < marked) unpinned.push({ file, reason: 'marked' });
    else if (digest === undefined) unpinned.push({ file, reason: 'unread' });
    else {
      edits.push(insertMark(rebuild.path, block, own, digest.slice(0, MARK_DIGITS)));
      pinned.push(file);
    }
  };
  for (const { declaration, status, file, loop } of rebuild.imports) {
    const { block, mark } = declaration;
    if (block.start > closing.start || (mark !== undefined && block.start < marked)) continue;
    const at = locate(rebuild.path, block, declaration.statement);
    if (file === undefined || status !== 'read' || loop !== undefined) {
      if (block.start < marked) unpinned.push({ file: declaration.file, reason: 'marked' });
      else
        return {
          at,
          message: `${declaration.file} cannot be pinned: it cannot be read. Mend the line first.`,
        };
    } else if (mark === undefined) pin(block, declaration.statement, declaration.file, fileDigest(file));
    else if (!isMarkOf(mark, fileDigest(file)))
      return {
        at,
        message: `${declaration.file} is not what it was when it was pinned here. Look at what changed in it, then take the pin out or pin it as it is now.`,
      };
  }
  for (const { block, file, mark } of photosOf(rebuild)) {
    if (block.start > closing.start || block.statement === undefined) continue;
    const digest = wishes.photos?.get(file);
    if (mark === undefined) pin(block, block.statement, file, digest);
    else if (digest !== undefined && !isMarkOf(mark, digest) && block.start > marked)
      return {
        at: locate(rebuild.path, block, block.statement),
        message: `${file} is not the photograph that was pinned here. Put the right one back, or take the pin out.`,
      };
  }

  const mark = markAfter(rebuild, closing, edits);
  edits.push(insertMark(rebuild.path, closing, statement, mark));
  return { closing, mark, edits, pinned, unpinned };
}

/** The text of the log with the edits made. */
export function applyMarkEdits(text: string, edits: readonly MarkEdit[]): string {
  let result = '';
  let at = 0;
  for (const edit of edits.toSorted((a, b) => startOf(a) - startOf(b))) {
    result += text.slice(at, startOf(edit)) + edit.text;
    at = edit.block.start + edit.end;
  }
  return result + text.slice(at);
}

function startOf({ block, start }: Location): number {
  return block.start + start;
}

function nothingToMark({ kind, entries, marks }: Rebuild): string {
  if (kind !== 'rebuild') return 'Only a log is signed and marked.';
  if (marks.spans.length > 0) return 'Every signature up to here is marked already.';
  return entries.some((entry) => entry.kind === 'sign' || entry.kind === 'release')
    ? 'This line carries no signature that could be marked.'
    : 'Nothing is signed yet: a mark belongs to a sign or a release line.';
}

function refuseAt(rebuild: Rebuild, block: Block | undefined, message: string): MarkRefusal {
  const shown = block ?? rebuild.marks.spans.at(-1)?.block ?? rebuild.file.blocks[0];
  const at =
    shown === undefined
      ? { path: rebuild.path, block: NO_BLOCK, start: 0, end: 0 }
      : locate(rebuild.path, shown, shown.statement ?? { start: 0, end: 0 });
  return { at, message };
}

/** What an empty file has. */
const NO_BLOCK: Block = {
  start: 0,
  line: 0,
  text: '',
  lineBreaks: 0,
  statement: undefined,
  comments: [],
  faults: [],
};

function brokenMark(rebuild: Rebuild): MarkRefusal | undefined {
  const broken = rebuild.marks.spans.find((span) => !span.holds);
  return broken === undefined
    ? undefined
    : {
        at: locate(rebuild.path, broken.block, broken.mark),
        message:
          'An earlier mark is broken: what stands above it was changed since. Bring that text back first; a new mark would hide the change.',
      };
}

/** The first line after the last mark, up to the signature, that was not read whole. */
function unreadable(rebuild: Rebuild, marked: number, closing: Block): MarkRefusal | undefined {
  for (const [i, block] of rebuild.file.blocks.entries()) {
    if (block.start < marked || block.start > closing.start || block.statement === undefined) continue;
    const { statement } = block;
    const bound = rebuild.bound[i];
    const faults = [...block.faults, ...(bound !== undefined && 'faults' in bound ? bound.faults : [])];
    if (faults.length === 0 && !statement.broken && statement.kind !== 'unknown') continue;
    return {
      at: locate(rebuild.path, block, faults[0] ?? statement),
      message: 'This line is not understood, so nobody can sign for what it says. Mend it first.',
    };
  }
  return closing.statement?.when?.placeholder === true
    ? {
        at: locate(rebuild.path, closing, closing.statement.when),
        message: 'The date of this signature is still open. Write it first.',
      }
    : undefined;
}

/** ` mark DIGITS` where the canonical order has it: last on `use`, `sign` and `release`, after the text of a `photo`. */
function insertMark(path: string, block: Block, statement: StatementNode, digits: string): MarkEdit {
  const last =
    clauseNode(statement, 'hours') ?? statement.when ?? statement.text2 ?? statement.text ?? statement;
  return { path, block, start: last.end, end: last.end, text: ` mark ${digits}` };
}

/** The mark of a signature once the pins stand. */
function markAfter({ file, marks }: Rebuild, closing: Block, pins: readonly MarkEdit[]): string {
  const { blocks } = file;
  const before = marks.spans.at(-1);
  const from = before === undefined ? 0 : blocks.indexOf(before.block) + 1;
  const pinOf = new Map(pins.map((pin) => [pin.block, pin]));
  const covered = blocks.slice(from, blocks.indexOf(closing) + 1).flatMap((block) => {
    const pin = pinOf.get(block);
    if (pin === undefined) return [block];
    const { text } = block;
    return parse(text.slice(0, pin.start) + pin.text + text.slice(pin.end)).blocks;
  });
  return digestOf(covered, before?.mark.text).slice(0, MARK_DIGITS);
}
