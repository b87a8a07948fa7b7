/** What stood in a text whose mark is broken, where one small change explains it. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { Block } from '../../grammar/index.ts';
import { isMarkOf, type MarkedSpan, markText } from './marks.ts';

/** The one change after which a text no longer gives its mark; the digest proves it. */
export interface LostText {
  readonly block: Block;
  /** `added`: the statement was not there. `moved`: it stood above the one before it. `changed`: it said `was`. */
  readonly change: 'added' | 'moved' | 'changed';
  /** What was signed, in its canonical text; null for `added` and `moved`. */
  readonly was: string | null;
}

/** How many bytes are hashed at most while looking: about half a second. */
const MOST_BYTES = 60_000_000;

/**
 * Looks for the one change that broke a mark: a statement added, two neighbours exchanged, a digit altered, two digits
 * exchanged, `pass` for `fail`. Each guess is proved by the digest. Undefined when no such change explains it, when
 * the text is too long to try them all, and for a mark that holds.
 */
export function findLostText(span: MarkedSpan): LostText | undefined {
  if (span.holds || span.cause === 'digits') return undefined;
  const mark = span.mark.text;
  const blocks = span.blocks.filter((block) => block.statement !== undefined);
  const texts = blocks.map((block) => markText([block]));
  const bytes = texts.map(utf8ToBytes);
  /** The bytes from each statement to the end. */
  const rests: number[] = [];
  let length = 0;
  for (const one of bytes.toReversed()) {
    length += one.length;
    rests.push(length);
  }
  rests.reverse();
  let left = MOST_BYTES;

  const soFar = sha256.create();
  if (span.before !== undefined) soFar.update(utf8ToBytes(markText([], span.before)));
  for (const [i, block] of blocks.entries()) {
    const text = texts[i] ?? '';
    /** Whether the mark is that of the text with these bytes in place of the statements from `i` to `next`. */
    const gives = (instead: readonly Uint8Array[], next: number): boolean => {
      left -= rests[i] ?? 0;
      const hash = soFar.clone();
      for (const one of instead) hash.update(one);
      for (let k = next; k < bytes.length; k++) hash.update(bytes[k] ?? EMPTY);
      return isMarkOf(mark, bytesToHex(hash.digest()));
    };
    const isLast = i === blocks.length - 1;
    if (!isLast && gives([], i + 1)) return { block, change: 'added', was: null };
    const after = blocks[i + 1];
    if (!isLast && i + 1 < blocks.length - 1 && after !== undefined) {
      if (gives([bytes[i + 1] ?? EMPTY, bytes[i] ?? EMPTY], i + 2))
        return { block: after, change: 'moved', was: null };
    }
    for (const was of nearTexts(text)) {
      if (left < 0) return undefined;
      if (gives([utf8ToBytes(was)], i + 1)) return { block, change: 'changed', was: was.trimEnd() };
    }
    soFar.update(bytes[i] ?? EMPTY);
  }
  return undefined;
}

const EMPTY = new Uint8Array();

/** Texts that differ from this one by a slip of the pen or a touched-up value. */
function* nearTexts(text: string): Iterable<string> {
  for (const [from, to] of [
    [' pass', ' fail'],
    [' fail', ' pass'],
  ] as const)
    if (text.includes(from)) yield text.replace(from, to);
  for (let at = 0; at < text.length; at++) {
    const digit = text[at] ?? '';
    if (!isDigit(digit)) continue;
    const before = text.slice(0, at);
    for (let other = 0; other <= 9; other++)
      if (String(other) !== digit) yield before + other + text.slice(at + 1);
    const next = text[at + 1] ?? '';
    if (isDigit(next) && next !== digit) yield before + next + digit + text.slice(at + 2);
  }
}

function isDigit(text: string): boolean {
  return text >= '0' && text <= '9' && text.length === 1;
}
