/** After any edits of a log, its limits and its register, the findings are those of a workspace that reads all anew. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Finding, Location } from '../../server/rebuild/index.ts';
import { createWorkspace, type Workspace } from '../../server/workspace/index.ts';

const paths = ['0122-first-rebuild.rebuild', 'tern-460.limits', 'harbour.bench'];
const texts = paths.map((path) => readFileSync(`samples/tern-460/${path}`, 'utf8'));
const lines = texts.flatMap((text) => text.split('\n'));

const someEdit = fc.record({
  // The log is edited most.
  file: fc.constantFrom(0, 0, 0, 0, 1, 2),
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  removed: fc.oneof(fc.constant(0), fc.nat({ max: 3 }), fc.nat({ max: 300 })),
  inserted: fc.oneof(
    fc.constantFrom(
      '',
      '',
      '1',
      ' ',
      '\n',
      '#',
      '?',
      '"',
      '12 N·m',
      '[1 2]',
      '| 1 | 2 |\n',
      'step "again"\n',
    ),
    fc.constantFrom(...lines).map((line) => `\n${line}\n`),
  ),
});

function placeOf({ path, block, start, end }: Location): string {
  return `${path}:${block.start + start}..${block.start + end}`;
}

function summary(findings: readonly Finding[]): readonly string[] {
  return findings
    .map(({ rule, severity, message, at, related = [], fixes = [] }) =>
      [
        placeOf(at),
        rule,
        severity,
        message,
        ...related.map((one) => `${placeOf(one.at)} ${one.message}`),
        ...fixes.map((fix) => `${fix.title} ${fix.edits.map((edit) => `${placeOf(edit)}=${edit.text}`)}`),
      ].join(' | '),
    )
    .sort();
}

function fresh(workspace: Workspace): Workspace {
  const again = createWorkspace();
  for (const path of workspace.paths()) again.set(path, workspace.file(path)?.text ?? '');
  return again;
}

test('the findings after any edits are those of a fresh check', () => {
  fc.assert(
    fc.property(fc.array(someEdit, { minLength: 1, maxLength: 6 }), (edits) => {
      const workspace = createWorkspace();
      for (const [i, path] of paths.entries()) workspace.set(path, texts[i] ?? '');
      for (const { file, at, removed, inserted } of edits) {
        workspace.check(paths[0] as string);
        const path = paths[file] as string;
        const text = workspace.file(path)?.text ?? '';
        const start = Math.round(at * text.length);
        workspace.set(path, text.slice(0, start) + inserted + text.slice(start + removed));
      }
      const again = fresh(workspace);
      for (const path of paths)
        expect(summary(workspace.check(path)?.findings ?? [])).toEqual(
          summary(again.check(path)?.findings ?? []),
        );
    }),
    { numRuns: 250 },
  );
  // Thousands of checks: a machine with much else to do takes its time.
}, 120_000);

test('a keystroke leaves the findings that it cannot change the same objects', () => {
  const workspace = createWorkspace();
  for (const [i, path] of paths.entries()) workspace.set(path, texts[i] ?? '');
  const path = paths[0] as string;
  const before = new Set(workspace.check(path)?.findings);
  const text = workspace.file(path)?.text ?? '';
  const at = text.indexOf('note ') + 'note '.length;
  workspace.set(path, `${text.slice(0, at)}x${text.slice(at)}`);
  const after = workspace.check(path)?.findings ?? [];
  expect(after.length).toBe(before.size);
  const anew = after.filter((finding) => !before.has(finding));
  // Rules that look at the whole log are run again; there are few of them.
  expect(anew.length).toBeLessThan(before.size / 3);
});
