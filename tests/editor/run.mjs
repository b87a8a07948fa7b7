/**
 * Runs the extension's tests in a real editor: those of `suite/` in its extension host, then those of `person/`,
 * which install the packaged extension and use it by mouse and keyboard. `--pictures FOLDER` also writes the
 * pictures of the documentation there.
 *
 * WITNESSMARK_EDITOR   `served` (the default: the editor in a browser without a window, from npm alone),
 *                      `desktop` (the desktop editor, downloaded; only `suite/`), or `skip`
 * WITNESSMARK_EDITOR_CACHE     where the editor and the browser are kept between runs
 * WITNESSMARK_EDITOR_VERBOSE   show what the editor itself printed
 */
import { spawnSync } from 'node:child_process';
import {
  cpSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  unwatchFile,
  watchFile,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join, resolve } from 'node:path';
import { parseArgs } from 'node:util';

const mode = process.env.WITNESSMARK_EDITOR || 'served';
if (mode === 'skip') {
  console.log('Editor tests skipped: WITNESSMARK_EDITOR=skip.');
  process.exit(0);
}
if (!['served', 'desktop'].includes(mode))
  stop(`WITNESSMARK_EDITOR is ${mode}; it may be served, desktop or skip`);
if (Number(process.versions.node.split('.')[0]) < 24)
  stop('Node 24 is needed; npm run test:editor brings it');

const here = import.meta.dirname;
const repository = resolve(here, '../..');
const { values: options } = parseArgs({
  options: { pictures: { type: 'string' }, grep: { type: 'string' } },
});
/** The whole run, installing aside, with all of it run twice. */
const runLimit = 600_000;

// Programs started from here run on the same Node.
process.env.PATH = dirname(process.execPath) + delimiter + process.env.PATH;
process.env.WITNESSMARK_EDITOR_PICTURES = resolve(
  options.pictures ?? join(repository, '.cache/editor-pictures'),
);

const { build } = await import('esbuild');
const { downloadAndUnzipVSCode, runTests } = await import('@vscode/test-electron');
const { default: Mocha } = await import('mocha');
const { cacheFolder, installHost } = await import('./host/install.ts');
const { runAndReport, testLimit } = await import('./report.ts');

const results = [];
/** What failed at first, and was run again. */
const triedAgain = [];
const work = mkdtempSync(join(tmpdir(), 'witnessmark-editor-'));
process.on('exit', () => rmSync(work, { recursive: true, force: true, maxRetries: 3 }));
// An interrupt ends the editor; were it deaf to that, the exit ends what is left.
process.on('SIGTERM', () => process.kill(process.pid, 'SIGINT'));
process.on('SIGINT', () => setTimeout(() => process.exit(1), 2000));

const began = Date.now();
if (mode === 'served') await install();
else await download();
const installedIn = Date.now() - began;
const bound = setTimeout(() => {
  console.error(`No end after ${runLimit / 1000} s.`);
  process.kill(process.pid, 'SIGINT');
}, runLimit);

buildExtension();
await inExtensionHost();
if (mode === 'served') await asPerson();
clearTimeout(bound);

const count = (state) => results.filter((result) => result.state === state).length;
const seconds = (milliseconds) => `${(milliseconds / 1000).toFixed(1)} s`;
console.log(`\nEditor host ready in ${seconds(installedIn)}, all done in ${seconds(Date.now() - began)}.`);
if (triedAgain.length > 0) console.log(`Run a second time: ${triedAgain.join(', ')}.`);
const skipped = count('skipped') > 0 ? `, ${count('skipped')} skipped` : '';
console.log(`editor: ${count('passed')} passed, ${count('failed')} failed${skipped}`);
process.exit(count('failed') > 0 || count('passed') === 0 ? 1 : 0);

async function install() {
  try {
    await installHost();
  } catch (error) {
    stop(`Editor tests cannot run: ${error.message} (WITNESSMARK_EDITOR=skip leaves them out)`);
  }
}

/** The desktop editor, unless it is in the cache already. */
async function download() {
  try {
    await downloadAndUnzipVSCode({ cachePath: join(cacheFolder(), 'desktop') });
  } catch (error) {
    stop(
      `Editor tests cannot run: the desktop editor cannot be downloaded (${error.message}). Let this machine reach that host, or leave WITNESSMARK_EDITOR out: the served editor needs npm alone.`,
    );
  }
}

/** The same bundles that are packaged. */
function buildExtension() {
  const built = spawnSync(process.execPath, ['build.mjs'], { cwd: repository, stdio: 'inherit' });
  if (built.status !== 0) stop('the extension does not build');
}

/**
 * Runs tests that share a window, and, where one failed, all of them once more in a new one: on a busy machine an
 * editor is late at times. What the second run says stands, and that there was one is told.
 */
async function runTwiceAtMost(name, runTests) {
  let ended = await reported(runTests);
  if (ended.some(({ state }) => state === 'failed')) {
    console.log(`  ${name} once more, in a new window:`);
    triedAgain.push(name);
    ended = await reported(runTests);
  }
  results.push(...ended);
}

async function reported(runTests) {
  const ended = [];
  await runTests((result) => {
    ended.push(result);
    const sign = { passed: '✓', failed: '✗', skipped: '-' }[result.state];
    console.log(`  ${sign} ${result.title} (${result.milliseconds} ms)`);
    if (result.error) console.log(result.error.replace(/^/gm, '      '));
  });
  return ended;
}

async function inExtensionHost() {
  // Beside node_modules, so that the bundles find mocha.
  const bundles = join(repository, '.cache/editor-tests');
  rmSync(bundles, { recursive: true, force: true });
  await build({
    entryPoints: [join(here, 'suite/index.ts'), join(here, 'suite/*.test.ts')],
    outdir: bundles,
    outExtension: { '.js': '.cjs' },
    bundle: true,
    platform: 'node',
    format: 'cjs',
    sourcemap: 'inline',
    external: ['vscode', 'mocha'],
  });
  await runTwiceAtMost('the tests in the extension host', (report) => runInHost(bundles, report));
}

async function runInHost(bundles, report) {
  const workspace = join(work, 'workspace');
  rmSync(workspace, { recursive: true, force: true });
  cpSync(join(here, 'workspace'), workspace, { recursive: true });
  const reportFile = join(work, 'report.jsonl');
  writeFileSync(reportFile, '');
  let read = 0;
  let complete = false;
  const readReport = () => {
    const lines = readFileSync(reportFile, 'utf8')
      .split('\n')
      .slice(0, -1)
      .map((line) => JSON.parse(line));
    for (const line of lines.slice(read)) {
      if (line === 'end') complete = true;
      else report(line);
    }
    read = lines.length;
  };
  watchFile(reportFile, { interval: 200, persistent: false }, readReport);
  let ended;
  try {
    await runTests({
      ...(mode === 'served'
        ? { vscodeExecutablePath: join(here, 'host/code.ts') }
        : { cachePath: join(cacheFolder(), 'desktop') }),
      extensionDevelopmentPath: repository,
      extensionTestsPath: join(bundles, 'index.cjs'),
      extensionTestsEnv: {
        WITNESSMARK_EDITOR_REPORT: reportFile,
        WITNESSMARK_EDITOR_GREP: options.grep ?? '',
      },
      launchArgs: [workspace, ...(mode === 'desktop' ? ['--disable-extensions'] : [])],
    });
  } catch (error) {
    ended = error;
  }
  unwatchFile(reportFile);
  readReport();
  if (complete) return;
  const error = `the extension host ended before the tests did: ${ended ?? 'with status 0'}`;
  report({ title: 'the tests run to their end', state: 'failed', milliseconds: 0, error });
}

/** As a person does: the packaged extension, installed, in a window. */
async function asPerson() {
  const folder = join(here, 'person');
  const { pictureOfFailure } = await import('./person/window.ts');
  for (const file of readdirSync(folder).sort()) {
    if (!file.endsWith('.test.ts')) continue;
    const mocha = new Mocha({
      ui: 'tdd',
      timeout: 3 * testLimit,
      ...(options.grep && { grep: options.grep }),
    });
    mocha.cleanReferencesAfterRun(false); // it may run a second time
    mocha.rootHooks({
      async afterEach() {
        if (this.currentTest?.state === 'failed') await pictureOfFailure(this.currentTest.fullTitle());
      },
    });
    mocha.addFile(join(folder, file));
    await mocha.loadFilesAsync();
    await runTwiceAtMost(`person/${file}`, (report) => runAndReport(mocha, report));
  }
}

function stop(reason) {
  console.error(reason);
  process.exit(1);
}
