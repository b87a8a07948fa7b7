/** What stands above steps, groups and the lines of a table of limits. */
import { expect, test } from 'vitest';
import { codeLensesOf, usesOf } from '../../server/features/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const limits = `limits "Tern 460"
assembly top "Top"
limit bore[rear] 67.500..67.520 mm
fastener case-m8[1..4] M8 torque 24 ± 2 N·m
limit wear[rear] = bore - 67.500 mm <= 0.05 mm
stack top-end = head, gasket
`;
const log = (lines: string) => `log "x"\nuse "a.limits"\n${lines}`;

function workspaceOf(files: Record<string, string>) {
  const workspace = createWorkspace();
  for (const [path, text] of Object.entries(files)) workspace.set(path, text);
  return workspace;
}

test('a step says how far its groups are and what is to be filled in', () => {
  const workspace = workspaceOf({
    'a.limits': limits,
    'a.rebuild': log(
      'step "Torque" 2026-05-02\n  torque case-m8[1 2] to 24 N·m\n  measure bore[rear] = ? mm\nstep "Look" 2026-05-03\n  note fine\nstep "More" 2026-05-04\n  torque case-m8[3] to 24 N·m\n',
    ),
  });
  const checked = workspace.check('a.rebuild')!;
  expect(
    codeLensesOf(checked).map(
      ({ start, title }) => `${/.*/.exec(checked.file.text.slice(start))?.[0]}: ${title}`,
    ),
  ).toEqual([
    'step "Torque" 2026-05-02: case-m8 3 of 4 · 1 reading to fill in',
    'step "More" 2026-05-04: case-m8 3 of 4',
  ]);
});

test('a line of a table says how many logs speak of it, the logs of other tables not counted', () => {
  const workspace = workspaceOf({
    'a.limits': limits,
    'b.limits': limits,
    'a.rebuild': log('step "w" 2026-05-02\n  measure bore[rear] = 67.510 mm\n'),
    'b.rebuild': log('step "w" 2026-05-02\n  measure bore[rear] = 67.510 mm\n  torque case-m8 to 24 N·m\n'),
    'c.rebuild': 'log "x"\nuse "b.limits"\nstep "w" 2026-05-02\n  measure bore[rear] = 67.510 mm\n',
  });
  const checked = workspace.check('a.limits')!;
  const lenses = codeLensesOf(checked);
  expect(lenses.map(({ start, end }) => checked.file.text.slice(start, end))).toEqual(['bore', 'case-m8']);
  expect(lenses.map(({ start }) => usesOf(workspace, 'a.limits', start))).toEqual([
    '2 logs speak of it',
    '1 log speaks of it',
  ]);
  expect(usesOf(workspace, 'b.limits', limits.indexOf('case-m8'))).toBe('no log speaks of it');
});
