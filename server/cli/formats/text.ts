/** `--format text`: each finding with its line of the log and a caret under what it is about. */
import colors from 'picocolors';
import type { Severity } from '../../rebuild/index.ts';
import type { Checked, Workspace } from '../../workspace/index.ts';
import { frameOf, harmless } from './frame.ts';
import { countSeverities, type LocatedFinding, locateFindings } from './located.ts';

const paint: Readonly<Record<Severity, (text: string) => string>> = {
  error: colors.red,
  warning: colors.yellow,
  information: colors.cyan,
  hint: colors.dim,
};

/** The report as text; ends with one line that counts. */
export function textReport(results: readonly Checked[], workspace: Workspace): string {
  const out: string[] = [];
  for (const result of results) {
    const lines = result.file.text.split(/\r?\n/);
    for (const located of locateFindings(result, workspace)) out.push(oneFinding(located, lines), '');
  }
  out.push(summary(results));
  return `${out.join('\n')}\n`;
}

function oneFinding(located: LocatedFinding, lines: readonly string[]): string {
  const { finding, path, line, column, related } = located;
  const head = `${colors.bold(`${harmless(path)}:${line}:${column}`)} ${paint[finding.severity](finding.severity)}[${finding.rule}] ${harmless(finding.message)}`;
  const source = lines[line - 1] ?? '';
  const end = located.endLine === line ? located.endColumn : source.length + 1;
  const number = String(line);
  const frame = frameOf(source, column - 1, end - 1);
  const parts = [
    head,
    `${colors.dim(`${number} |`)} ${frame.text}`,
    `${colors.dim(`${' '.repeat(number.length)} |`)} ${frame.indent}${paint[finding.severity]('^'.repeat(frame.length))}`,
  ];
  for (const one of related) parts.push(colors.dim(harmless(`    ${one.path}:${one.line}: ${one.message}`)));
  return parts.join('\n');
}

function summary(results: readonly Checked[]): string {
  const counts = countSeverities(results);
  const many = (count: number, word: string, plural = `${word}s`) =>
    `${count} ${count === 1 ? word : plural}`;
  const files = many(results.length, 'file');
  const parts = [
    counts.error > 0 ? colors.red(many(counts.error, 'error')) : '',
    counts.warning > 0 ? colors.yellow(many(counts.warning, 'warning')) : '',
    counts.information > 0 ? `${counts.information} for information` : '',
    counts.hint > 0 ? many(counts.hint, 'hint') : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? colors.green(`No findings in ${files}.`) : `${parts.join(', ')} in ${files}.`;
}
