/** Findings with lines and columns, in the order in which a reader meets them. */
import { positionAt } from '../../../grammar/index.ts';
import type { Finding, Location, Severity } from '../../rebuild/index.ts';
import type { Checked, Workspace } from '../../workspace/index.ts';

/** Lines and columns count from 1; columns count UTF-16 units. */
export interface Place {
  readonly path: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export interface LocatedFinding extends Place {
  readonly finding: Finding;
  readonly related: readonly (Place & { readonly message: string })[];
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

/** The findings of a file by line. */
export function locateFindings(checked: Checked, workspace: Workspace): readonly LocatedFinding[] {
  return checked.findings
    .map((finding) => ({
      finding,
      ...placeOf(finding.at, workspace),
      related: (finding.related ?? []).map((one) => ({
        ...placeOf(one.at, workspace),
        message: one.message,
      })),
    }))
    .sort((a, b) => a.line - b.line || a.column - b.column);
}

/** How many findings of each severity. */
export function countSeverities(results: readonly Checked[]): Record<Severity, number> {
  const counts = { error: 0, warning: 0, information: 0, hint: 0 };
  for (const { findings } of results) for (const { severity } of findings) counts[severity]++;
  return counts;
}
