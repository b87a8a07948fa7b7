/** The package: what is in it, how large it is, and that an editor takes it. */
import assert from 'node:assert/strict';
import { readdirSync, statSync } from 'node:fs';
import { suite, test } from 'mocha';
import { installExtension, installedFolder, manifest, packageExtension } from './window.ts';

suite('the packaged extension', () => {
  test('is under one megabyte', async () => {
    const { size } = statSync(await packageExtension());
    assert.ok(size < 1_000_000, `${size} bytes`);
  });

  test('holds what the manifest names, and no source, test or sample', async () => {
    await installExtension();
    const files = readdirSync(installedFolder(), { recursive: true }).map(String);
    const named = [...JSON.stringify(manifest.contributes).matchAll(/"\.\/([^"]+)"/g)].map(
      (match) => match[1],
    );
    const bundles = readdirSync('dist').filter((name) => /\.c?js$/.test(name));
    assert.ok(bundles.includes('server.cjs') && bundles.includes('browser-server.js'));
    for (const file of [...named, manifest.icon, ...bundles.map((name) => `dist/${name}`)]) {
      assert.ok(files.includes(file), `${file} is missing`);
    }
    assert.deepEqual(
      files.filter((file) =>
        /\.(ts|mjs|map|rebuild|limits|bench)$|^(tests|samples|node_modules|server\/rules)\//.test(file),
      ),
      [],
    );
  });

  test('is installed by the editor and listed', async () => {
    const listed = await installExtension();
    assert.match(listed, new RegExp(`^witnessmark\\.witnessmark@${manifest.version}$`, 'm'));
  });
});
