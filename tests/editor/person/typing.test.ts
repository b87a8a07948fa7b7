/** A person types on: a line is written by completion, the next fastener is offered, a table goes on with Enter and its bars line up. */
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import { type EditorWindow, lineWith, openFile, openWindow, picture, take } from './window.ts';

suite('a person who types on', () => {
  let window: EditorWindow;
  suiteSetup(async () => {
    window = await openWindow({
      'typed.rebuild':
        'log "Typed on"\nuse "gearbox.limits"\nuse "harbour.bench"\n\nstep "Cover" 2026-05-03 09:30 by AQ with TW2\n',
    });
    await openFile(window.page, 'typed.rebuild');
    await window.page.keyboard.press('Control+End');
  });
  suiteTeardown(async () => {
    await window.close();
  });

  const line = (text: string) => lineWith(window.page, text);

  test('writes a torque line by completion alone', async () => {
    const { page } = window;
    // The server is at work once it says how the log stands.
    await page.locator('.statusbar-item', { hasText: 'open, nothing due' }).waitFor();
    await page.keyboard.type('  tor', { delay: 50 });
    await take(page, 'torque');
    // The group that is due, its first member in the order, its torque.
    await page.locator('.suggest-widget.visible', { hasText: '9..11 N·m' }).waitFor();
    await picture(page, 'completion');
    await take(page, 'cover-m6');
    await page.keyboard.type('[');
    await take(page, '1');
    await page.keyboard.press('End');
    await page.keyboard.type(' ');
    await take(page, 'to');
    await take(page, '10 N·m');
    await line('torque cover-m6[1] to 10 N·m').waitFor();
  });

  test('is offered the next fastener in the order, and takes it', async () => {
    const { page } = window;
    // The others are due.
    await page.locator('.squiggly-warning').first().waitFor();
    await page.keyboard.press('Enter');
    await page.locator('[class*="ghost-text"]').first().waitFor();
    await picture(page, 'next-fastener');
    await page.keyboard.press('Tab');
    await line('torque cover-m6[4] to 10 N·m').waitFor();
  });

  test('goes on with a table by Enter, and its bars line up', async () => {
    const { page } = window;
    await page.keyboard.press('Escape');
    await page.keyboard.type('\nmeasure bearing-bore in mm\n  | | bore |');
    // The editor drops the answer to one key when the next comes first: a person looks up between two cells.
    await line('|  | bore |').waitFor();
    await page.keyboard.press('Enter');
    await window.page.locator('.view-line', { hasText: /^\s*\|\s*$/ }).waitFor();
    await page.keyboard.type('front | 47.01 |');
    await line('| front | 47.01 |').waitFor();
    await line('|       | bore  |').waitFor();
    await picture(page, 'table');
  });
});
