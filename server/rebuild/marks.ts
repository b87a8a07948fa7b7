/** Marks: the text that a digest is taken over, and which marks of a log still hold. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import {
  type Block,
  canonicalStatement,
  clauseNode,
  type NameNode,
  type SourceFile,
  type StatementNode,
} from '../../grammar/index.ts';

/** How many digits of a digest a mark has when the tool writes it. */
export const MARK_DIGITS = 16;

/** What a signature or a release with a mark covers, and whether it is still so. */
export interface MarkedSpan {
  /** The `sign` or `release` line. */
  readonly block: Block;
  readonly statement: StatementNode;
  /** The digits as they are written. */
  readonly mark: NameNode;
  /** What it covers: the statements after the mark before it, its own last. */
  readonly blocks: readonly Block[];
  /** The digits of the mark before, which are part of what goes in; undefined for the first. */
  readonly before: string | undefined;
  /** The digest of what stands there now: 64 hexadecimal digits. */
  readonly digest: string;
  readonly holds: boolean;
  /**
   * Where it does not hold: what is certain of the cause. `digits`: the text is as it was, the mark itself was
   * changed, for the next mark still speaks of the digits that the text gives. `text`: the next mark still speaks of
   * these digits, so the text was changed.
   */
  readonly cause: 'digits' | 'text' | undefined;
}

export interface MarkChain {
  /** The lines that carry a mark, in the order of the log. */
  readonly spans: readonly MarkedSpan[];
  /** `sign` and `release` lines after the last mark. */
  readonly unmarked: readonly Block[];
}

/** Canonical texts; a block never changes its words. */
const texts = new WeakMap<Block, string>();

function textOf(block: Block): string {
  let text = texts.get(block);
  if (text === undefined) {
    const canonical = canonicalStatement(block);
    text = canonical === undefined ? '' : `${canonical}\n`;
    texts.set(block, text);
  }
  return text;
}

/**
 * The text that a digest is taken over: a line `mark DIGITS` with the mark before, where there is one, then the
 * canonical text of each statement. Every line ends with a line feed.
 */
export function markText(blocks: readonly Block[], before?: string): string {
  let text = before === undefined ? '' : `mark ${before}\n`;
  for (const block of blocks) text += textOf(block);
  return text;
}

/** SHA-256 (FIPS 180-4) of `markText` as UTF-8: 64 hexadecimal digits. */
export function digestOf(blocks: readonly Block[], before?: string): string {
  return bytesToHex(sha256(utf8ToBytes(markText(blocks, before))));
}

const fileDigests = new WeakMap<SourceFile, string>();

/** The digest that a pinned `use` states: of every statement of the file. 64 hexadecimal digits. */
export function fileDigest(file: SourceFile): string {
  let digest = fileDigests.get(file);
  if (digest === undefined) {
    digest = digestOf(file.blocks);
    fileDigests.set(file, digest);
  }
  return digest;
}

/** Whether a mark of 16 or 64 digits stands for a digest. */
export function isMarkOf(mark: string, digest: string): boolean {
  return mark.length >= MARK_DIGITS && digest.startsWith(mark);
}

const NO_MARKS: readonly MarkedSpan[] = [];

/**
 * Follows the marks of a log. `closings` are its `sign` and `release` lines in order; `previous`, the chain before an
 * edit, saves taking the digests of spans that are still the same.
 */
export function followMarks(
  blocks: readonly Block[],
  closings: readonly Block[],
  previous?: MarkChain,
): MarkChain {
  const marked = closings.filter((block) => markOf(block) !== undefined);
  if (marked.length === 0) return { spans: NO_MARKS, unmarked: closings };
  const old = new Map(previous?.spans.map((span) => [span.block, span]));
  const covers = spansBetween(blocks, marked);
  const spans: MarkedSpan[] = [];
  let before: string | undefined;
  for (const [i, block] of marked.entries()) {
    const mark = markOf(block);
    const covered = covers[i];
    if (block.statement === undefined || mark === undefined || covered === undefined) continue;
    const kept = old.get(block);
    const digest =
      kept !== undefined && kept.before === before && sameBlocks(kept.blocks, covered)
        ? kept.digest
        : digestOf(covered, before);
    const holds = isMarkOf(mark.text, digest);
    const cause = holds ? undefined : causeOf(mark.text, digest, markOf(marked[i + 1])?.text, covers[i + 1]);
    spans.push({ block, statement: block.statement, mark, blocks: covered, before, digest, holds, cause });
    // A mark whose digits alone were changed stands, for the next one, for what it was.
    before = cause === 'digits' ? digest.slice(0, mark.text.length) : mark.text;
  }
  const last = marked.at(-1);
  return { spans, unmarked: last === undefined ? closings : closings.slice(closings.indexOf(last) + 1) };
}

/** The blocks up to each end, from the end before it. */
function spansBetween(blocks: readonly Block[], ends: readonly Block[]): readonly (readonly Block[])[] {
  let from = 0;
  return ends.map((end) => {
    const to = blocks.indexOf(end, from) + 1;
    const span = blocks.slice(from, to);
    from = to;
    return span;
  });
}

/** What the mark after a broken one tells of it: see `MarkedSpan.cause`. */
function causeOf(
  written: string,
  digest: string,
  next: string | undefined,
  covered: readonly Block[] | undefined,
): MarkedSpan['cause'] {
  if (next === undefined || covered === undefined) return undefined;
  const speaksOf = (before: string) => isMarkOf(next, digestOf(covered, before));
  if (speaksOf(written)) return 'text';
  return speaksOf(digest.slice(0, written.length)) ? 'digits' : undefined;
}

function markOf(block: Block | undefined): NameNode | undefined {
  return block?.statement === undefined ? undefined : clauseNode(block.statement, 'mark')?.value;
}

function sameBlocks(a: readonly Block[], b: readonly Block[]): boolean {
  return a.length === b.length && a.every((block, i) => block === b[i]);
}
