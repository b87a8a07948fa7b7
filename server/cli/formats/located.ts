/** What a check found, as plain data with lines and columns: it can cross threads and be written in any format. */
import { positionAt } from '../../../grammar/index.ts';
import type { Location, Severity, State } from '../../rebuild/index.ts';
import type { Checked, Workspace } from '../../workspace/index.ts';

/** Lines and columns count from 1; columns count UTF-16 units; the end is the column after the last. */
export interface Place {
  readonly path: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export interface LocatedFix {
  readonly title: string;
  readonly edits: readonly (Place & { readonly text: string })[];
}

export interface LocatedFinding extends Place {
  readonly rule: string;
  readonly severity: Severity;
  /** What it would be if the configuration did not lower it. */
  readonly lowered: Severity | undefined;
  readonly message: string;
  /** The line that it begins on. */
  readonly source: string;
  readonly related: readonly (Place & { readonly message: string })[];
  readonly fixes: readonly LocatedFix[];
}

/** A file with its findings in the order in which a reader meets them. */
export interface LocatedFile {
  readonly path: string;
  readonly state: State | null;
  readonly findings: readonly LocatedFinding[];
}

/** Where a location stands in its file. */
export function placeOf(at: Location, workspace: Workspace): Place {
  const file = workspace.file(at.path);
  if (file === undefined) return { path: at.path, line: 1, column: 1, endLine: 1, endColumn: 1 };
  const from = positionAt(file, at.block.start + at.start);
  const to = positionAt(file, at.block.start + at.end);
  return {
    path: at.path,
    line: from.line + 1,
    column: from.column + 1,
    endLine: to.line + 1,
    endColumn: to.column + 1,
  };
}

/** A checked file as plain data. */
export function located(checked: Checked, workspace: Workspace): LocatedFile {
  const findings = checked.findings.map((finding): LocatedFinding => {
    const place = placeOf(finding.at, workspace);
    return {
      ...place,
      rule: finding.rule,
      severity: finding.severity,
      lowered: finding.lowered,
      message: finding.message,
      source: lineAround(checked.file.text, finding.at.block.start + finding.at.start),
      related: (finding.related ?? []).map((one) => ({
        ...placeOf(one.at, workspace),
        message: one.message,
      })),
      fixes: (finding.fixes ?? []).map((fix) => ({
        title: fix.title,
        edits: fix.edits.map((edit) => ({ ...placeOf(edit, workspace), text: edit.text })),
      })),
    };
  });
  return {
    path: checked.path,
    state: checked.state,
    findings: findings.sort((a, b) => a.line - b.line || a.column - b.column),
  };
}

/** The line that an offset stands on, without its line break. */
function lineAround(text: string, offset: number): string {
  const isBreak = (at: number) => text.charCodeAt(at) === 10 || text.charCodeAt(at) === 13;
  let start = Math.min(offset, text.length);
  while (start > 0 && !isBreak(start - 1)) start--;
  let end = start;
  while (end < text.length && (end < offset || !isBreak(end))) end++;
  return text.slice(start, end);
}

/** How many findings of each severity. */
export function countSeverities(files: readonly LocatedFile[]): Record<Severity, number> {
  const counts = { error: 0, warning: 0, information: 0, hint: 0 };
  for (const { findings } of files) for (const { severity } of findings) counts[severity]++;
  return counts;
}
