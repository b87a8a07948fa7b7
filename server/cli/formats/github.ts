/** `--format github`: workflow commands, which GitHub shows as annotations on the lines of a change. */
import type { Severity } from '../../rebuild/index.ts';
import type { LocatedFinding } from './located.ts';
import type { Format } from './report.ts';

const commands: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'notice',
  hint: 'notice',
};

export const format: Format = ({ files, unreadable }) =>
  [
    ...unreadable.map(
      ({ path, reason }) => `::error file=${property(path)}::${data(`${path}: ${reason}.`)}\n`,
    ),
    ...files.flatMap(({ findings }) => findings.map(annotation)),
  ].join('');

function annotation(finding: LocatedFinding): string {
  const { path, line, endLine, column, endColumn, rule, message } = finding;
  const properties = [
    `file=${property(path)}`,
    `line=${line}`,
    `endLine=${endLine}`,
    // Columns are taken only within one line.
    ...(endLine === line ? [`col=${column}`, `endColumn=${endColumn}`] : []),
    `title=${property(rule)}`,
  ];
  return `::${commands[finding.severity]} ${properties.join(',')}::${data(message)}\n`;
}

/** Text after `::`: a line break would end the command. */
function data(text: string): string {
  return text.replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

/** The value of a property: a colon or a comma would end it. */
function property(text: string): string {
  return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
