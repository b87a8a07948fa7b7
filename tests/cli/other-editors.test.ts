/** The README's recipes for other editors name a command that starts the language server and gives findings. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
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
const recipes = {
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

test('both recipes name every kind of file', () => {
  for (const recipe of [toml, lua])
    for (const extension of ['rebuild', 'limits', 'bench']) expect(recipe).toContain(extension);
});
