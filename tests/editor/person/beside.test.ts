/** What stands beside a log: its preview, what is still due, its state. */
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import type { Page } from 'playwright-core';
import { accessibilityFaults } from '../../harness/accessibility.ts';
import {
  command,
  type EditorWindow,
  lineWith,
  openFile,
  openWindow,
  picture,
  until,
  useTheme,
  viewOf,
} from './window.ts';

/** Puts the cursor at the end of the log: a view that was opened may take the keyboard late. */
async function goToEnd(page: Page, line: number): Promise<void> {
  await until(page.locator('.statusbar-item', { hasText: `Ln ${line},` }), async () => {
    await page.locator('.view-line').first().click();
    await page.keyboard.press('Control+End');
  });
}

/** Sees a message in the list that keeps it: by itself it may have gone by before it is looked for. */
async function seeNotification(page: Page, text: RegExp): Promise<void> {
  const list = page.locator('.notifications-center', { hasText: text });
  await until(list, () => command(page, 'Notifications: Show Notifications'));
}

suite('beside a log', () => {
  let window: EditorWindow;
  suiteSetup(async () => {
    window = await openWindow();
    await openFile(window.page, 'gearbox.rebuild');
  });
  suiteTeardown(async () => {
    await window.close();
  });

  test('the status bar says that the log is open and how much is due', async () => {
    const { page } = window;
    await page.locator('.statusbar-item', { hasText: 'open, nothing due' }).click();
    await page.locator('.pane', { hasText: 'Open Items' }).getByText('Nothing is due.').waitFor();
    await goToEnd(page, 13);
    await page.keyboard.type('  open R1 "order a shim"\n');
    await page.locator('.statusbar-item', { hasText: 'open, 1 due' }).waitFor();
  });

  test('an open item leads to its line', async () => {
    const { page } = window;
    await page.locator('.statusbar-item', { hasText: 'open, 1 due' }).click();
    const item = page.locator('.pane', { hasText: 'Open Items' }).getByRole('treeitem', { level: 2 }).first();
    await item.waitFor();
    await page.locator('.view-line').first().click();
    await item.click();
    await page.locator('.view-line', { hasText: 'open R1' }).waitFor();
    await page.locator('.statusbar-item', { hasText: /Ln \d+, Col \d+ \(2 selected\)/ }).waitFor();
    await picture(page, 'open-items');
  });

  test('the preview shows the report, and follows what is typed', async () => {
    const { page } = window;
    await command(page, 'Witnessmark: Show Preview');
    const preview = viewOf(page);
    await preview.locator('h1').waitFor();
    await preview.getByText('Caution.').first().waitFor();
    await goToEnd(page, 14);
    await page.keyboard.type('  note The cover was lapped on glass');
    await preview.getByText('The cover was lapped on glass').first().waitFor();
    await picture(page, 'preview');
  });

  test('the preview follows the cursor', async () => {
    const { page } = window;
    for (const [line, target] of [
      [7, 'shaft-runout'],
      [8, 'end-float'],
    ] as const) {
      await lineWith(page, `measure ${target}`).click();
      await page.locator('.statusbar-item', { hasText: `Ln ${line},` }).waitFor();
      const here = viewOf(page).locator('.here').first();
      await here.and(viewOf(page).locator(`[data-line="${line}"]`)).waitFor();
      await here.getByText(target).first().waitFor();
    }
  });

  test('the preview has the colours of the theme, and no fault by axe-core in any', async () => {
    const { page } = window;
    for (const [theme, body, paper] of [
      ['Default Dark Modern', 'vs-dark', 'rgb(31, 31, 31)'],
      ['Default High Contrast', 'hc-black', 'rgb(0, 0, 0)'],
      ['Default High Contrast Light', 'hc-light', 'rgb(255, 255, 255)'],
      ['Default Light Modern', 'vs', 'rgb(255, 255, 255)'],
    ] as const) {
      await useTheme(window, theme, body);
      const frame = await (await viewOf(page).elementHandle())?.ownerFrame();
      assert.ok(frame);
      await frame.waitForFunction(`getComputedStyle(document.body).backgroundColor === '${paper}'`);
      assert.deepEqual(await accessibilityFaults(frame), [], theme);
      const colourless = `['ink', 'soft', 'line', 'rule', 'head', 'good', 'worn', 'bad'].filter(
        (name) => getComputedStyle(document.body).getPropertyValue('--wm-' + name) === '')`;
      assert.deepEqual(await frame.evaluate(colourless), [], theme);
      await picture(page, `preview-${body}`);
    }
  });

  test('a row of the preview leads back to its line', async () => {
    const { page } = window;
    const preview = viewOf(page);
    const row = preview.locator('tr[data-line]').first();
    const line = await row.getAttribute('data-line');
    await row.focus();
    await row.press('Enter');
    await page.locator('.statusbar-item', { hasText: `Ln ${line}, Col 1` }).waitFor();
    assert.ok(Number(line) > 0);
  });

  test('another rebuild is compared by meaning', async () => {
    const { page } = window;
    await command(page, 'Witnessmark: Compare with Another Rebuild…');
    await page.locator('.quick-input-list .monaco-list-row', { hasText: 'before.rebuild' }).click();
    await page.getByRole('tab', { name: 'Comparison' }).waitFor();
    const view = viewOf(page);
    const row = view.locator('tr', { hasText: 'shaft-runout' });
    await row.getByText('0.03 mm').waitFor();
    await row.getByText('+0.02 mm').waitFor();
    assert.equal(await view.locator('tr', { hasText: 'end-float' }).count(), 0);
    await picture(page, 'comparison');
  });

  test('the wear of the machine is shown over all its logs', async () => {
    const { page } = window;
    await command(page, 'Witnessmark: Show Trend');
    await page.getByRole('tab', { name: 'Wear over hours' }).waitFor();
    await viewOf(page).getByText('not enough readings: 2').first().waitFor();
    await picture(page, 'trend');
  });

  test('what comes due is shown over all logs and registers of the folder', async () => {
    const { page } = window;
    await command(page, 'Witnessmark: Show What Comes Due');
    await page.getByRole('tab', { name: 'What comes due' }).waitFor();
    await viewOf(page).locator('h1', { hasText: 'What comes due' }).waitFor();
    await viewOf(page).locator('tr', { hasText: 'calibration' }).first().waitFor();
    await picture(page, 'due');
  });

  test('a bench card and the facts go where the user says', async () => {
    const { page } = window;
    const saveAs = async (title: RegExp, name: string) => {
      const dialog = page.locator('.quick-input-title', { hasText: title });
      await dialog.waitFor();
      const box = page.locator('.quick-input-widget input').first();
      await page.waitForFunction(
        `document.querySelector('.quick-input-widget input').value.endsWith('${name}')`,
      );
      await until(dialog.and(page.locator(':visible')), () => box.press('Enter'), 'detached');
      const file = join(window.workspace, name);
      for (let tries = 0; tries < 100 && !existsSync(file); tries++) await page.waitForTimeout(200);
      return readFileSync(file, 'utf8');
    };
    await command(page, 'Witnessmark: Export Facts…');
    assert.match(await saveAs(/^Export facts$/, 'facts.ndjson'), /^\{.*"shaft-runout"/m);
    await seeNotification(page, /facts are written to facts\.ndjson/);
    await command(page, 'Witnessmark: Bench Card from a Table of Limits…');
    await page.locator('.quick-input-list .monaco-list-row', { hasText: 'gearbox.limits' }).click();
    assert.match(await saveAs(/^Bench card$/, 'gearbox-card.html'), /<html/);
  });

  test('a log without a signature cannot be marked, and says so', async () => {
    const { page } = window;
    await command(page, 'Witnessmark: Write Mark');
    await seeNotification(page, /sign/);
  });
});
