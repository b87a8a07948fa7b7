/** What the marks of a file show: for each signature whether its text is as it was, and for each pin its file. */
import { type Block, clauseNode } from '../../grammar/index.ts';
import {
  fileDigest,
  findLostText,
  isMarkOf,
  type MarkedSpan,
  photosOf,
  type Rebuild,
} from '../rebuild/index.ts';

/** A signature with its mark. Lines count from 1. */
export interface VerifiedMark {
  readonly line: number;
  readonly kind: 'sign' | 'release';
  readonly by: string;
  /** As written; null for `?`. */
  readonly date: string | null;
  readonly text: string;
  readonly mark: string;
  /** Of what stands there now: 64 hexadecimal digits. */
  readonly digest: string;
  readonly holds: boolean;
  /** Where it does not hold, and the next mark tells: the text was changed, or only the digits of the mark. */
  readonly changed: 'text' | 'digits' | 'text or digits' | null;
  /** The one small change that explains a broken mark, where there is one: see `LostText`. */
  readonly lost: {
    readonly line: number;
    readonly change: 'added' | 'moved' | 'changed';
    readonly was: string | null;
  } | null;
  /** The first and the last line that it covers. */
  readonly from: number;
  readonly to: number;
}

/** A signature after the last mark. */
export interface UnmarkedSignature extends Pick<VerifiedMark, 'line' | 'kind' | 'by' | 'date' | 'text'> {
  /** Its line was read whole; where it was not, a mark may stand there that is none. */
  readonly understood: boolean;
}

/** A pinned file or photograph. */
export interface VerifiedPin {
  readonly line: number;
  readonly kind: 'use' | 'photo';
  /** As written. */
  readonly file: string;
  readonly mark: string;
  /** What the file has now; null when it cannot be read. */
  readonly digest: string | null;
  readonly holds: boolean;
}

export interface Verification {
  readonly path: string;
  /** Every mark and pin in it holds. */
  readonly holds: boolean;
  readonly marks: readonly VerifiedMark[];
  readonly pins: readonly VerifiedPin[];
  readonly unmarked: readonly UnmarkedSignature[];
}

/** Follows the marks of a file. `photoDigest` gives the SHA-256 of a photograph's bytes, by the file as written. */
export function verify(rebuild: Rebuild, photoDigest: (file: string) => string | undefined): Verification {
  const marks = rebuild.marks.spans.map(verifiedMark);
  const pins = [...pinnedFiles(rebuild), ...pinnedPhotos(rebuild, photoDigest)].sort(
    (a, b) => a.line - b.line,
  );
  return {
    path: rebuild.path,
    holds: marks.every(({ holds }) => holds) && pins.every(({ holds }) => holds),
    marks,
    pins,
    unmarked: rebuild.marks.unmarked.map((block) => ({
      ...signatureOf(block),
      understood: block.statement?.broken === false && block.faults.length === 0,
    })),
  };
}

function lineOf(block: Block): number {
  return block.line + 1;
}

function signatureOf(block: Block): Pick<VerifiedMark, 'line' | 'kind' | 'by' | 'date' | 'text'> {
  const { statement } = block;
  const { date, time } = statement?.when ?? {};
  return {
    line: lineOf(block),
    kind: statement?.kind === 'release' ? 'release' : 'sign',
    by: statement?.name?.text ?? '?',
    date: date === undefined ? null : time === undefined ? date : `${date} ${time}`,
    text: statement?.text?.text ?? '',
  };
}

function verifiedMark(span: MarkedSpan): VerifiedMark {
  const { block, blocks, mark, digest, holds, cause } = span;
  const lost = findLostText(span);
  const first = blocks.find(({ statement }) => statement !== undefined) ?? block;
  return {
    ...signatureOf(block),
    mark: mark.text,
    digest,
    holds,
    changed: holds ? null : lost === undefined ? (cause ?? 'text or digits') : 'text',
    lost: lost === undefined ? null : { line: lineOf(lost.block), change: lost.change, was: lost.was },
    from: lineOf(first),
    to: lineOf(block),
  };
}

function pinnedFiles({ imports }: Rebuild): readonly VerifiedPin[] {
  return imports.flatMap(({ declaration, file }): VerifiedPin[] => {
    const mark = clauseNode(declaration.statement, 'mark')?.value?.text;
    if (mark === undefined) return [];
    const digest = file === undefined ? undefined : fileDigest(file);
    return [pinOf(declaration.block, 'use', declaration.file, mark, digest)];
  });
}

function pinnedPhotos(
  rebuild: Rebuild,
  photoDigest: (file: string) => string | undefined,
): readonly VerifiedPin[] {
  return photosOf(rebuild).flatMap(({ block, file, mark }) =>
    mark === undefined ? [] : [pinOf(block, 'photo', file, mark, photoDigest(file))],
  );
}

function pinOf(
  block: Block,
  kind: VerifiedPin['kind'],
  file: string,
  mark: string,
  digest: string | undefined,
): VerifiedPin {
  const holds = digest !== undefined && isMarkOf(mark, digest);
  return { line: lineOf(block), kind, file, mark, digest: digest ?? null, holds };
}

/** The verification of a file in lines of text, for a person. */
export function verificationText(one: Verification): readonly string[] {
  const { marks, pins, unmarked } = one;
  const rows: { line: number; text: string }[] = [
    ...marks.map((mark) => ({ line: mark.line, text: markLine(mark) })),
    ...pins.map((pin) => ({ line: pin.line, text: pinLine(pin) })),
    ...unmarked.map((signature) => ({
      line: signature.line,
      text: `${signatureText(signature)}: ${signature.understood ? 'no mark' : 'no mark that can be read'}`,
    })),
  ].sort((a, b) => a.line - b.line);
  const width = Math.max(0, ...rows.map(({ line }) => String(line).length));
  return [
    `${one.path}: ${headline(one)}`,
    ...rows.map(({ line, text }) => `  line ${String(line).padStart(width)}  ${text}`),
  ];
}

function headline({ marks, pins }: Verification): string {
  const broken = marks.filter(({ holds }) => !holds).length;
  const changed = pins.filter(({ holds }) => !holds).length;
  const parts = [
    marks.length === 0
      ? 'nothing marked'
      : broken === 0
        ? marks.length === 1
          ? 'its mark holds'
          : `all ${marks.length} marks hold`
        : marks.length === 1
          ? 'its mark is BROKEN'
          : `${broken} of ${marks.length} marks ${broken === 1 ? 'is' : 'are'} BROKEN`,
    ...(changed === 0
      ? []
      : [`${changed} of ${pins.length} pinned files ${changed === 1 ? 'is' : 'are'} not as pinned`]),
  ];
  return parts.join('; ');
}

function signatureText({
  by,
  kind,
  date,
  text,
}: Pick<VerifiedMark, 'by' | 'kind' | 'date' | 'text'>): string {
  return `${by} ${kind === 'release' ? 'released' : 'signed'} ${date ?? '?'} "${text}"`;
}

function markLine(mark: VerifiedMark): string {
  const signed = signatureText(mark);
  const covered = mark.from === mark.to ? `line ${mark.to}` : `lines ${mark.from} to ${mark.to}`;
  switch (mark.changed) {
    case null:
      return `${signed}: ${mark.mark} holds for ${covered}`;
    case 'digits':
      return `${signed}: BROKEN, the digits ${mark.mark} were changed; ${covered} are as they were, and give ${mark.digest.slice(0, mark.mark.length)}`;
    case 'text':
      return `${signed}: BROKEN, ${mark.lost === null ? `something in ${covered} was changed since` : lostText(mark.lost)}`;
    default:
      return `${signed}: BROKEN, something in ${covered} was changed since, or the digits ${mark.mark} were`;
  }
}

function lostText({ line, change, was }: NonNullable<VerifiedMark['lost']>): string {
  if (change === 'added') return `line ${line} was added since`;
  if (change === 'moved') return `line ${line} stood above the line before it when this was signed`;
  return `line ${line} was changed since; when this was signed it said: ${was}`;
}

function pinLine({ kind, file, mark, digest, holds }: VerifiedPin): string {
  const pinned = `${kind} "${file}"`;
  if (holds) return `${pinned}: as it was pinned`;
  return digest === null
    ? `${pinned}: MISSING, it cannot be read`
    : `${pinned}: CHANGED, pinned as ${mark} and now ${digest.slice(0, mark.length)}`;
}
