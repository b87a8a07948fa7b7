/** `--format gitlab`: a code quality report, which GitLab shows beside the lines of a merge request. */
import type { Severity } from '../../rebuild/index.ts';
import { digestOf, type Format, fingerprints } from './report.ts';

const severities: Readonly<Record<Severity, string>> = {
  error: 'critical',
  warning: 'major',
  information: 'minor',
  hint: 'info',
};

export const format: Format = ({ files, unreadable }) => {
  const broken = unreadable.map(({ path, reason }) => ({
    description: `${path}: ${reason}.`,
    check_name: 'unreadable',
    fingerprint: digestOf(path, 'unreadable'),
    severity: severities.error,
    location: { path, lines: { begin: 1, end: 1 } },
  }));
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
  return `${JSON.stringify([...broken, ...issues], null, 2)}\n`;
};
