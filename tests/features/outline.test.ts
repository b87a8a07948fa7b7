/** The outline as a tree of lines, and folds as brackets before the lines that they hold. */
import { expect, test } from 'vitest';
import { foldingOf, type OutlineItem, outlineOf } from '../../server/features/index.ts';
import { marked } from './marked.ts';

function fileOf(text: string) {
  return marked({ 'a.rebuild': text }).workspace.file('a.rebuild')!;
}

function written(items: readonly OutlineItem[], indent = ''): string {
  return items
    .map(({ kind, name, detail, children }) => {
      const line = `${indent}${kind}: ${name}${detail === '' ? '' : ` — ${detail}`}\n`;
      return line + written(children, `${indent}  `);
    })
    .join('');
}

const text = `log "Tern 460 no. 0117"
use "tern.limits"
machine tern serial "0117"
person AQ "Ada Quill" builder
assembly bottom-end "Bottom end"
limit bore[front rear] @ (top low)/(thrust pin)
  ... 67.5..67.6 mm
fastener case-m8[1..10] M8 class 8.8 torque 24 N·m
stack pump = a, b
# The crank comes out first.
# Then the rest.

step "Measure 🔧" 2026-05-02 14:00 by AQ
  note A note has no place in it.
  measure bore[rear]   in mm
    | | pin |
    | top | 67.55 |
  inspect "flush" pass
step "Empty" ?
  note Only this,
  ... and this.
sign AQ "Bottom end" 2026-05-04
unknown words
step
`;

test('steps hold their entries, assemblies their declarations', () => {
  expect(written(outlineOf(fileOf(text)))).toBe(`log: Tern 460 no. 0117
use: tern.limits
machine: tern — serial "0117"
person: AQ — "Ada Quill" builder
assembly: bottom-end — "Bottom end"
  limit: bore[front rear] @ (top low)/(thrust pin)
  fastener: case-m8[1..10] — M8 class 8.8 torque 24 N·m
  stack: pump — = a, b
step: Measure 🔧 — 2026-05-02 14:00 by AQ
  measure: measure bore[rear] in mm
  inspect: inspect "flush" pass
step: Empty — ?
sign: sign AQ "Bottom end" 2026-05-04
step: step
`);
});

test('every item holds its name and its children, in order', () => {
  const check = (items: readonly OutlineItem[], from: number, to: number) => {
    let last = from;
    for (const item of items) {
      expect(item.start).toBeGreaterThanOrEqual(last);
      expect(item.end).toBeLessThanOrEqual(to);
      expect(item.nameStart).toBeGreaterThanOrEqual(item.start);
      expect(item.nameEnd).toBeLessThanOrEqual(item.end);
      check(item.children, item.nameEnd, item.end);
      last = item.end;
    }
  };
  for (const one of [text, text.replaceAll('\n', '\r\n')]) check(outlineOf(fileOf(one)), 0, one.length);
});

/** Each line with a bracket for each fold that begins there, and how far it goes. */
function folded(source: string): string {
  const folds = foldingOf(fileOf(source));
  return source
    .split(/\r?\n/)
    .map((line, at) => {
      const own = folds.filter((fold) => fold.from === at);
      return line + own.map((fold) => ` <${fold.kind} ${fold.to - fold.from}>`).join('');
    })
    .join('\n');
}

test('steps, assemblies, tables, continuations, comments and uses fold', () => {
  const source = `log "A"
use "a.limits"
use "b.bench"
# One,
# two.

# Three by itself.
assembly x "X" # not this
# nor this
limit bore 1..2 mm
  ... wear 3 mm
step "S" ?
  measure bore in mm
    | | a |
    | | 1 |
  # kept with the step
  # as it stands in it
  note x

step "T" ?
sign AQ "x" ?
`;
  const wanted = source
    .replace('use "a.limits"', '$& <imports 1>')
    .replace('# One,', '$& <comment 1>')
    .replace('# not this', '$& <region 3>')
    .replace('limit bore 1..2 mm', '$& <region 1>')
    .replace('step "S" ?', '$& <region 6>')
    .replace('measure bore in mm', '$& <region 2>')
    .replace('# kept with the step', '$& <comment 1>');
  expect(folded(source)).toBe(wanted);
  expect(folded(source.replaceAll('\n', '\r\n'))).toBe(wanted);
});
