/** `--format text`: each finding with its line of the log and a caret under what it is about. */
import colors from 'picocolors';
import type { Severity } from '../../rebuild/index.ts';
import { frameOf, harmless } from './frame.ts';
import { countSeverities, type LocatedFile, type LocatedFinding } from './located.ts';
import type { Format } from './report.ts';

/** The colour of a severity. */
export const paint: Readonly<Record<Severity, (text: string) => string>> = {
  error: colors.red,
  warning: colors.yellow,
  information: colors.cyan,
  hint: colors.dim,
};

/** Ends with one line that counts. */
export const format: Format = ({ files }) => {
  const out: string[] = [];
  for (const { findings } of files) for (const finding of findings) out.push(oneFinding(finding), '');
  out.push(summary(files));
  return `${out.join('\n')}\n`;
};

function oneFinding(finding: LocatedFinding): string {
  const { path, line, column, related, rule, severity, lowered, message, source } = finding;
  const head = `${colors.bold(`${harmless(path)}:${line}:${column}`)} ${paint[severity](severity)}[${rule}] ${harmless(message)}${lowered === undefined ? '' : colors.dim(` (${lowered}, lowered by witnessmark.json)`)}`;
  const end = finding.endLine === line ? finding.endColumn : source.length + 1;
  const number = String(line);
  const frame = frameOf(source, column - 1, end - 1);
  const parts = [
    head,
    `${colors.dim(`${number} |`)} ${frame.text}`,
    `${colors.dim(`${' '.repeat(number.length)} |`)} ${frame.indent}${paint[severity]('^'.repeat(frame.length))}`,
  ];
  for (const one of related) parts.push(colors.dim(harmless(`    ${one.path}:${one.line}: ${one.message}`)));
  return parts.join('\n');
}

function summary(files: readonly LocatedFile[]): string {
  const counts = countSeverities(files);
  const many = (count: number, word: string, plural = `${word}s`) =>
    `${count} ${count === 1 ? word : plural}`;
  const told = many(files.length, 'file');
  const parts = [
    counts.error > 0 ? colors.red(many(counts.error, 'error')) : '',
    counts.warning > 0 ? colors.yellow(many(counts.warning, 'warning')) : '',
    counts.information > 0 ? `${counts.information} for information` : '',
    counts.hint > 0 ? many(counts.hint, 'hint') : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? colors.green(`No findings in ${told}.`) : `${parts.join(', ')} in ${told}.`;
}
