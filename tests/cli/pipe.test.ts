/** The command line at the end of a pipe whose reader goes away. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { expect, test } from 'vitest';

test('a reader that goes away ends the report without a word', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-pipe-'));
  try {
    const bundle = join(folder, 'cli.cjs');
    buildSync({
      entryPoints: ['server/cli/main.ts'],
      outfile: bundle,
      bundle: true,
      alias: { 'jsonc-parser': 'jsonc-parser/lib/esm/main.js' },
      platform: 'node',
      format: 'cjs',
      target: 'node22',
      logLevel: 'warning',
      banner: { js: "const __address = require('node:url').pathToFileURL(__filename).href;" },
      define: { 'import.meta.url': '__address', __VERSION__: '"0"' },
      external: ['./server.cjs'],
    });
    // More than a pipe holds, so that something is still to be written when the reader has gone.
    writeFileSync(join(folder, 'a.rebuild'), `log "Many"\n${'  measure ? ! ?\n'.repeat(4000)}`);
    const child = spawn(process.execPath, [bundle, 'check', 'a.rebuild'], { cwd: folder });
    let said = '';
    child.stderr.on('data', (chunk) => {
      said += chunk;
    });
    let read = 0;
    child.stdout.once('data', (chunk: Buffer) => {
      read = chunk.length;
      child.stdout.destroy();
    });
    const [status, signal] = await once(child, 'close');
    expect(read).toBeGreaterThan(0);
    expect({ status, signal, said }).toEqual({ status: 0, signal: null, said: '' });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
