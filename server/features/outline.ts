/** The outline of a file, and what can be folded in it. */
import type { Block } from '../../grammar/index.ts';
import type { Checked } from '../workspace/index.ts';

export interface OutlineItem {
  readonly name: string;
  readonly detail: string;
  readonly kind: 'step' | 'entry' | 'assembly' | 'declaration';
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
  readonly nameStart: number;
  readonly nameEnd: number;
  readonly children: readonly OutlineItem[];
}

/** Steps with their entries, assemblies with their limits, everything else by itself. */
export function outlineOf(checked: Checked): readonly OutlineItem[] {
  type Open = Omit<OutlineItem, 'children' | 'end'> & { end: number; children: OutlineItem[] };
  const items: OutlineItem[] = [];
  let group: Open | undefined;
  for (const block of checked.file.blocks) {
    const statement = block.statement;
    if (statement === undefined || statement.kind === 'unknown') continue;
    const line = firstLine(block);
    const item: Open = {
      name: line,
      detail: '',
      kind: 'declaration',
      start: block.start + statement.start,
      end: block.start + statement.end,
      nameStart: block.start + statement.keyword.start,
      nameEnd: block.start + statement.keyword.end,
      children: [],
    };
    if (statement.kind === 'step' || statement.kind === 'assembly') {
      group = {
        ...item,
        kind: statement.kind,
        name: statement.text?.text ?? statement.name?.text ?? line,
        detail: statement.when?.date ?? '',
      };
      items.push(group);
    } else if (statement.kind === 'sign' || statement.kind === 'release') {
      group = undefined;
      items.push({ ...item, kind: 'entry' });
    } else if (group !== undefined && statement.kind !== 'note') {
      group.children.push({ ...item, kind: group.kind === 'step' ? 'entry' : 'declaration' });
      group.end = item.end;
    } else if (group === undefined) items.push(item);
  }
  return items;
}

function firstLine(block: Block): string {
  const statement = block.statement;
  const text = block.text.slice(statement?.start ?? 0);
  const end = text.search(/\r|\n/);
  return (end < 0 ? text : text.slice(0, end)).replace(/\s+/g, ' ').trim().slice(0, 80);
}

/** First and last line (from 0) of what can be folded: steps, assemblies, and lines with a table or continuation. */
export function foldingOf(checked: Checked): readonly { readonly from: number; readonly to: number }[] {
  const ranges: { from: number; to: number }[] = [];
  let group: { from: number; to: number } | undefined;
  for (const block of checked.file.blocks) {
    const statement = block.statement;
    if (statement === undefined) continue;
    const last = block.line + block.text.slice(0, statement.end).split('\n').length - 1;
    const first = block.line + block.text.slice(0, statement.start).split('\n').length - 1;
    if (statement.kind === 'step' || statement.kind === 'assembly') {
      group = { from: first, to: last };
      ranges.push(group);
      continue;
    }
    if (statement.kind === 'sign' || statement.kind === 'release') group = undefined;
    if (group !== undefined) group.to = last;
    if (last > first) ranges.push({ from: first, to: last });
  }
  return ranges.filter((range) => range.to > range.from);
}
