/** The editor as a person has it: our packaged extension installed, a window on a workspace. */
import { spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { type Editor, runEditorCommand, startBrowser, startEditor } from '../host/editor.ts';
import { installHost } from '../host/install.ts';

const repository = resolve(import.meta.dirname, '../../..');

export const manifest = JSON.parse(readFileSync(join(repository, 'package.json'), 'utf8'));

const work = mkdtempSync(join(tmpdir(), 'witnessmark-person-'));
process.on('exit', () => rmSync(work, { recursive: true, force: true, maxRetries: 3 }));
const dataFolder = join(work, 'data');

let windows = 0;

/** A workspace of its own for each window: what is typed in it is saved there by itself. */
function newWorkspace(): string {
  const folder = join(work, `workspace ${++windows}`, 'Harbour workshop');
  cpSync(resolve(import.meta.dirname, '../workspace'), folder, { recursive: true });
  return folder;
}

/** Where `npm run package` puts the package; its second call waits for the first. */
let packaged: Promise<string> | undefined;
export function packageExtension(): Promise<string> {
  packaged ??= packageFrom(repository, 'witnessmark.vsix');
  return packaged;
}

function packageFrom(folder: string, name: string): Promise<string> {
  return new Promise((done, fail) => {
    const file = join(work, name);
    const options = ['--prefix', folder, 'run', '--silent', 'package', '--', '--out', file];
    const child = spawn('npm', options, { cwd: folder });
    let output = '';
    child.stdout.on('data', (chunk: Buffer) => {
      output += chunk.toString();
    });
    child.stderr.on('data', (chunk: Buffer) => {
      output += chunk.toString();
    });
    child.on('error', fail);
    child.on('close', (status) => (status === 0 ? done(file) : fail(new Error(`no package:\n${output}`))));
  });
}

/** Installs the package as `--install-extension` does, and gives the list of what is then installed. */
let installed: Promise<string> | undefined;
export function installExtension(): Promise<string> {
  installed ??= (async () => {
    const host = await installHost();
    await runEditorCommand(host, dataFolder, ['--install-extension', await packageExtension()]);
    return await runEditorCommand(host, dataFolder, ['--list-extensions', '--show-versions']);
  })();
  return installed;
}

/** Where the installed extension lies. */
export function installedFolder(): string {
  return join(dataFolder, 'extensions', `witnessmark.witnessmark-${manifest.version}`);
}

export interface EditorWindow {
  readonly page: Page;
  /** The folder that is open in it. */
  readonly workspace: string;
  close(): Promise<void>;
}

/**
 * A window on a new workspace, with the installed extension; nothing is open in it. The files are in the folder beside
 * those that are always there; `prepare` does to the folder what is to be done before it is opened.
 */
export async function openWindow(
  files: Readonly<Record<string, string>> = {},
  prepare?: (workspace: string) => void,
): Promise<EditorWindow> {
  await installExtension();
  const workspace = newWorkspace();
  for (const [name, text] of Object.entries(files)) writeFileSync(join(workspace, name), text);
  prepare?.(workspace);
  return await windowOn(dataFolder, workspace);
}

/**
 * The same, where the extension has no Node: of the package only what a browser takes is left, so that the window runs
 * it by itself.
 */
export async function openBrowserWindow(): Promise<EditorWindow> {
  await installExtension();
  const folder = join(work, 'for browsers');
  rmSync(folder, { recursive: true, force: true });
  cpSync(installedFolder(), folder, {
    recursive: true,
    filter: (path) => !/dist\/(?!browser-).*\.cjs$/.test(path),
  });
  const { main: _, bin: __, scripts, __metadata: ___, ...rest } = manifest;
  writeFileSync(
    join(folder, 'package.json'),
    JSON.stringify({ ...rest, scripts: { package: scripts.package } }),
  );
  writeFileSync(join(folder, '.vscodeignore'), '');
  const file = await packageFrom(folder, 'browser.vsix');
  const data = join(work, 'browser-data');
  await runEditorCommand(await installHost(), data, ['--install-extension', file]);
  return await windowOn(data, newWorkspace());
}

/** The window that was opened last. */
let shown: Page | undefined;

async function windowOn(data: string, folder: string): Promise<EditorWindow> {
  const host = await installHost();
  const editor: Editor = await startEditor(host, data);
  const browser = await startBrowser(host.browser);
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, deviceScaleFactor: 2 });
  shown = page;
  await page.goto(editor.address(folder, []));
  await page.getByRole('treeitem', { name: 'gearbox.rebuild' }).waitFor();
  return {
    page,
    workspace: folder,
    close: async () => {
      await browser.close();
      editor.stop();
    },
  };
}

/** Runs a command by its name, as a person finds it. */
export async function command(page: Page, name: string): Promise<void> {
  await page.keyboard.press('F1');
  await page.locator('.quick-input-widget input').first().fill(`>${name}`);
  await page.locator('.quick-input-list .monaco-list-row', { hasText: name }).first().click();
}

/** What a view beside a log that was opened last shows. */
export function viewOf(page: Page) {
  return page.frameLocator('iframe.webview.ready >> nth=-1').frameLocator('iframe').locator('#sheet');
}

/** Opens a file from the explorer and waits until it can be typed in. */
export async function openFile(page: Page, name: string): Promise<void> {
  await page.getByRole('treeitem', { name }).dblclick();
  await page.getByRole('tab', { name, selected: true }).waitFor();
  await page.locator('.monaco-editor.focused').waitFor();
}

/**
 * Takes the item of the list of suggestions that is chosen, once it is the one with this text. Where the list does not
 * come by itself, as when an editor that is busy drops the answer to a key, it is asked for.
 */
export async function take(page: Page, text: string): Promise<void> {
  const item = page.locator('.suggest-widget.visible .monaco-list-row.focused', { hasText: text });
  await item.waitFor({ timeout: 8_000 }).catch(() => page.keyboard.press('Control+Space'));
  await item.waitFor();
  await page.keyboard.press('Enter');
  await page
    .locator('.suggest-widget.visible .monaco-list-row.focused', { hasText: text })
    .waitFor({ state: 'detached' });
}

/** The line of the editor with this text, whatever blanks it is shown with. */
export function lineWith(page: Page, text: string) {
  return page.locator('.view-line', { hasText: text.replaceAll(' ', '\u00a0') });
}

/** Does what brings something into sight, and does it again while it does not come: an editor that is busy drops some. */
export async function until(
  target: Locator,
  act: () => Promise<void>,
  state: 'visible' | 'detached' = 'visible',
): Promise<void> {
  for (let tries = 0; tries < 6; tries++) {
    await act();
    const reached = await target.waitFor({ state, timeout: 4_000 }).then(
      () => true,
      () => false,
    );
    if (reached) return;
  }
  await target.waitFor({ state, timeout: 4_000 });
}

/** Gives the window another theme. */
export async function useTheme(
  { page, workspace }: EditorWindow,
  theme: string,
  body: string,
): Promise<void> {
  mkdirSync(join(workspace, '.vscode'), { recursive: true });
  writeFileSync(join(workspace, '.vscode/settings.json'), JSON.stringify({ 'workbench.colorTheme': theme }));
  await page.locator(`.monaco-workbench.${body}`).waitFor();
}

/** A picture of the window, or of a part of it, in the folder that `--pictures` names. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.WITNESSMARK_EDITOR_PICTURES ?? join(repository, '.cache/editor-pictures');
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

/** Keeps a picture of what was there when a test failed. */
export async function pictureOfFailure(title: string): Promise<void> {
  if (shown === undefined || shown.isClosed()) return;
  await picture(shown, `failed-${title.replace(/[^a-z0-9]+/gi, '-').slice(0, 80)}`);
}
