/** What stands beside a log: its preview, what is still due, its state. */
import assert from 'node:assert/strict';
import { suite, suiteSetup, suiteTeardown, test } from 'mocha';
import type { Page } from 'playwright-core';
import { type EditorWindow, openFile, openWindow, picture } from './window.ts';

/** Runs a command by its name, as a person finds it. */
async function command(page: Page, name: string): Promise<void> {
  await page.keyboard.press('F1');
  await page.locator('.quick-input-widget input').first().fill(`>${name}`);
  await page.locator('.quick-input-list .monaco-list-row', { hasText: name }).first().click();
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
    await page.locator('.statusbar-item', { hasText: 'open, nothing due' }).waitFor();
    await page.keyboard.press('Control+End');
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
    const preview = page.frameLocator('iframe.webview').frameLocator('iframe').locator('#sheet');
    await preview.locator('h1').waitFor();
    await preview.getByText('Caution.').first().waitFor();
    await page.locator('.view-line').first().click();
    await page.keyboard.press('Control+End');
    await page.keyboard.type('  note The cover was lapped on glass');
    await preview.getByText('The cover was lapped on glass').first().waitFor();
    await picture(page, 'preview');
  });

  test('a row of the preview leads back to its line', async () => {
    const { page } = window;
    const preview = page.frameLocator('iframe.webview').frameLocator('iframe').locator('#sheet');
    const row = preview.locator('tr[data-line]').first();
    const line = await row.getAttribute('data-line');
    await row.focus();
    await row.press('Enter');
    await page.locator('.statusbar-item', { hasText: `Ln ${line}, Col 1` }).waitFor();
    assert.ok(Number(line) > 0);
  });
});
