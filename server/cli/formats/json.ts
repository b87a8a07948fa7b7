/** `--format json`: one document with every finding; its shape is part of the interface (`version` 1). */
import { countSeverities, type LocatedFinding } from './located.ts';
import type { Format } from './report.ts';

export const format: Format = ({ files, unreadable }) => {
  const counts = countSeverities(files);
  const document = {
    version: 1,
    files: files.map(({ path, state, findings }) => ({ path, state, findings: findings.map(findingRow) })),
    ...(unreadable.length === 0 ? {} : { unreadable }),
    summary: {
      files: files.length,
      errors: counts.error,
      warnings: counts.warning,
      information: counts.information,
      hints: counts.hint,
    },
  };
  return `${JSON.stringify(document, null, 2)}\n`;
};

/** A finding as the JSON formats give it. */
export function findingRow(finding: LocatedFinding) {
  const { rule, severity, lowered, message, line, column, endLine, endColumn, related } = finding;
  return {
    rule,
    severity,
    ...(lowered === undefined ? {} : { lowered }),
    message,
    line,
    column,
    endLine,
    endColumn,
    related: related.map(({ path, line, column, message }) => ({ path, line, column, message })),
  };
}
