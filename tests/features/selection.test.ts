/** Growing selections: each line of a test is what the next larger one holds. */
import { expect, test } from 'vitest';
import { selectionsAt } from '../../server/features/index.ts';
import { marked } from './marked.ts';

function grown(text: string): string[] {
  const { workspace, path, offset } = marked({ 'a.rebuild': text });
  const file = workspace.file(path)!;
  return selectionsAt(file, offset).map(({ start, end }) => file.text.slice(start, end));
}

test('a number, its quantity, the clause, the line, the step, the file', () => {
  const step = 'step "S" 2026-05-04 09:00\n  torque case-m8[1..4] to 24 N·m with TW1 # final';
  expect(grown(`log "A"\n${step.replace('24', '2‸4')}\nsign AQ "x" ?\n`)).toEqual([
    '24',
    '24 N·m',
    'to 24 N·m',
    'to 24 N·m with TW1',
    'torque case-m8[1..4] to 24 N·m with TW1',
    'torque case-m8[1..4] to 24 N·m with TW1 # final',
    step,
    `log "A"\n${step}\nsign AQ "x" ?\n`,
  ]);
});

test('a member, its path, the target', () => {
  expect(grown('log "A"\n  measure gap[fr‸ont/top] = 1 mm\n').slice(0, 5)).toEqual([
    'front',
    'front/top',
    'gap[front/top]',
    'measure gap[front/top] = 1 mm',
    'log "A"\n  measure gap[front/top] = 1 mm\n',
  ]);
});

test('a word, the text, its quotes', () => {
  expect(grown('log "A"\nperson AQ "Ada Qui‸ll 🔧" builder\n').slice(0, 3)).toEqual([
    'Quill',
    'Ada Quill 🔧',
    '"Ada Quill 🔧"',
  ]);
});

test('a cell, its row, the table with its line', () => {
  const table = 'measure gap in mm\r\n    | | a | b |\r\n    | | 1.5 | 2 |';
  expect(grown(`log "A"\r\n  ${table.replace('1.5', '1.‸5')}\r\n`).slice(0, 4)).toEqual([
    '1.5',
    '| | 1.5 | 2 |',
    '| | a | b |\r\n    | | 1.5 | 2 |',
    table,
  ]);
});

test('every stretch holds the one before, at every offset of a log', () => {
  const { workspace } = marked({
    'a.rebuild':
      'log "Tern 🔧"\n# a comment\n\nassembly x "X"\nlimit bore[front rear] @ (top low)/(thrust pin) = taper(a) - b 67.5 ± 0.1 mm (2.6 in) wear <= 3 mm\n\nstep "S" 2026-05-04 by AQ, JM\n  measure bore in mm # here\n    | | a |\n    | top | 3 |\n  note "free" text\n  nonsense [\nsign AQ "x" ?\n',
  });
  const file = workspace.file('a.rebuild')!;
  for (let offset = 0; offset <= file.text.length; offset++) {
    const found = selectionsAt(file, offset);
    expect(found.length).toBeGreaterThan(0);
    for (const [i, one] of found.entries()) {
      expect(one.start <= offset && offset <= one.end).toBe(true);
      const inner = found[i - 1];
      if (inner !== undefined) {
        expect(one.start <= inner.start && inner.end <= one.end).toBe(true);
        expect(one.end - one.start).toBeGreaterThan(inner.end - inner.start);
      }
    }
  }
});
