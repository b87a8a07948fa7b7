/**
 * A baseline: the findings that were there when a team began to check its old logs. They are not shown; new ones are.
 * A finding is known by its file, its rule and the text of its line, so lines may be put above it.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import type { LocatedFile, LocatedFinding } from './formats/located.ts';
import { normalisedLine } from './formats/report.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

interface Known {
  readonly rule: string;
  readonly line: string;
  readonly count: number;
}

export interface Baseline {
  readonly version: 1;
  readonly files: Readonly<Record<string, readonly Known[]>>;
}

/** Reads a baseline; throws `Trouble` when it is missing or is no baseline. */
export function readBaseline(path: string): Baseline {
  let read: unknown;
  try {
    read = JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    const why = error instanceof SyntaxError ? 'it is not JSON' : whyUnreadable(error);
    throw new Trouble(`the baseline ${path} cannot be read: ${why}. Write one with --update-baseline.`);
  }
  if (!isBaseline(read))
    throw new Trouble(`${path} is no baseline of this version. Write one with --update-baseline.`);
  return read;
}

function isBaseline(read: unknown): read is Baseline {
  const { version, files } = (read ?? {}) as { version?: unknown; files?: unknown };
  return (
    version === 1 &&
    typeof files === 'object' &&
    files !== null &&
    Object.values(files).every((known) => Array.isArray(known) && known.every(isKnown))
  );
}

function isKnown(one: unknown): one is Known {
  const { rule, line, count } = (one ?? {}) as { rule?: unknown; line?: unknown; count?: unknown };
  return typeof rule === 'string' && typeof line === 'string' && Number.isInteger(count);
}

/** What a baseline came to when it was written anew. */
export interface BaselineChange {
  readonly held: number;
  readonly added: number;
  readonly gone: number;
}

/**
 * Writes the findings of the files as the baseline. What it said of files that were not checked stays as it was, unless
 * `isThere` says that there is no such file any more; findings that are gone go from it.
 */
export function writeBaseline(
  path: string,
  files: readonly LocatedFile[],
  before: Baseline | undefined,
  isThere: (path: string) => boolean,
): BaselineChange {
  const earlier = Object.entries(before?.files ?? {});
  // Where none of its files is, it was written in another folder.
  const isOfHere = earlier.some(([name]) => isThere(name));
  const known: Record<string, readonly Known[]> = Object.fromEntries(
    earlier.filter(([name]) => !isOfHere || isThere(name)),
  );
  for (const file of files) {
    const counts = new Map<string, Known>();
    for (const finding of file.findings) {
      const count = (counts.get(keyOf(finding))?.count ?? 0) + 1;
      counts.set(keyOf(finding), { rule: finding.rule, line: normalisedLine(finding.source), count });
    }
    if (counts.size === 0) delete known[file.path];
    else known[file.path] = [...counts.values()];
  }
  const sorted = Object.fromEntries(Object.entries(known).sort(([a], [b]) => (a < b ? -1 : 1)));
  const written: Baseline = { version: 1, files: sorted };
  try {
    writeFileSync(path, `${JSON.stringify(written, null, 2)}\n`);
  } catch (error) {
    throw new Trouble(`the baseline ${path} cannot be written: ${whyUnreadable(error)}.`);
  }
  const [old, now] = [countsOf(before), countsOf(written)];
  const more = (a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>) =>
    [...a].reduce((sum, [key, count]) => sum + Math.max(0, count - (b.get(key) ?? 0)), 0);
  return { held: more(now, new Map()), added: more(now, old), gone: more(old, now) };
}

/** How often each finding is known. */
function countsOf(baseline: Baseline | undefined): ReadonlyMap<string, number> {
  return new Map(
    Object.entries(baseline?.files ?? {}).flatMap(([path, known]) =>
      known.map(({ rule, line, count }) => [`${path}\0${rule}\0${line}`, count] as const),
    ),
  );
}

/** The files without the findings that the baseline knows, and how many of its findings are gone. */
export function withoutKnown(
  files: readonly LocatedFile[],
  baseline: Baseline,
): { readonly files: readonly LocatedFile[]; readonly hidden: number; readonly gone: number } {
  let hidden = 0;
  let gone = 0;
  const shown = files.map((file) => {
    const left = new Map<string, number>();
    for (const { rule, line, count } of baseline.files[file.path] ?? []) left.set(`${rule}\0${line}`, count);
    const findings = file.findings.filter((finding) => {
      const count = left.get(keyOf(finding)) ?? 0;
      if (count === 0) return true;
      left.set(keyOf(finding), count - 1);
      hidden++;
      return false;
    });
    for (const count of left.values()) gone += count;
    return { ...file, findings };
  });
  return { files: shown, hidden, gone };
}

function keyOf({ rule, source }: LocatedFinding): string {
  return `${rule}\0${normalisedLine(source)}`;
}
