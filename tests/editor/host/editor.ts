/** Starts the editor's server and a browser that shows it, and ends both. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Browser as PlaywrightBrowser } from 'playwright-core';
import type { Browser, EditorHost } from './install.ts';

export interface Editor {
  /** The address that shows `workspace` with the extension of `development` loaded from its folder. */
  address(workspace: string, development: readonly string[], tests?: string): string;
  /** The exit code of the first extension host that ends. */
  readonly extensionHostEnded: Promise<number>;
  /** What the server has printed so far. */
  output(): string;
  stop(): void;
}

/** Settings of a quiet editor: no welcome, no updates, nothing that asks the network. */
const userSettings = {
  'chat.disableAIFeatures': true,
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'extensions.ignoreRecommendations': true,
  'git.enabled': false,
  'security.workspace.trust.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'workbench.enableExperiments': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'workbench.settings.enableNaturalLanguageSearch': false,
  'workbench.startupEditor': 'none',
};

/** A gallery that is not there: the editor then does not ask for one. */
const noGallery = JSON.stringify({ serviceUrl: '', itemUrl: '', resourceUrlTemplate: '' });

function serverOptions(dataFolder: string): string[] {
  return [
    ...['--user-data-dir', dataFolder],
    ...['--server-data-dir', join(dataFolder, 'server')],
    ...['--extensions-dir', join(dataFolder, 'extensions')],
    ...['--accept-server-license-terms', '--disable-telemetry', '--disable-workspace-trust'],
  ];
}

/**
 * Starts the editor's server on a free port of this machine, with its data under `dataFolder`. Throws when it
 * ends before it listens.
 */
export async function startEditor(host: EditorHost, dataFolder: string): Promise<Editor> {
  mkdirSync(join(dataFolder, 'User'), { recursive: true });
  writeFileSync(join(dataFolder, 'User/settings.json'), JSON.stringify(userSettings, null, 2));
  const listening = ['--host', '127.0.0.1', '--port', '0', '--without-connection-token'];
  const child = spawn(
    process.execPath,
    [host.serverMain, ...listening, '--enable-smoke-test-driver', ...serverOptions(dataFolder)],
    // A group of its own, so that the hosts and language servers it starts end with it.
    { env: editorEnvironment(dataFolder), stdio: ['ignore', 'pipe', 'pipe'], detached: true },
  );
  let output = '';
  /** The number that `pattern` finds in what the server prints, as soon as it is printed. */
  const printed = (pattern: RegExp) =>
    new Promise<number>((found, fail) => {
      const read = () => {
        const number = pattern.exec(output)?.[1];
        if (number !== undefined) found(Number(number));
      };
      child.stdout.on('data', read);
      child.stderr.on('data', read);
      child.on('error', fail);
      child.on('exit', (code) => fail(new Error(`the editor's server ended with ${code}:\n${output}`)));
    });
  const keep = (chunk: Buffer) => {
    output += chunk.toString();
  };
  child.stdout.on('data', keep);
  child.stderr.on('data', keep);
  process.on('exit', () => endGroup(child));
  const extensionHostEnded = printed(/Extension Host Process exited with code: (\d+)/);
  extensionHostEnded.catch(() => undefined); // nobody waits for it where no tests run
  const authority = `127.0.0.1:${await printed(/Extension host agent listening on (\d+)/)}`;
  return {
    address: (workspace, development, tests) => {
      const remote = (path: string) => `vscode-remote://${authority}${path}`;
      const payload = [
        ...development.map((path) => ['extensionDevelopmentPath', remote(path)]),
        ...(tests === undefined ? [] : [['extensionTestsPath', remote(tests)]]),
        ['enableProposedApi', ''],
        ['skipWelcome', 'true'],
      ];
      const query = new URLSearchParams({ folder: workspace, payload: JSON.stringify(payload) });
      return `http://${authority}/?${query}`;
    },
    extensionHostEnded,
    output: () => output,
    stop: () => endGroup(child),
  };
}

/** Runs the editor's server for one command (`--install-extension …`) and gives what it printed. */
export function runEditorCommand(
  host: EditorHost,
  dataFolder: string,
  args: readonly string[],
): Promise<string> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [host.serverMain, ...args, ...serverOptions(dataFolder)], {
      env: editorEnvironment(dataFolder),
      stdio: ['ignore', 'pipe', 'pipe'],
      timeout: 60_000,
    });
    let output = '';
    child.stdout.on('data', (chunk: Buffer) => {
      output += chunk.toString();
    });
    child.stderr.on('data', (chunk: Buffer) => {
      output += chunk.toString();
    });
    child.on('error', fail);
    child.on('close', (status) => {
      if (status === 0) done(output);
      else fail(new Error(`"${args.join(' ')}" ended with ${status}:\n${output}`));
    });
  });
}

/** A browser without a window. Its requests go to this machine only. */
export async function startBrowser(browser: Browser): Promise<PlaywrightBrowser> {
  return await chromium.launch({
    executablePath: browser.executable,
    env: { ...process.env, ...browser.env },
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
      '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost',
    ],
  });
}

/** The editor keeps its files in `dataFolder`, whatever it thinks of as home. */
function editorEnvironment(dataFolder: string): NodeJS.ProcessEnv {
  const temporary = join(dataFolder, 'tmp');
  mkdirSync(temporary, { recursive: true });
  return {
    ...process.env,
    HOME: dataFolder,
    TMPDIR: temporary,
    XDG_RUNTIME_DIR: temporary,
    EXTENSIONS_GALLERY: noGallery,
  };
}

function endGroup(child: ChildProcess): void {
  if (child.pid === undefined) return;
  try {
    process.kill(-child.pid);
  } catch {
    // It has ended already.
  }
}
