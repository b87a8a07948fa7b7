/** A reviewer at a log: the preview beside it, what is still due, a reading drawn against its limits, a clause explained. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import {
  command,
  type EditorWindow,
  lineWith,
  openFile,
  openWindow,
  picture,
  until,
  viewOf,
} from './window.ts';

const samples = join(import.meta.dirname, '../../../samples/tern-460');
const names = ['0122-first-rebuild.rebuild', 'tern-460.limits', 'harbour.bench'];

suite('a reviewer at a log', () => {
  let window: EditorWindow;
  suiteSetup(async () => {
    window = await openWindow(
      Object.fromEntries(names.map((name) => [name, readFileSync(join(samples, name), 'utf8')])),
    );
  });
  suiteTeardown(async () => {
    await window?.close();
  });

  test('sees a reading drawn against its limits, what is due, and the report beside it', async () => {
    const { page } = window;
    await openFile(page, '0122-first-rebuild.rebuild');
    await page.keyboard.press('Control+g');
    await page.locator('.quick-input-widget input').first().fill(':46');
    await page.keyboard.press('Enter');
    await page.locator('.statusbar-item', { hasText: 'Ln 46,' }).waitFor();
    await page.locator('.statusbar-item', { hasText: /open, \d+ due/ }).click();
    await page.locator('.pane', { hasText: 'Open Items' }).getByText('Reading not taken').first().waitFor();
    const preview = page.getByRole('tab', { name: /^Preview / });
    await until(preview, () => command(page, 'Witnessmark: Show Preview'));
    await viewOf(page).locator('h1', { hasText: 'first rebuild' }).waitFor();
    const reading = lineWith(page, '67.553 mm').getByText('67.553').first();
    const drawing = page.locator('.monaco-hover:visible img').first();
    await until(drawing, async () => {
      // The mouse alone is moved: Playwright's own hover would scroll the log sideways.
      const box = await reading.boundingBox();
      await page.mouse.move(600, 20);
      if (box !== null) await page.mouse.move(box.x + 10, box.y + box.height / 2, { steps: 5 });
    });
    await page.waitForFunction(
      `[...document.querySelectorAll('.monaco-hover img')].some((one) => one.complete && one.naturalWidth > 0)`,
    );
    await picture(page, 'log');
    await page.keyboard.press('Escape');
  });

  test('is told what a clause asks while it is written', async () => {
    const { page } = window;
    await lineWith(page, 'measure crank-runout = 0.3 mm').click({ position: { x: 30, y: 5 } });
    await page.keyboard.press('Control+End');
    await page.keyboard.type('\ntorque hub-nut[1] to ');
    const hints = page.locator('.parameter-hints-widget.visible');
    await until(hints, async () => {
      await page.keyboard.press('Escape');
      await page.keyboard.press('Control+Shift+Space');
    });
    await hints.getByText('torque').first().waitFor();
    await picture(page, 'signature');
  });

  test('a target’s own name where a line begins leads to its line', async () => {
    const { page } = window;
    await page.keyboard.press('Escape');
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+End');
    const offer = page
      .locator('.suggest-widget.visible .monaco-list-row', { hasText: 'measure bore' })
      .first();
    await page.keyboard.press('Enter');
    await page.keyboard.type('bore');
    await until(offer, () => page.keyboard.press('Control+Space'));
    await picture(page, 'target-first');
  });
});
