/** `--format gitlab`: a code quality report, which GitLab shows beside the lines of a merge request. */
import type { Severity } from '../../rebuild/index.ts';
import { type Format, fingerprints } from './report.ts';

const severities: Readonly<Record<Severity, string>> = {
  error: 'critical',
  warning: 'major',
  information: 'minor',
  hint: 'info',
};

export const format: Format = ({ files }) => {
  const issues = files.flatMap((file) => {
    const prints = fingerprints(file);
    return file.findings.map((finding) => ({
      description: finding.message,
      check_name: finding.rule,
      fingerprint: prints.get(finding),
      severity: severities[finding.severity],
      location: { path: finding.path, lines: { begin: finding.line, end: finding.endLine } },
    }));
  });
  return `${JSON.stringify(issues, null, 2)}\n`;
};
