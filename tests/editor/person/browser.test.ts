/** A person whose editor is a browser alone: no process, no disk, the server in a web worker. */
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import { type EditorWindow, openBrowserWindow, openFile, picture } from './window.ts';

suite('a person in a browser alone', () => {
  let window: EditorWindow;
  suiteSetup(async () => {
    window = await openBrowserWindow();
  });
  suiteTeardown(async () => {
    await window?.close();
  });

  test('types a torque with the wrong unit and sees it underlined, by a server in a web worker', async () => {
    const { page } = window;
    await openFile(page, 'gearbox.rebuild');
    await page.keyboard.press('Control+End');
    await page.keyboard.type('\n  torque cover-m6[2] to 10 N·m (88 ft·lbf)');
    await page.locator('.squiggly-error').first().waitFor();
    // The runout is past the limit for new parts: the table that says so was handed to the server.
    await page.locator('.squiggly-info').first().waitFor();
    await page.locator('.statusbar-item', { hasText: 'open, nothing due' }).waitFor();
    await picture(page, 'browser');
  });
});
