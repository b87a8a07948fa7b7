/** The command line as npm packs it, which is how commit hooks and CI install it. */
import { spawnSync } from 'node:child_process';
import { cpSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeAll(() => {
  shell = openShell();
});
afterAll(() => shell.close());

test('the package has all that the command needs, and runs', () => {
  const from = join(shell.folder, 'from');
  cpSync(dirname(shell.cli), join(from, 'dist'), { recursive: true });
  for (const name of [
    'package.json',
    '.npmignore',
    '.gitignore',
    'README.md',
    'LICENSE',
    'CHANGELOG.md',
    'build.mjs',
  ])
    cpSync(name, join(from, name));
  const run = (command: string, ...words: readonly string[]) =>
    spawnSync(command, words, { cwd: from, encoding: 'utf8', env: { ...process.env, NO_COLOR: '1' } });
  const packed = run('npm', 'pack', '--json', '--ignore-scripts', '--offline');
  expect(packed.status, packed.stderr).toBe(0);
  expect(run('tar', '-xzf', JSON.parse(packed.stdout)[0].filename).status).toBe(0);
  const cli = join(from, 'package/dist/cli.cjs');
  expect(run(process.execPath, cli, 'explain', 'torque-skipped').stdout).toMatch(/^torque-skipped: /);
  expect(run(process.execPath, cli, 'convert', '2 in', 'mm').stdout).toMatch(/^51 mm/);
  expect(run('ls', 'package').stdout.trim().split('\n').sort()).toEqual([
    'LICENSE',
    'README.md',
    'dist',
    'package.json',
  ]);
  expect(run('ls', 'package/dist').stdout.trim().split('\n').sort()).toEqual([
    'check-worker.cjs',
    'cli.cjs',
    'commands.cjs',
    'core.cjs',
    'documents.cjs',
    'man',
    'protocol.cjs',
    'rules',
    'server.cjs',
  ]);
}, 60_000);
