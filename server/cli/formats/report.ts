/** What every output format is given, and what several of them work out from it. */
import { createHash } from 'node:crypto';
import type { Severity } from '../../rebuild/index.ts';
import type { Unreadable } from '../files.ts';
import type { LocatedFile, LocatedFinding } from './located.ts';

/** One run of `check`. */
export interface CheckReport {
  readonly files: readonly LocatedFile[];
  readonly unreadable: readonly Unreadable[];
  /** The severities that make the check fail. */
  readonly failing: readonly Severity[];
  /** The tool's version. */
  readonly version: string;
  /** The Markdown page of a rule. */
  readonly page: (rule: string) => string | undefined;
  /** When the run began. */
  readonly began: Date;
}

/** Writes a report, with a line break at its end. */
export type Format = (report: CheckReport) => string;

/** A line as far as it tells one finding from another: blanks that a layout may change do not count. */
export function normalisedLine(source: string): string {
  return source.trim().replace(/\s+/g, ' ');
}

/** 32 hexadecimal digits over some texts. */
export function digestOf(...texts: readonly string[]): string {
  return createHash('sha256').update(texts.join('\0')).digest('hex').slice(0, 32);
}

/**
 * For each finding of a file what stays the same when lines move: 32 hexadecimal digits over its path, rule and line,
 * and over how many alike stand before it.
 */
export function fingerprints(file: LocatedFile): ReadonlyMap<LocatedFinding, string> {
  const seen = new Map<string, number>();
  return new Map(
    file.findings.map((finding) => {
      const what = [file.path, finding.rule, normalisedLine(finding.source)];
      const key = what.join('\0');
      const before = seen.get(key) ?? 0;
      seen.set(key, before + 1);
      return [finding, digestOf(...what, String(before))];
    }),
  );
}
