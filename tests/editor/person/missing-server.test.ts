/** A language server that cannot start: the person is told once, and the rest goes on. */
import assert from 'node:assert/strict';
import { renameSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import { type EditorWindow, installExtension, installedFolder, openFile, openWindow } from './window.ts';

suite('a person whose server is missing', () => {
  const bundle = join(installedFolder(), 'dist/server.cjs');
  let window: EditorWindow;
  suiteSetup(async () => {
    await installExtension();
    renameSync(bundle, `${bundle}.away`);
    window = await openWindow();
  });
  suiteTeardown(async () => {
    renameSync(`${bundle}.away`, bundle);
    await window.close();
  });

  test('is told so, once, with a way to the output', async () => {
    const { page } = window;
    await openFile(page, 'gearbox.rebuild');
    await page.getByText("couldn't create connection to server").first().waitFor({ state: 'attached' });
    await page.locator('[id="status.notifications"]').click();
    const told = page.locator('.notifications-center .notification-list-item');
    await told.getByRole('button', { name: 'Go to output' }).waitFor();
    assert.match(
      await told.allTextContents().then((texts) => texts.join('\n')),
      /couldn't create connection/,
    );
    assert.equal(await told.count(), 1);
  });
});
