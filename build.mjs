// Bundles the command line, the language server and the extension as CommonJS files, into dist/ or the folder after
// --into.
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, cpSync, globSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { basename, join, relative } from 'node:path';
import { build, context } from 'esbuild';

const into = process.argv.includes('--into') ? process.argv[process.argv.indexOf('--into') + 1] : 'dist';

const common = {
  bundle: true,
  // Its other form asks for its parts in a way that a bundle cannot follow.
  alias: { 'jsonc-parser': 'jsonc-parser/lib/esm/main.js' },
  platform: 'node',
  format: 'cjs',
  target: 'node22',
  sourcemap: false,
  // Less to read is quicker to start.
  minify: true,
  legalComments: 'none',
  logLevel: 'warning',
  define: {
    'process.env.WITNESSMARK_PRODUCTION': '"1"',
    __VERSION__: JSON.stringify(JSON.parse(readFileSync('package.json', 'utf8')).version),
  },
};

/** Parts of libraries that a bundle never asks for, and what stands for them. */
const neverAsked = [
  // The lexer is our own: of Chevrotain's only the mark of a token without a pattern is asked for.
  [
    /chevrotain[\\/]lib[\\/]src[\\/]scan[\\/]lexer_public\.js$/,
    'export class Lexer { static NA = /NOT_APPLICABLE/; } export const LexerDefinitionErrorType = {};',
  ],
  // The grammar is validated by a test, and not again at each start.
  [
    /chevrotain[\\/]lib[\\/]src[\\/]parse[\\/]grammar[\\/]checks\.js$/,
    [
      ...['Grammar', 'Lookahead', 'RuleIsOverridden', 'AmbiguousAlternationAlternatives'],
      ...['EmptyOrAlternative', 'NoLeftRecursion', 'SomeNonEmptyLookaheadPath'],
    ]
      .map((name) => `export const validate${name} = undefined;`)
      .join(''),
  ],
  // Scales lie between numbers, not colours.
  [
    /d3-interpolate[\\/]dist[\\/]d3-interpolate\.mjs$/,
    `const between = (a, b) => (t) => a * (1 - t) + b * t;
     export { between as interpolate, between as interpolateNumber };
     export const interpolateRound = undefined, piecewise = undefined;`,
  ],
];
const leaveOut = {
  name: 'leave out',
  setup({ onLoad }) {
    for (const [filter, contents] of neverAsked) onLoad({ filter }, () => ({ contents }));
  },
};

/** What the command line and the server on Node both hold is in bundles of its own: the folders whose door each keeps. */
const shared = {
  core: [
    'grammar',
    'server/quantities',
    'server/calculations',
    'server/rebuild',
    'server/rules',
    'server/workspace',
  ],
  documents: ['server/documents'],
};
const sharedFiles = Object.keys(shared).map((name) => `./${name}.cjs`);

/** Imports of those doors, from a bundle that does not keep them, go to the bundle that does. */
const fromShared = (own = '') => ({
  name: 'shared',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /\/index\.ts$/ }, ({ path, resolveDir }) => {
      const folder = relative('.', join(resolveDir, path, '..')).replaceAll('\\', '/');
      const keeper = Object.keys(shared).find((name) => shared[name].includes(folder));
      return keeper === undefined || keeper === own
        ? undefined
        : { path: `./${keeper}.cjs`, namespace: 'door', suffix: `#${basename(folder)}` };
    });
    onLoad({ filter: /./, namespace: 'door' }, ({ path, suffix }) => ({
      contents: `module.exports = require(${JSON.stringify(path)}).${suffix.slice(1)};`,
      resolveDir: '.',
    }));
  },
});

/** The protocol's packages, which the server and the extension on Node both speak by. */
const protocol = [
  'vscode-jsonrpc',
  'vscode-jsonrpc/node',
  'vscode-languageserver-protocol',
  'vscode-languageserver-protocol/node',
  'vscode-languageserver-types',
];
const fromProtocol = {
  name: 'protocol',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^vscode-(jsonrpc|languageserver-)/ }, ({ path }) =>
      protocol.includes(path) ? { path, namespace: 'protocol' } : undefined,
    );
    onLoad({ filter: /./, namespace: 'protocol' }, ({ path }) => ({
      contents: `module.exports = require('./protocol.cjs')[${JSON.stringify(path)}];`,
      resolveDir: '.',
    }));
  },
};

/**
 * What is loaded from here on is kept compiled from one run to the next, which saves a fifth of a short one;
 * NODE_DISABLE_COMPILE_CACHE=1 keeps it from being put by.
 */
const cached = "'use strict';require('node:module').enableCompileCache?.();";

/** Modules of Node that take milliseconds to load and that few runs of a command ask anything: loaded when asked. */
const seldomAsked = ['node:child_process', 'node:crypto', 'node:worker_threads'];
const whenAsked = {
  name: 'when asked',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^node:/ }, ({ path, namespace }) =>
      namespace !== 'when asked' && seldomAsked.includes(path)
        ? { path, namespace: 'when asked' }
        : undefined,
    );
    onLoad({ filter: /./, namespace: 'when asked' }, async ({ path }) => ({
      contents: Object.keys(await import(path))
        .filter((name) => name !== 'default')
        .map(
          (name) =>
            `Object.defineProperty(exports, '${name}', { enumerable: true, get: () => require('${path}').${name} });`,
        )
        .join('\n'),
    }));
  },
};

const node = { ...common, external: [...sharedFiles, './server.cjs'], plugins: [fromShared()] };
const speaking = {
  external: [...sharedFiles, './protocol.cjs', 'vscode'],
  plugins: [fromShared(), fromProtocol],
};

const bundles = [
  ...Object.entries(shared).map(([name, folders]) => ({
    ...node,
    stdin: {
      contents: folders.map((one) => `export * as ${basename(one)} from './${one}/index.ts';`).join('\n'),
      resolveDir: process.cwd(),
    },
    plugins: [fromShared(name), leaveOut],
    outfile: `${into}/${name}.cjs`,
  })),
  {
    ...node,
    entryPoints: ['server/cli/main.ts'],
    outfile: `${into}/commands.cjs`,
    plugins: [fromShared(), whenAsked],
    // A library that is written as a module asks for its own address.
    banner: { js: "const __address = require('node:url').pathToFileURL(__filename).href;" },
    define: { ...common.define, 'import.meta.url': '__address' },
  },
  {
    ...common,
    entryPoints: ['server/cli/start.ts'],
    outfile: `${into}/cli.cjs`,
    banner: { js: '#!/usr/bin/env node' },
  },
  { ...node, entryPoints: ['server/cli/check-worker.ts'], outfile: `${into}/check-worker.cjs` },
  {
    ...common,
    stdin: {
      contents: protocol.map((one) => `exports[${JSON.stringify(one)}] = require('${one}');`).join('\n'),
      resolveDir: process.cwd(),
    },
    outfile: `${into}/protocol.cjs`,
  },
  {
    ...common,
    ...speaking,
    entryPoints: ['server/lsp/main-node.ts'],
    outfile: `${into}/server.cjs`,
    banner: { js: cached },
  },
  {
    ...common,
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    entryPoints: ['server/lsp/main-browser.ts'],
    outfile: `${into}/browser-server.js`,
    plugins: [leaveOut],
  },
  {
    ...common,
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    entryPoints: ['client/preview-page.js'],
    outfile: `${into}/preview-page.js`,
  },
  { ...common, ...speaking, entryPoints: ['client/extension.ts'], outfile: `${into}/extension.cjs` },
  {
    ...common,
    platform: 'browser',
    target: 'es2022',
    entryPoints: ['client/browser.ts'],
    outfile: `${into}/browser-extension.cjs`,
    external: ['vscode'],
  },
];

// What the shape of witnessmark.json becomes: the editor's schema and the compiled check.
execFileSync(process.execPath, ['--no-warnings', 'tests/harness/configuration-schema.ts']);

if (process.argv.includes('--watch')) {
  // What is compiled is of the bundles that these take the place of.
  for (const name of globSync(`${into}/*.compiled`)) rmSync(name);
  for (const bundle of bundles) await (await context({ ...bundle, sourcemap: 'inline' })).watch();
} else {
  rmSync(into, { recursive: true, force: true });
  await Promise.all(bundles.map((bundle) => build(bundle)));
  chmodSync(`${into}/cli.cjs`, 0o755);
  // The rules' pages: `witnessmark explain` shows them.
  mkdirSync(`${into}/rules`);
  for (const name of readdirSync('server/rules'))
    if (name.endsWith('.md')) cpSync(`server/rules/${name}`, `${into}/rules/${name}`);
  // Manual pages, which npm puts where man finds them.
  execFileSync(process.execPath, ['--no-warnings', 'tests/harness/man-pages.ts', `${into}/man`]);
  await compile();
}

/** Uses each bundle of the command line once, and keeps what it was compiled to beside it (`server/cli/compiled.ts`). */
async function compile() {
  const trial = `${into}/compile.cjs`;
  await build({
    ...common,
    stdin: {
      contents: `const { keepCompiled, load } = require('./server/cli/compiled.ts');
        process.on('exit', keepCompiled);
        load(require('node:path').join(__dirname, 'commands.cjs'));`,
      resolveDir: process.cwd(),
    },
    outfile: trial,
  });
  const use = (...words) => execFileSync(process.execPath, [trial, ...words]);
  use('check', 'samples', '--fail-on', 'never');
  use('report', 'samples/tern-460/0122-first-rebuild.rebuild');
  const server = spawn(process.execPath, [trial, 'server', '--stdio'], {
    stdio: ['pipe', 'ignore', 'inherit'],
  });
  const params = { processId: null, rootUri: null, capabilities: {} };
  for (const message of [
    { id: 1, method: 'initialize', params },
    { id: 2, method: 'shutdown' },
    { method: 'exit' },
  ]) {
    const text = JSON.stringify({ jsonrpc: '2.0', ...message });
    server.stdin.write(`Content-Length: ${text.length}\r\n\r\n${text}`);
  }
  const [status] = await once(server, 'close');
  if (status !== 0) throw new Error(`the server ended with ${status}`);
  rmSync(trial);
}
