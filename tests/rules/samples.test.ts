/** The samples say what the tool finds: each `# finding:` comment is met on the next line, and nothing else is wrong. */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { positionAt } from '../../grammar/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const root = join(import.meta.dirname, '../../samples');
const files = globSync('**/*.{rebuild,limits,bench}', { cwd: root }).map((file) =>
  file.replaceAll('\\', '/'),
);

test.each(files)('%s', (path) => {
  const workspace = createWorkspace();
  for (const file of files) workspace.set(file, readFileSync(join(root, file), 'utf8'));
  expect(workspace.wanted()).toEqual([]);
  const checked = workspace.check(path)!;
  const found = checked.findings
    .filter((finding) => finding.severity === 'error' || finding.severity === 'warning')
    .map(
      (finding) =>
        `${positionAt(checked.file, finding.at.block.start + finding.at.start).line + 1} ${finding.rule}`,
    );
  const stated = checked.file.text.split('\n').flatMap((line, i) => {
    const rules = /^\s*# finding: (.*)$/.exec(line)?.[1];
    return rules === undefined ? [] : rules.split(/,\s*/).map((rule) => `${i + 2} ${rule}`);
  });
  expect([...new Set(found)].sort()).toEqual(stated.sort());
});

test('the samples show a released log and an open one', () => {
  const workspace = createWorkspace();
  for (const file of files) workspace.set(file, readFileSync(join(root, file), 'utf8'));
  expect(files.map((file) => workspace.check(file)?.state)).toEqual(
    expect.arrayContaining(['released', 'open']),
  );
});
