/** What a selection grows to: the word, its value, its clause, the line, the statement, the step, the file. */
import { type Block, blockAt, type SourceFile, type Span } from '../../grammar/index.ts';

/** Ever larger stretches around an offset, each holding the one before; offsets in the file. */
export function selectionsAt(file: SourceFile, offset: number): readonly Span[] {
  const whole = { start: 0, end: file.text.length };
  const block = blockAt(file, offset);
  if (block === undefined) return [whole];
  const inside = offset - block.start;
  const stretches: Span[] = [];
  const { statement } = block;
  if (statement !== undefined && inside <= statement.end) {
    for (const span of spansIn(statement)) if (holds(span, inside)) stretches.push(span);
    stretches.push(...wordsIn(block, inside));
  }
  for (const comment of block.comments) if (holds(comment, inside)) stretches.push(comment);
  stretches.push(lineAround(block.text, inside), {
    start: Math.min(inside, statement?.start ?? 0),
    end: trimmedEnd(block.text),
  });
  const absolute = stretches.map(({ start, end }) => ({
    start: block.start + start,
    end: block.start + end,
  }));
  return nested([...absolute, ...stepAround(file, block), whole], offset);
}

const holds = (span: Span, inside: number) => span.start <= inside && inside <= span.end;

/** Every node of a tree that says where it stands. */
function* spansIn(node: unknown): Iterable<Span> {
  if (typeof node !== 'object' || node === null) return;
  if (Array.isArray(node)) {
    for (const one of node) yield* spansIn(one);
    // A list is selected as a whole before what it belongs to.
    const [first, last] = [node[0], node.at(-1)];
    if (isSpan(first) && isSpan(last) && node.length > 1) yield { start: first.start, end: last.end };
    return;
  }
  if (isSpan(node)) yield node;
  // The cells of a row are no list of their own: between its bars there is nothing to select but each cell.
  if ('cells' in node && Array.isArray(node.cells)) for (const cell of node.cells) yield* spansIn(cell);
  else for (const value of Object.values(node)) yield* spansIn(value);
}

function isSpan(node: unknown): node is Span {
  return typeof node === 'object' && node !== null && 'start' in node && 'end' in node;
}

/** A string without its quotes, and the word in it (or in a note) that the offset touches. */
function wordsIn(block: Block, inside: number): readonly Span[] {
  const { text } = block;
  const found: Span[] = [];
  for (const span of spansIn(block.statement)) {
    if (!holds(span, inside) || !('text' in span) || !/^["“„]/.test(text[span.start] ?? '')) continue;
    const inner = { start: span.start + 1, end: span.end - (/["”“]/.test(text[span.end - 1] ?? '') ? 1 : 0) };
    if (holds(inner, inside)) found.push(inner);
  }
  let start = inside;
  let end = inside;
  while (start > 0 && isWordCharacter(text, start - 1)) start--;
  while (isWordCharacter(text, end)) end++;
  if (end > start) found.push({ start, end });
  return found;
}

/** Surrogates belong to letters and pictures alike: neither is cut in two. A point belongs to its digits. */
function isWordCharacter(text: string, at: number): boolean {
  const character = text[at] ?? '';
  if (character === '.') return /\d/.test(text[at - 1] ?? '') && /\d/.test(text[at + 1] ?? '');
  return /[\p{L}\p{M}\p{N}\ud800-\udfff_-]/u.test(character);
}

function lineAround(text: string, inside: number): Span {
  let start = inside;
  let end = inside;
  while (start > 0 && !/[\r\n]/.test(text[start - 1] ?? '')) start--;
  while (end < text.length && !/[\r\n]/.test(text[end] ?? '')) end++;
  while (start < end && /[ \t]/.test(text[start] ?? '')) start++;
  return { start, end };
}

const trimmedEnd = (text: string): number => text.trimEnd().length;

/** The step or the assembly that a block belongs to, from its first line to its last. */
function stepAround(file: SourceFile, block: Block): readonly Span[] {
  const at = file.blocks.indexOf(block);
  const opens = (one: Block | undefined) =>
    one?.statement?.kind === 'step' || one?.statement?.kind === 'assembly';
  const closes = (one: Block | undefined) =>
    one?.statement?.kind === 'sign' || one?.statement?.kind === 'release';
  if (closes(block)) return [];
  let first = at;
  while (first > 0 && !opens(file.blocks[first])) {
    if (closes(file.blocks[first - 1])) return [];
    first--;
  }
  const head = file.blocks[first];
  if (head === undefined || !opens(head)) return [];
  let last = at;
  while (last + 1 < file.blocks.length && !opens(file.blocks[last + 1]) && !closes(file.blocks[last + 1]))
    last++;
  const end = file.blocks[last] ?? head;
  return [{ start: head.start, end: end.start + trimmedEnd(end.text) }];
}

/** The stretches that hold the offset, from small to large, each truly inside the next. */
function nested(stretches: readonly Span[], offset: number): readonly Span[] {
  const found: Span[] = [];
  const sizes = [...stretches]
    .filter((one) => holds(one, offset))
    .sort((a, b) => a.end - a.start - (b.end - b.start));
  for (const one of sizes) {
    const last = found.at(-1);
    const same = last !== undefined && last.start === one.start && last.end === one.end;
    if (!same && (last === undefined || (one.start <= last.start && last.end <= one.end))) found.push(one);
  }
  return found;
}
