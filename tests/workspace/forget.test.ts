/** A log that is forgotten leaves nothing behind and is wanted again by what uses it. */
import { expect, test } from 'vitest';
import { createWorkspace } from '../../server/workspace/index.ts';

const files: Readonly<Record<string, string>> = {
  'tern.limits': 'limits "Tern 460"\nlimit bore 67.500..67.520 mm wear <= 67.560 mm\n',
  'first.rebuild':
    'log "First"\nuse "tern.limits"\nperson AQ "Ada Quill" builder\nstep "Measure" 2026-05-02 by AQ\n  measure bore = 67.564 mm\n',
  'second.rebuild':
    'log "Second"\nuse "tern.limits"\nuse "first.rebuild"\nstep "Measure" 2026-06-02\n  measure bore = 67.51 mm\n',
};

test('what is checked one by one and forgotten is what is checked together', () => {
  const together = createWorkspace();
  const alone = createWorkspace();
  for (const [path, text] of Object.entries(files)) together.set(path, text);
  for (const path of Object.keys(files)) {
    alone.set(path, files[path]!);
    for (let wanted = alone.wanted(); wanted.length > 0; wanted = alone.wanted())
      for (const one of wanted) alone.set(one, files[one]!);
    const told = (workspace: typeof alone) =>
      workspace.check(path)!.findings.map(({ rule, message }) => [rule, message]);
    expect(told(alone)).toEqual(told(together));
    alone.forget(path);
  }
  expect(together.check('first.rebuild')!.findings).not.toEqual([]);
});

test('what another file uses stays', () => {
  const workspace = createWorkspace();
  for (const [path, text] of Object.entries(files)) workspace.set(path, text);
  workspace.forget('tern.limits');
  workspace.forget('first.rebuild');
  expect(workspace.paths()).toEqual(Object.keys(files));
  workspace.forget('second.rebuild');
  workspace.forget('first.rebuild');
  expect(workspace.paths()).toEqual(['tern.limits']);
  expect(workspace.wanted()).toEqual([]);
});
