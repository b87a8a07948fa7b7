/** `--format text`: each finding with its line of the log and a caret under what it is about. */
import colors from 'picocolors';
import type { Severity } from '../../rebuild/index.ts';
import type { Checked, Workspace } from '../../workspace/index.ts';
import { countSeverities, type LocatedFinding, locateFindings } from './located.ts';

const WIDTH = 100;

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
  const head = `${colors.bold(`${path}:${line}:${column}`)} ${paint[finding.severity](finding.severity)}[${finding.rule}] ${finding.message}`;
  const source = lines[line - 1] ?? '';
  const end = located.endLine === line ? located.endColumn : source.length + 1;
  const number = String(line);
  const frame = sourceFrame(source, column - 1, Math.max(column, end - 1));
  const parts = [
    head,
    `${colors.dim(`${number} |`)} ${frame.text}`,
    `${colors.dim(`${' '.repeat(number.length)} |`)} ${frame.indent}${paint[finding.severity]('^'.repeat(frame.length))}`,
  ];
  for (const one of related) parts.push(colors.dim(`    ${one.path}:${one.line}: ${one.message}`));
  return parts.join('\n');
}

/** The stretch of a line around what a finding is about, and where the carets go under it. */
function sourceFrame(
  source: string,
  from: number,
  to: number,
): { text: string; indent: string; length: number } {
  const cut = from > WIDTH - 20 ? from - 20 : 0;
  const shown = source.slice(cut, cut + WIDTH).replaceAll('\t', ' ');
  const text = `${cut > 0 ? '… ' : ''}${shown}${source.length > cut + WIDTH ? ' …' : ''}`;
  const indent = ' '.repeat((cut > 0 ? 2 : 0) + columnsOf(shown.slice(0, from - cut)));
  return { text, indent, length: Math.max(1, columnsOf(shown.slice(from - cut, to - cut))) };
}

const segmenter = new Intl.Segmenter();
const wide = /\p{Emoji_Presentation}|[\u1100-\u115f\u2e80-\u9fff\uac00-\ud7a3\uf900-\ufaff\uff00-\uff60]/u;

/** How many columns of a terminal a text takes: combining marks none, wide characters two. */
function columnsOf(text: string): number {
  let columns = 0;
  for (const { segment } of segmenter.segment(text)) columns += wide.test(segment) ? 2 : 1;
  return columns;
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
