/**
 * The samples say what the tool finds: each rule of a `# finding:` comment is met on the next line, no error or
 * warning is met that no comment names, and the released logs have none.
 */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { positionAt } from '../../grammar/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { markAnew, markedSample } from '../harness/mark-samples.ts';

const root = join(import.meta.dirname, '../../samples');
const files = globSync('**/*.{rebuild,limits,bench}', { cwd: root }).map((file) =>
  file.replaceAll('\\', '/'),
);

function allSamples() {
  const workspace = createWorkspace();
  for (const file of files) workspace.set(file, readFileSync(join(root, file), 'utf8'));
  return workspace;
}

test.each(files)('%s', (path) => {
  const workspace = allSamples();
  expect(workspace.wanted()).toEqual([]);
  const checked = workspace.check(path)!;
  const stated = checked.file.text.split('\n').flatMap((line, i) => {
    const rules = /^\s*# finding: (.*)$/.exec(line)?.[1];
    return rules === undefined ? [] : rules.split(/,\s*/).map((rule) => `${i + 2} ${rule}`);
  });
  const found = checked.findings
    .map((finding) => ({
      severity: finding.severity,
      text: `${positionAt(checked.file, finding.at.block.start + finding.at.start).line + 1} ${finding.rule}`,
    }))
    .filter(({ severity, text }) => severity === 'error' || severity === 'warning' || stated.includes(text))
    .map(({ text }) => text);
  expect([...new Set(found)].sort()).toEqual(stated.sort());
});

test('the samples show released logs with nothing to find, and an open one', () => {
  const workspace = allSamples();
  const logs = files.filter((file) => file.endsWith('.rebuild')).map((file) => workspace.check(file)!);
  expect(logs.map(({ state }) => state)).toEqual(expect.arrayContaining(['released', 'open']));
  for (const { path, state, findings } of logs) {
    if (state !== 'released') continue;
    const bad = findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
    expect([path, bad]).toEqual([path, []]);
  }
});

test('every file has one door: the README names each folder and log', () => {
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  for (const file of files.filter((one) => one.startsWith('tern-460/')))
    expect(readme).toContain(file.slice('tern-460/'.length));
  for (const file of files) expect(readme).toContain(`\`${file.split('/')[0]}/\``);
});

test('the marks of the released sample are those of its text (node tests/harness/mark-samples.ts)', () => {
  const text = readFileSync(markedSample, 'utf8');
  expect(text.match(/^(?:use|sign|release) .* mark [0-9a-f]{16}$/gm)!.length).toBeGreaterThan(3);
  expect(markAnew(text)).toBe(text);
});
