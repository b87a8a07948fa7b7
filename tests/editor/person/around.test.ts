/** What stands around a log: its earlier revisions in git, the task that checks them all, the walkthrough. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
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

/** A repository with the log committed, and a reading changed since. */
function keepInGit(workspace: string): void {
  const git = (...words: readonly string[]) =>
    execFileSync('git', ['-c', 'user.name=Ada Quill', '-c', 'user.email=aq@harbour.invalid', ...words], {
      cwd: workspace,
    });
  git('init', '--quiet');
  git('add', '.');
  git('commit', '--quiet', '--message', 'As measured');
  const log = join(workspace, 'gearbox.rebuild');
  writeFileSync(log, readFileSync(log, 'utf8').replace('end-float = 0.10', 'end-float = 0.90'));
  mkdirSync(join(workspace, '.vscode'));
  writeFileSync(
    join(workspace, '.vscode/settings.json'),
    JSON.stringify({ 'git.enabled': true, 'terminal.integrated.gpuAcceleration': 'off' }),
  );
}

suite('a person around a log', () => {
  let window: EditorWindow;
  suiteSetup(async () => {
    window = await openWindow({}, keepInGit);
    await openFile(window.page, 'gearbox.rebuild');
  });
  suiteTeardown(async () => {
    await window?.close();
  });

  test('compares the log with its earlier revision', async () => {
    const { page } = window;
    // git reads the folder after the window is there.
    const commit = page.locator('.quick-input-list .monaco-list-row', { hasText: 'As measured' });
    await until(commit, () => command(page, 'Witnessmark: Compare with an Earlier Revision…'));
    await commit.click();
    await page.getByRole('tab', { name: 'Comparison' }).waitFor();
    const row = viewOf(page).locator('tr', { hasText: 'end-float' });
    await row.getByText('0.90 mm').waitFor();
    await row.getByText('+0.80 mm').waitFor();
    await picture(page, 'earlier-revision');
  });

  test('checks all logs by a task', async () => {
    const { page } = window;
    const task = page.locator('.quick-input-list .monaco-list-row', { hasText: 'check all logs' });
    await until(task, () => command(page, 'Tasks: Run Test Task'));
    await task.click();
    await page.locator('.xterm-rows', { hasText: '3 errors, 1 for information in 4 files.' }).waitFor();
    await picture(page, 'task');
  });

  test('sees a first finding by the walkthrough', async () => {
    const { page } = window;
    const title = page.locator('.quick-input-list .monaco-list-row', {
      hasText: 'Keep the evidence of a rebuild',
    });
    await until(title, () => command(page, 'Welcome: Open Walkthrough...'));
    await title.click();
    await page.getByRole('button', { name: 'Open a first log' }).click();
    await lineWith(page, '10 N·m (88 ft·lbf)').waitFor();
    await page.locator('.squiggly-error').first().waitFor();
    await picture(page, 'first-log');
  });
});
