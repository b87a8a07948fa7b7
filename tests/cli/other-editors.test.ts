/** The README's recipes for other editors: each names a command that starts the server; Emacs, where it is, follows its own. */
import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, readFileSync } from 'node:fs';
import { delimiter, join, resolve } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';
import type { PublishDiagnosticsParams } from 'vscode-languageserver';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeEach(() => {
  shell = openShell();
});
afterEach(() => shell.close());

const readme = readFileSync('README.md', 'utf8');
const block = (language: string) =>
  new RegExp(`\`\`\`${language}\n([\\s\\S]*?)\`\`\``).exec(readme)?.[1] ?? '';
const strings = (text: string) => [...text.matchAll(/["']([^"']*)["']/g)].map((match) => match[1]);

const toml = block('toml');
const lua = block('lua');
const elisp = block('elisp');
const recipes = {
  Emacs: strings(/\(rebuild-log-mode (.*?)\)/.exec(elisp)?.[1] ?? ''),
  Helix: [
    ...strings(/^command = .*$/m.exec(toml)?.[0] ?? ''),
    ...strings(/^args = .*$/m.exec(toml)?.[0] ?? ''),
  ],
  Neovim: strings(/cmd = \{[^}]*\}/.exec(lua)?.[0] ?? ''),
};

test.each(Object.entries(recipes))('%s', async (_, [command, ...words]) => {
  expect(command).toBe('witnessmark');
  const child = spawn(process.execPath, [shell.cli, ...words.map(String)], { cwd: shell.folder });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  try {
    const found = new Promise<PublishDiagnosticsParams>((resolve) => {
      connection.onNotification('textDocument/publishDiagnostics', resolve);
    });
    connection.listen();
    await connection.sendRequest('initialize', {
      processId: process.pid,
      rootUri: null,
      capabilities: { textDocument: { publishDiagnostics: {} } },
    });
    await connection.sendNotification('initialized', {});
    await connection.sendNotification('textDocument/didOpen', {
      textDocument: {
        uri: 'file:///a.rebuild',
        languageId: 'rebuild-log',
        version: 1,
        text: 'log "a"\nstep "Measure" 2026-05-02\n  measure crank-runout = 0.04 furlong\n',
      },
    });
    expect((await found).diagnostics.map(({ code }) => code)).toContain('unknown-unit');
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
  } finally {
    connection.dispose();
    child.kill();
  }
});

test('every recipe names every kind of file', () => {
  for (const recipe of [elisp, toml, lua])
    for (const extension of ['rebuild', 'limits', 'bench']) expect(recipe).toContain(extension);
});

const loadEglot = ['--batch', '-f', 'package-activate-all', '-l', 'eglot'];
const noEmacs = spawnSync('emacs', loadEglot).status !== 0;

test.skipIf(noEmacs)(`Emacs itself${noEmacs ? ', which is not installed here with eglot' : ''}`, () => {
  shell.write('bin/witnessmark', `#!/bin/sh\nexec "${process.execPath}" "${shell.cli}" "$@"\n`);
  chmodSync(join(shell.folder, 'bin/witnessmark'), 0o755);
  shell.write('init.el', elisp);
  shell.write(
    'a.rebuild',
    'log "a"\nfastener hub-nut[1..6] M8 torque 22 N·m\nstep "Measure" 2026-05-02\nmeasure crank-runout = 0.04 furlong\n',
  );
  const words = [...loadEglot, '-l', 'init.el', '-l', resolve('tests/cli/emacs.el'), 'a.rebuild'];
  const { status, stdout, stderr } = spawnSync('emacs', words, {
    cwd: shell.folder,
    encoding: 'utf8',
    env: {
      ...process.env,
      HOME: shell.folder,
      PATH: `${join(shell.folder, 'bin')}${delimiter}${process.env.PATH}`,
    },
  });
  expect(status, stderr).toBe(0);
  expect(stdout).toMatch(/^found: .*`furlong` is not a unit\.$/m);
  expect(stdout).toContain('step "Measure" 2026-05-02\n  measure crank-runout = 0.04 mm\n');
  expect(stdout).toMatch(/^offered: \(.*hub-nut/m);
});
