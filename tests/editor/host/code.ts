#!/usr/bin/env node
/**
 * Stands in for the desktop editor's program: takes the same arguments, runs the tests in the editor that is
 * served to a browser, and exits as the extension host did.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { startBrowser, startEditor } from './editor.ts';
import { installHost } from './install.ts';

const { values, positionals } = parseArgs({
  strict: false,
  allowPositionals: true,
  options: {
    extensionDevelopmentPath: { type: 'string', multiple: true },
    extensionTestsPath: { type: 'string' },
  },
});
const workspace = positionals[0];
const development = values.extensionDevelopmentPath?.filter((path) => typeof path === 'string') ?? [];
const tests = values.extensionTestsPath;
if (workspace === undefined || typeof tests !== 'string') {
  throw new Error('a workspace folder and --extensionTestsPath are needed');
}

const dataFolder = mkdtempSync(join(tmpdir(), 'witnessmark-editor-'));
const host = await installHost();
const editor = await startEditor(host, dataFolder);
const end = () => process.exit(1);
process.on('SIGINT', end).on('SIGTERM', end);
process.on('exit', () => rmSync(dataFolder, { recursive: true, force: true }));

const browser = await startBrowser(host.browser);
const page = await browser.newPage();
await page.goto(editor.address(workspace, development, tests));
process.exitCode = await editor.extensionHostEnded;
await browser.close();
editor.stop();
if (process.env.WITNESSMARK_EDITOR_VERBOSE) console.error(editor.output());
