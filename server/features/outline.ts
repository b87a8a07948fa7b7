/** The outline of a file, and what can be folded in it. */
import type { Block, SourceFile, Span, StatementKind, StatementNode } from '../../grammar/index.ts';

export interface OutlineItem {
  readonly name: string;
  readonly detail: string;
  readonly kind: StatementKind;
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
  readonly nameStart: number;
  readonly nameEnd: number;
  readonly children: readonly OutlineItem[];
}

/** Steps with their entries, assemblies with their limits, everything else by itself. Notes have no place in it. */
export function outlineOf(file: SourceFile): readonly OutlineItem[] {
  type Open = Omit<OutlineItem, 'children' | 'end'> & { end: number; children: OutlineItem[] };
  const items: OutlineItem[] = [];
  let group: Open | undefined;
  for (const block of file.blocks) {
    const { statement } = block;
    if (statement === undefined || statement.kind === 'unknown') continue;
    const name = nameOf(block, statement);
    const item: Open = {
      kind: statement.kind,
      name: name.text,
      detail: name.detail,
      start: block.start + statement.start,
      end: block.start + statement.end,
      nameStart: block.start + name.start,
      nameEnd: block.start + name.end,
      children: [],
    };
    if (statement.kind === 'step' || statement.kind === 'assembly') {
      group = item;
      items.push(item);
    } else if (statement.kind === 'sign' || statement.kind === 'release') {
      group = undefined;
      items.push(item);
    } else if (group !== undefined) {
      group.end = item.end;
      if (statement.kind !== 'note') group.children.push(item);
    } else if (statement.kind !== 'note') items.push(item);
  }
  return items;
}

/** What an item is called, where that stands, and what is said beside it: the rest of its first line. */
function nameOf(block: Block, statement: StatementNode): Span & { text: string; detail: string } {
  const { keyword, kind } = statement;
  const declared = kind === 'person' || kind === 'tool' || kind === 'sealant' || kind === 'machine';
  switch (kind) {
    case 'step':
    case 'log':
    case 'limits':
    case 'bench':
    case 'source':
    case 'use': {
      const text = statement.text;
      if (text === undefined || text.text === '') break;
      return { start: text.start, end: text.end, text: text.text, detail: rest(block, text.end) };
    }
    case 'limit':
    case 'fastener':
    case 'part': {
      const { target } = statement;
      if (target === undefined) break;
      return {
        ...target.name,
        text: block.text.slice(target.start, target.end),
        detail: rest(block, target.end),
      };
    }
    default: {
      const { name } = statement;
      if (name === undefined) break;
      const shared = kind === 'assembly' || kind === 'joint' || kind === 'stack' || kind === 'inspection';
      if (declared || shared) return { ...name, detail: rest(block, name.end) };
    }
  }
  // An entry is known by its whole line: what was done to what, with which result.
  return {
    start: keyword.start,
    end: keyword.end,
    text: rest(block, statement.start) || keyword.text,
    detail: '',
  };
}

/** The first line from an offset on, blanks made one, not too long for a list. */
function rest(block: Block, from: number): string {
  const text = block.text.slice(from);
  const line = text
    .slice(0, /\r|\n|$/.exec(text)?.index)
    .replace(/\s+/g, ' ')
    .trim();
  return line.length > 80 ? `${line.slice(0, 79)}…` : line;
}

/** First and last line, from 0, of a stretch that can be folded. */
export interface Fold {
  readonly from: number;
  readonly to: number;
  readonly kind: 'region' | 'comment' | 'imports';
}

/** Steps, assemblies, lines with a table or continuation, comments of several lines, and a run of `use` lines. */
export function foldingOf(file: SourceFile): readonly Fold[] {
  type Open = { from: number; to: number; kind: Fold['kind'] };
  const folds: Open[] = [];
  let group: Open | undefined;
  let uses: Open | undefined;
  for (const block of file.blocks) {
    const { statement } = block;
    folds.push(...commentsOf(block));
    if (statement === undefined) continue;
    const first = block.line + lineBreaks(block.text, statement.start);
    const last = block.line + lineBreaks(block.text, statement.end);
    if (statement.kind === 'use') {
      if (uses === undefined) {
        uses = { from: first, to: last, kind: 'imports' };
        folds.push(uses);
      }
      uses.to = last;
    } else uses = undefined;
    if (statement.kind === 'step' || statement.kind === 'assembly') {
      group = { from: first, to: last, kind: 'region' };
      folds.push(group);
      continue;
    }
    if (statement.kind === 'sign' || statement.kind === 'release') group = undefined;
    if (group !== undefined) group.to = last;
    if (last > first) folds.push({ from: first, to: last, kind: 'region' });
  }
  return folds.filter((fold) => fold.to > fold.from).sort((a, b) => a.from - b.from || b.to - a.to);
}

/** Comments that stand on lines of their own, one below the other. */
function commentsOf(block: Block): { from: number; to: number; kind: 'comment' }[] {
  const runs: { from: number; to: number; kind: 'comment' }[] = [];
  for (const { start } of block.comments) {
    const lineStart =
      Math.max(block.text.lastIndexOf('\n', start - 1), block.text.lastIndexOf('\r', start - 1)) + 1;
    if (start > 0 && block.text.slice(lineStart, start).trim() !== '') continue;
    const line = block.line + lineBreaks(block.text, start);
    const run = runs.at(-1);
    if (run !== undefined && run.to === line - 1) run.to = line;
    else runs.push({ from: line, to: line, kind: 'comment' });
  }
  return runs;
}

function lineBreaks(text: string, end: number): number {
  let count = 0;
  for (let at = 0; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code === 10 || (code === 13 && text.charCodeAt(at + 1) !== 10)) count++;
  }
  return count;
}
