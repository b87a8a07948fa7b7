/** The editor as a person has it: our packaged extension installed, a window on a workspace. */
import { spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { type Editor, runEditorCommand, startBrowser, startEditor } from '../host/editor.ts';
import { installHost } from '../host/install.ts';

const repository = resolve(import.meta.dirname, '../../..');

export const manifest = JSON.parse(readFileSync(join(repository, 'package.json'), 'utf8'));

const work = mkdtempSync(join(tmpdir(), 'witnessmark-person-'));
process.on('exit', () => rmSync(work, { recursive: true, force: true, maxRetries: 3 }));
const dataFolder = join(work, 'data');

export const workspace = join(work, 'Harbour workshop');
cpSync(resolve(import.meta.dirname, '../workspace'), workspace, { recursive: true });

/** Where `npm run package` puts the package; its second call waits for the first. */
let packaged: Promise<string> | undefined;
export function packageExtension(): Promise<string> {
  packaged ??= new Promise((done, fail) => {
    const file = join(work, 'witnessmark.vsix');
    const child = spawn('npm', ['run', '--silent', 'package', '--', '--out', file], { cwd: repository });
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
  return packaged;
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
  close(): Promise<void>;
}

/** A window on the workspace, with the installed extension; nothing is open in it. */
export async function openWindow(): Promise<EditorWindow> {
  await installExtension();
  const host = await installHost();
  const editor: Editor = await startEditor(host, dataFolder);
  const browser = await startBrowser(host.browser);
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, deviceScaleFactor: 2 });
  await page.goto(editor.address(workspace, []));
  await page.getByRole('treeitem', { name: 'gearbox.rebuild' }).waitFor();
  return {
    page,
    close: async () => {
      await browser.close();
      editor.stop();
    },
  };
}

/** Opens a file from the explorer and waits until it can be typed in. */
export async function openFile(page: Page, name: string): Promise<void> {
  await page.getByRole('treeitem', { name }).dblclick();
  await page.getByRole('tab', { name, selected: true }).waitFor();
  await page.locator('.monaco-editor.focused').waitFor();
}

/** A picture of the window, or of a part of it, in the folder that `--pictures` names. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.WITNESSMARK_EDITOR_PICTURES ?? join(repository, '.cache/editor-pictures');
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}
