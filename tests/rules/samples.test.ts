/**
 * The samples say what the tool finds: each rule of a `# finding:` comment is met on the next line, no error or
 * warning is met that no comment names, the good released logs have nothing at all, and every rule is shown.
 */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { positionAt } from '../../grammar/index.ts';
import { rules } from '../../server/rules/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { markAnew, markedSamples } from '../harness/mark-samples.ts';

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
  for (const absent of workspace.wanted()) workspace.markAbsent(absent);
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

test.each(['tern-460/0117-second-rebuild.rebuild', 'pump-gearbox/no-4.rebuild'])(
  'nothing at all is found in %s, which is released, nor in what it uses',
  (path) => {
    const workspace = allSamples();
    const checked = workspace.check(path)!;
    expect(checked.state).toBe('released');
    expect(checked.findings).toEqual([]);
    for (const used of checked.rebuild.imports) expect(workspace.check(used.path!)!.findings).toEqual([]);
  },
);

test('every file has one door: the README names each folder and log', () => {
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  for (const file of files.filter((one) => one.startsWith('tern-460/')))
    expect(readme).toContain(file.slice('tern-460/'.length));
  for (const file of files) expect(readme).toContain(`\`${file.split('/')[0]}/\``);
});

test.each(markedSamples)(
  'the marks of %s are those of its text (node tests/harness/mark-samples.ts)',
  (path) => {
    const text = readFileSync(path, 'utf8');
    expect(text.match(/^(?:use|sign|release) .* mark [0-9a-f]{16}$/gm)!.length).toBeGreaterThan(2);
    expect(markAnew(path)).toBe(text);
  },
);

test('every rule is shown in a sample, but for those of a bad witnessmark.json', () => {
  const workspace = allSamples();
  const stated = new Set(
    files.flatMap((path) =>
      [...readFileSync(join(root, path), 'utf8').matchAll(/# finding: (.*)$/gm)].flatMap(([, ids]) =>
        ids!.split(/,\s*/),
      ),
    ),
  );
  expect(workspace.wanted()).toEqual(['tern-460/harbour-tools.bench']);
  expect(rules.map(({ id }) => id).filter((id) => !stated.has(id))).toEqual(['configuration']);
});
