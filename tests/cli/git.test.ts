/** The README's recipe for git, followed as it stands there. */

import { spawnSync } from 'node:child_process';
import { chmodSync, readFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

const LOG = `log "Tern 460 no. 0117"

step "Measure" 2026-05-02 14:00
  note Crankshaft out of the case.
  note Bearings washed.
  note Bearings dry.
  measure crank-runout = 0.03 mm
`;
const recipe = readFileSync('README.md', 'utf8').split('\n## With git\n')[1]!.split('\n## ')[0]!;
const block = (language: string) => new RegExp(`\`\`\`${language}\\n([^\`]*)\`\`\``).exec(recipe)![1]!;

let shell: Shell;
beforeEach(() => {
  shell = openShell();
  shell.git('init', '--quiet');
  shell.write('.gitattributes', block(''));
  shell.write('my logs/a.rebuild', LOG);
  shell.write('bin/witnessmark', `#!/bin/sh\nexec "${process.execPath}" "${shell.cli}" "$@"\n`);
  chmodSync(join(shell.folder, 'bin/witnessmark'), 0o755);
  shell.git('add', '.');
  shell.git('commit', '--quiet', '--message', 'as found');
});
afterEach(() => shell.close());

/** Runs a line as a shell does, with `witnessmark` on its path. */
function bash(line: string): string {
  const { status, stdout, stderr } = spawnSync('bash', ['-ec', line], {
    cwd: shell.folder,
    encoding: 'utf8',
    env: { ...process.env, PATH: `${join(shell.folder, 'bin')}${delimiter}${process.env.PATH}` },
  });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return stdout;
}

test('layout alone is no difference; a fact is, below the step that it stands in', () => {
  const untidy = LOG.replaceAll('  note', '      note').replace('= 0.03', '   =  0.03');
  shell.write('my logs/a.rebuild', untidy);
  // Without the recipe the layout is what git shows.
  expect(bash('git diff')).toContain('+      note Bearings dry.');
  bash(block('sh'));
  expect(bash('git diff')).not.toMatch(/^[+-] /m);
  shell.write('my logs/a.rebuild', untidy.replace('0.03 mm', '0.07 mm'));
  const shown = bash('git diff');
  expect(shown.split('\n').filter((line) => /^[+-] /.test(line))).toEqual([
    '-  measure crank-runout = 0.03 mm',
    '+  measure crank-runout = 0.07 mm',
  ]);
  expect(shown).toMatch(/^@@ .* @@ step "Measure" 2026-05-02 14:00$/m);
});
