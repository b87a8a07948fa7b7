/** Puts the editor and the browser that the tests run in into a cache folder, once, and says where they are. */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { join, resolve } from 'node:path';
import { brotliDecompressSync } from 'node:zlib';

export interface EditorHost {
  /** The program of the editor's own server, for Node. */
  readonly serverMain: string;
  readonly browser: Browser;
}

export interface Browser {
  readonly executable: string;
  /** What the browser needs in its environment beside ours. */
  readonly env: Readonly<Record<string, string>>;
}

const manifestFolder = import.meta.dirname;
const repository = resolve(manifestFolder, '../../..');
const installLimit = 300_000;

const fontConfiguration = `<?xml version="1.0"?>
<fontconfig><dir prefix="relative">fonts</dir><cachedir prefix="xdg">fontconfig</cachedir></fontconfig>
`;

/** Where installed hosts are kept: WITNESSMARK_EDITOR_CACHE, or `.cache/editor-host` of the repository. */
export function cacheFolder(): string {
  return resolve(process.env.WITNESSMARK_EDITOR_CACHE ?? join(repository, '.cache/editor-host'));
}

/**
 * The host that the committed lockfile asks for, installed if the cache has not got it yet. Throws an `Error`
 * with one sentence when it cannot be had. A host that was not installed to its end is never used: it gets its
 * name only when it is complete.
 */
export async function installHost(): Promise<EditorHost> {
  const lockfile = readFileSync(join(manifestFolder, 'package-lock.json'));
  const version = createHash('sha256').update(lockfile).digest('hex').slice(0, 12);
  const folder = join(cacheFolder(), `${process.platform}-${process.arch}-${version}`);
  if (!existsSync(folder)) await install(folder);
  return {
    serverMain: join(folder, 'node_modules/code-server/lib/vscode/out/server-main.js'),
    browser: installedBrowser(folder),
  };
}

async function install(folder: string): Promise<void> {
  if (process.platform !== 'linux') {
    throw new Error('the served editor is installed on Linux only; set WITNESSMARK_EDITOR=desktop');
  }
  const unfinished = `${folder}.${process.pid}`;
  mkdirSync(unfinished, { recursive: true });
  try {
    for (const name of ['package.json', 'package-lock.json']) {
      copyFileSync(join(manifestFolder, name), join(unfinished, name));
    }
    await npmInstall(unfinished, []);
    // Its lockfile leaves out an optional peer, which a plain `npm ci` takes for a mistake.
    await npmInstall(join(unfinished, 'node_modules/code-server/lib/vscode'), ['--legacy-peer-deps']);
    await unpackBrowser(unfinished);
    if (!existsSync(folder)) renameSync(unfinished, folder);
  } finally {
    rmSync(unfinished, { recursive: true, force: true });
  }
}

function npmInstall(folder: string, options: readonly string[]): Promise<void> {
  const quiet = ['--no-audit', '--no-fund', '--loglevel=error'];
  return runProgram('npm', ['ci', '--omit=dev', '--ignore-scripts', ...quiet, ...options], folder);
}

/** Unpacks the browser of the npm package, and the libraries and fonts that it brings for bare machines. */
async function unpackBrowser(folder: string): Promise<void> {
  const packed = join(folder, 'node_modules/@sparticuz/chromium/bin');
  const unpacked = join(folder, 'browser');
  mkdirSync(unpacked);
  const read = (name: string) => brotliDecompressSync(readFileSync(join(packed, name)));
  writeFileSync(join(unpacked, 'chromium'), read('chromium.br'), { mode: 0o755 });
  for (const name of ['al2023.tar', 'fonts.tar']) {
    writeFileSync(join(unpacked, name), read(`${name}.br`));
    await runProgram('tar', ['-xf', name], unpacked);
    rmSync(join(unpacked, name));
  }
  writeFileSync(join(unpacked, 'fonts.conf'), fontConfiguration);
  rmSync(packed, { recursive: true });
}

function installedBrowser(folder: string): Browser {
  for (const executable of ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']) {
    if (existsSync(executable)) return { executable, env: {} };
  }
  const unpacked = join(folder, 'browser');
  const libraries = [join(unpacked, 'lib'), process.env.LD_LIBRARY_PATH].filter(Boolean).join(':');
  // Where the machine has no fonts of its own, those of the package keep the editor readable.
  const fonts = existsSync('/usr/share/fonts') ? {} : { FONTCONFIG_PATH: unpacked };
  return { executable: join(unpacked, 'chromium'), env: { LD_LIBRARY_PATH: libraries, ...fonts } };
}

function runProgram(program: string, args: readonly string[], cwd: string): Promise<void> {
  return new Promise((done, fail) => {
    const child = spawn(program, args, { cwd, timeout: installLimit, stdio: ['ignore', 'ignore', 'pipe'] });
    let complaint = '';
    child.stderr.on('data', (chunk: Buffer) => {
      complaint += chunk.toString();
    });
    child.on('error', fail);
    child.on('close', (status, signal) => {
      if (status === 0) return done();
      const reason = complaint.trim().split('\n').slice(0, 3).join(' ');
      fail(new Error(`"${program} ${args[0]}" ended with ${status ?? signal} ${reason}`));
    });
  });
}
