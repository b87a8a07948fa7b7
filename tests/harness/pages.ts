/**
 * Reads a rule's page: its examples are workspaces whose caret lines state the findings.
 *
 * A caret line (`      ^^^^ error[rule] message`) speaks of the line above it. `render` writes them back from the
 * findings, so a page is right when what is rendered equals what stands there.
 */
import { positionAt } from '../../grammar/index.ts';
import type { Finding, Fix } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const CARETS = /^ *\^+ (?:error|warning|information|hint)\[[a-z-]+\] .*$/;
const DEFAULT_NAMES: Readonly<Record<string, string>> = {
  rebuild: 'log.rebuild',
  limits: 'table.limits',
  bench: 'register.bench',
  json: 'witnessmark.json',
};

/** One fenced block of a page. */
export interface PageFile {
  readonly path: string;
  /** First and last line of its text in the page, from 0. */
  readonly from: number;
  readonly to: number;
  /** Its text without caret lines. */
  readonly text: string;
}

export type Example = readonly PageFile[];

/** The examples of a page: fenced blocks with nothing but blank lines between them form one. */
export function examplesOf(page: string): readonly Example[] {
  const lines = page.split('\n');
  const examples: PageFile[][] = [];
  let joined = false;
  for (let i = 0; i < lines.length; i++) {
    const fence = /^```(rebuild|limits|bench|json)(?: file=(\S+))?\s*$/.exec(lines[i] ?? '');
    if (fence === null) {
      if ((lines[i] ?? '').trim() !== '') joined = false;
      continue;
    }
    const from = i + 1;
    let to = from;
    while (to < lines.length && lines[to] !== '```') to++;
    const text = lines.slice(from, to).filter((line) => !CARETS.test(line));
    const file = {
      path: fence[2] ?? DEFAULT_NAMES[fence[1] ?? ''] ?? 'log.rebuild',
      from,
      to,
      text: `${text.join('\n')}\n`,
    };
    if (joined) examples.at(-1)?.push(file);
    else examples.push([file]);
    joined = true;
    i = to;
  }
  return examples;
}

/** Checks the files of an example together, on a fixed day. */
export function checkExample(example: Example): ReadonlyMap<string, readonly Finding[]> {
  const workspace = createWorkspace();
  for (const file of example) workspace.set(file.path, file.text);
  for (const path of workspace.wanted()) workspace.markAbsent(path);
  return new Map(example.map((file) => [file.path, workspace.check(file.path)?.findings ?? []]));
}

/** The example as a fix leaves it. */
export function fixed(example: Example, fix: Fix): Example {
  return example.map((file) => {
    const edits = fix.edits
      .filter((edit) => edit.path === file.path)
      .sort((a, b) => b.block.start + b.start - (a.block.start + a.start));
    let { text } = file;
    for (const edit of edits) {
      const offset = edit.block.start;
      text = text.slice(0, offset + edit.start) + edit.text + text.slice(offset + edit.end);
    }
    return { ...file, text };
  });
}

/** Where a finding stands in its file. */
export function placeOf(
  finding: Finding,
  file: { text: string },
): { line: number; start: number; end: number } {
  const workspace = createWorkspace();
  workspace.set('x.rebuild', file.text);
  const source = workspace.file('x.rebuild');
  if (source === undefined) throw new Error('no file');
  const from = positionAt(source, finding.at.block.start + finding.at.start);
  const to = positionAt(source, finding.at.block.start + finding.at.end);
  const lineText = file.text.split('\n')[from.line] ?? '';
  return { line: from.line, start: from.column, end: to.line === from.line ? to.column : lineText.length };
}

/** A file's text with its findings written under their lines. */
export function render(file: PageFile, findings: readonly Finding[]): string {
  const under = new Map<number, string[]>();
  const placed = findings
    .filter((finding) => finding.at.path === file.path)
    .map((finding) => ({ finding, ...placeOf(finding, file) }))
    .sort((a, b) => a.line - b.line || a.start - b.start);
  for (const { finding, line, start, end } of placed) {
    const carets = `${' '.repeat(start)}${'^'.repeat(Math.max(1, end - start))}`;
    const text = `${carets} ${finding.severity}[${finding.rule}] ${finding.message}`;
    const list = under.get(line);
    if (list === undefined) under.set(line, [text]);
    else list.push(text);
  }
  return file.text
    .slice(0, -1)
    .split('\n')
    .flatMap((line, i) => [line, ...(under.get(i) ?? [])])
    .join('\n');
}

/** The page with every example's carets rewritten from what one rule finds. */
export function rewritePage(page: string, rule: string): { page: string; reporting: number; silent: number } {
  const lines = page.split('\n');
  let reporting = 0;
  let silent = 0;
  for (const example of [...examplesOf(page)].reverse()) {
    const checked = checkExample(example);
    let found = 0;
    for (const file of [...example].reverse()) {
      const findings = (checked.get(file.path) ?? []).filter((finding) => finding.rule === rule);
      found += findings.length;
      lines.splice(file.from, file.to - file.from, ...render(file, findings).split('\n'));
    }
    if (found > 0) reporting++;
    else silent++;
  }
  return { page: lines.join('\n'), reporting, silent };
}
