/** `--format json`: one document with every finding; its shape is part of the interface (`version` 1). */
import type { Checked, Workspace } from '../../workspace/index.ts';
import { countSeverities, locateFindings } from './located.ts';

/** The report as JSON, with a line break at its end. */
export function jsonReport(results: readonly Checked[], workspace: Workspace): string {
  const counts = countSeverities(results);
  const document = {
    version: 1,
    files: results.map((result) => ({
      path: result.path,
      state: result.state,
      findings: locateFindings(result, workspace).map(({ finding, path: _, related, ...place }) => ({
        rule: finding.rule,
        severity: finding.severity,
        message: finding.message,
        ...place,
        related: related.map(({ path, line, column, message }) => ({ path, line, column, message })),
      })),
    })),
    summary: {
      files: results.length,
      errors: counts.error,
      warnings: counts.warning,
      information: counts.information,
      hints: counts.hint,
    },
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}
