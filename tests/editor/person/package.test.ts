/** The package: what is in it, how large it is, and that an editor takes it. */
import assert from 'node:assert/strict';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { suite, test } from 'mocha';
import { installExtension, installedFolder, packageExtension } from './window.ts';

const repository = resolve(import.meta.dirname, '../../..');
const manifest = JSON.parse(readFileSync(resolve(repository, 'package.json'), 'utf8'));

suite('the packaged extension', () => {
  test('is under one megabyte', async () => {
    const { size } = statSync(await packageExtension());
    assert.ok(size < 1_000_000, `${size} bytes`);
  });

  test('holds what the manifest names, and no source, test or sample', async () => {
    await installExtension();
    const files = readdirSync(installedFolder(manifest.version), { recursive: true }).map(String);
    const named = [...JSON.stringify(manifest.contributes).matchAll(/"\.\/([^"]+)"/g)].map(
      (match) => match[1],
    );
    for (const file of [...named, manifest.icon, 'dist/extension.cjs', 'dist/server.cjs']) {
      assert.ok(files.includes(file), `${file} is missing`);
    }
    assert.deepEqual(
      files.filter((file) =>
        /\.(ts|mjs|map|rebuild|limits|bench)$|^(tests|samples|node_modules|server)\//.test(file),
      ),
      [],
    );
  });

  test('is installed by the editor and listed', async () => {
    const listed = await installExtension();
    assert.match(listed, new RegExp(`^witnessmark\\.witnessmark@${manifest.version}$`, 'm'));
  });
});
