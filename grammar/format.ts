/**
 * The canonical layout: indents, blanks, clause order, unit spellings, table columns. It never changes a fact and
 * never touches a number; a line that does not parse keeps its words.
 */
import { statementSpec } from './statements.ts';
import type { Block, RowNode, SourceFile, Span, StatementNode } from './syntax-tree.ts';

const STEP_INDENT = 2;
const BLANKS = /[ \t\u00a0\u2009\u202f]+/g;

/** The canonical text of a file; formatting it again changes nothing. */
export function format(file: SourceFile): string {
  const newline = /\r\n|\n/.exec(file.text)?.[0] ?? '\n';
  const bom = file.text.startsWith('\ufeff') ? '\ufeff' : '';
  const lines: string[] = [];
  const indents = indentsOf(file.blocks);
  for (const [i, block] of file.blocks.entries()) {
    const indent = indents[i] ?? 0;
    const next = indents[i + 1] ?? indent;
    if (block.statement?.kind === 'step') separate(lines);
    for (const line of blockLines(block, indent, next)) {
      if (line === '' && (lines.length === 0 || lines.at(-1) === '')) continue;
      lines.push(line);
    }
  }
  while (lines.at(-1) === '') lines.pop();
  return lines.length === 0 ? bom : `${bom}${lines.join(newline)}${newline}`;
}

/** One stretch of text that makes the canonical form of what stands: nothing where it is canonical already. */
export function formatEdits(file: SourceFile): readonly (Span & { readonly text: string })[] {
  const before = file.text;
  const after = format(file);
  if (before === after) return [];
  let start = 0;
  const most = Math.min(before.length, after.length);
  while (start < most && before[start] === after[start]) start++;
  let end = 0;
  while (end < most - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  return [{ start, end: before.length - end, text: after.slice(start, after.length - end) }];
}

/** A blank line before a step, above the comments that stand over it. */
function separate(lines: string[]): void {
  let at = lines.length;
  while (at > 0 && /^\s*#/.test(lines[at - 1] ?? '')) at--;
  if (at > 0 && lines[at - 1] !== '') lines.splice(at, 0, '');
}

/** How far each block's statement is indented: entries stand in their step. */
function indentsOf(blocks: readonly Block[]): readonly number[] {
  let inStep = false;
  return blocks.map(({ statement }) => {
    const place =
      statement === undefined || statement.kind === 'unknown'
        ? undefined
        : statementSpec(statement.kind)?.place;
    if (place === 'step') inStep = true;
    else if (place === 'closing') inStep = false;
    else if (place === 'entry' || (place === undefined && statement !== undefined))
      return inStep ? STEP_INDENT : 0;
    return 0;
  });
}

function blockLines(block: Block, indent: number, next: number): string[] {
  const { statement } = block;
  const text = block.text.startsWith('\ufeff') ? block.text.slice(1) : block.text;
  const raw = text.split(/\r\n|\n|\r/);
  // The text after the last line break belongs to the next block.
  if (raw.at(-1) === '') raw.pop();
  if (statement === undefined) return raw.map((line) => otherLine(line, next));
  const intact = !statement.broken && block.faults.length === 0 && statement.kind !== 'unknown';
  const canonical = intact ? statementLines(block, statement) : undefined;
  const rows = intact ? tableLines(statement.rows) : undefined;
  const out: string[] = [];
  let logical = 0;
  let row = 0;
  for (const line of raw) {
    const trimmed = line.trim();
    if (trimmed.startsWith('|')) {
      out.push(`${' '.repeat(indent + 2)}${rows?.[row] ?? trimmed}`);
      row++;
    } else if (trimmed === '' || trimmed.startsWith('#')) out.push(otherLine(line, next));
    else {
      const deeper = trimmed.startsWith('...') ? 2 : 0;
      out.push(`${' '.repeat(indent + deeper)}${canonical?.[logical] ?? trimmed}`);
      logical++;
    }
  }
  return out;
}

function otherLine(line: string, indent: number): string {
  const trimmed = line.trim();
  return trimmed === '' ? '' : `${' '.repeat(indent)}${trimmed}`;
}

interface Edit extends Span {
  readonly text: string;
}

/** The physical lines of a statement (its own and its continuations), canonical, without indents. */
function statementLines(block: Block, statement: StatementNode): string[] {
  const { text } = block;
  const lines: Span[] = [];
  let at = 0;
  for (const line of text.split('\n')) {
    const trimmed = line.trim();
    const start = at + (line.length - line.trimStart().length);
    at += line.length + 1;
    if (
      start < statement.start &&
      lines.length === 0 &&
      !trimmed.replace('\ufeff', '').startsWith(statement.keyword.text)
    )
      continue;
    if (trimmed === '' || trimmed.startsWith('#') || trimmed.startsWith('|')) {
      if (lines.length > 0) break;
      continue;
    }
    lines.push({ start: lines.length === 0 ? statement.start : start, end: start + trimmed.length });
  }
  if (statement.kind === 'note')
    return lines.map(({ start, end }, i) =>
      i === 0 ? noteLine(text.slice(start, end)) : text.slice(start, end),
    );
  const edits: Edit[] = [];
  collectEdits(statement, block, edits);
  edits.sort((a, b) => a.start - b.start);
  const write = (span: Span) => collapse(applyEdits(text, span, edits));
  const order = statementSpec(statement.kind)?.clauses.map((clause) => clause.name) ?? [];
  return lines.map((line) => {
    const comment = block.comments.find((one) => one.start >= line.start && one.start < line.end);
    const end = comment === undefined ? line.end : comment.start;
    const tail = comment === undefined ? '' : ` ${text.slice(comment.start, line.end).trimEnd()}`;
    const clauses = statement.clauses.filter((clause) => clause.start >= line.start && clause.start < end);
    const first = clauses[0];
    const crossing = clauses.some((clause) => clause.end > line.end);
    if (first === undefined || crossing) return `${write({ start: line.start, end }).trimEnd()}${tail}`;
    const sorted = [...clauses].sort((a, b) => order.indexOf(a.name) - order.indexOf(b.name));
    const last = clauses.at(-1) ?? first;
    const parts = [
      write({ start: line.start, end: first.start }).trimEnd(),
      ...sorted.map((clause) => write(clause).trim()),
      write({ start: last.end, end }).trim(),
    ];
    return `${parts.filter((part) => part !== '').join(' ')}${tail}`;
  });
}

/** A note's text stays as it stands, but for trailing blanks. */
function noteLine(line: string): string {
  return line.replace(/^note[ \t\u00a0]+/, 'note ').trimEnd();
}

/** Canonical spellings of units, with one blank before them, and plain quotes. */
function collectEdits(node: unknown, block: Block, edits: Edit[]): void {
  if (typeof node !== 'object' || node === null) return;
  if (Array.isArray(node)) {
    for (const one of node) collectEdits(one, block, edits);
    return;
  }
  const part = node as Record<string, unknown>;
  const { start, end } = part as unknown as Span;
  if (
    'name' in part &&
    'text' in part &&
    typeof part.name === 'string' &&
    !('kind' in part) &&
    typeof start === 'number'
  ) {
    const before = block.text.slice(0, start);
    const glued = /[\p{N}?]$/u.test(before);
    edits.push({ start, end, text: `${glued && !part.name.startsWith(':') ? ' ' : ''}${part.name}` });
  } else if (
    typeof part.text === 'string' &&
    typeof start === 'number' &&
    /^[“„]/.test(block.text.slice(start, end))
  )
    edits.push({ start, end, text: `"${part.text.replace(/[\\"]/g, '\\$&')}"` });
  for (const [name, value] of Object.entries(part)) if (name !== 'rows') collectEdits(value, block, edits);
}

function applyEdits(text: string, span: Span, edits: readonly Edit[]): string {
  let out = '';
  let at = span.start;
  for (const edit of edits) {
    if (edit.start < at || edit.end > span.end) continue;
    out += text.slice(at, edit.start) + edit.text;
    at = edit.end;
  }
  return out + text.slice(at, span.end);
}

/** One blank for each run of blanks outside strings. */
function collapse(text: string): string {
  return text
    .split(/("(?:\\.|[^"\\])*"?)/)
    .map((part, i) => (i % 2 === 1 ? part : part.replace(BLANKS, ' ')))
    .join('');
}

/** Rows with their columns padded; a row of dashes fills its columns. */
function tableLines(rows: readonly RowNode[]): string[] {
  const widths: number[] = [];
  for (const row of rows)
    for (const [i, cell] of row.cells.entries())
      if (!/^:?-+:?$/.test(cell.text)) widths[i] = Math.max(widths[i] ?? 0, [...cell.text].length);
  return rows.map((row) => {
    const cells = row.cells.map((cell, i) => {
      const width = widths[i] ?? 0;
      if (/^:?-+:?$/.test(cell.text)) return '-'.repeat(Math.max(1, width));
      return cell.text + ' '.repeat(Math.max(0, width - [...cell.text].length));
    });
    return `| ${cells.join(' | ')} |`;
  });
}
