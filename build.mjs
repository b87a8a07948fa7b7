// Bundles the command line, the language server and the extension, each as one CommonJS file, into dist/ or
// the folder after --into.
import { execFileSync } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
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

const bundles = [
  {
    ...common,
    entryPoints: ['server/cli/main.ts'],
    outfile: `${into}/cli.cjs`,
    // A library that is written as a module asks for its own address.
    banner: {
      js: "#!/usr/bin/env node\nconst __address = require('node:url').pathToFileURL(__filename).href;",
    },
    define: { ...common.define, 'import.meta.url': '__address' },
    external: ['./server.cjs'],
  },
  { ...common, entryPoints: ['server/lsp/main-node.ts'], outfile: `${into}/server.cjs` },
  {
    ...common,
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    entryPoints: ['server/lsp/main-browser.ts'],
    outfile: `${into}/browser-server.js`,
  },
  {
    ...common,
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    entryPoints: ['client/preview-page.js'],
    outfile: `${into}/preview-page.js`,
  },
  { ...common, entryPoints: ['client/extension.ts'], outfile: `${into}/extension.cjs`, external: ['vscode'] },
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
  for (const bundle of bundles) await (await context({ ...bundle, sourcemap: 'inline' })).watch();
} else {
  rmSync(into, { recursive: true, force: true });
  await Promise.all(bundles.map((bundle) => build(bundle)));
  chmodSync(`${into}/cli.cjs`, 0o755);
  // The rules' pages: `witnessmark explain` shows them.
  mkdirSync(`${into}/rules`);
  for (const name of readdirSync('server/rules'))
    if (name.endsWith('.md')) cpSync(`server/rules/${name}`, `${into}/rules/${name}`);
}
