/** Holds the order of the folders by reading what every file imports: data flows down the list and never up. */
import { globSync, readFileSync } from 'node:fs';
import { dirname, join, posix } from 'node:path';
import { expect, test } from 'vitest';

const ROOT = join(import.meta.dirname, '..');

/** The folders from the first, which knows nothing of the others, to the last. */
const layers = [
  'grammar',
  'server/quantities',
  'server/calculations',
  'server/rebuild',
  'server/rules',
  'server/features',
  'server/documents',
  'server/workspace',
  'server/lsp',
  'server/cli',
  'client',
] as const;
type Layer = (typeof layers)[number];

/** Each starts a program of its own, so nothing of ours imports it and it imports no other of these. */
const programs: readonly Layer[] = ['server/lsp', 'server/cli', 'client'];

/** Packages that one part alone may import, by the beginning of the file's path. */
const owners: readonly { readonly name: RegExp; readonly may: readonly string[] }[] = [
  { name: /^(@?chevrotain)(\/|$)/, may: ['grammar/'] },
  { name: /^vscode-languageserver(-|\/|$)/, may: ['server/lsp/', 'tests/'] },
  { name: /^vscode-languageclient(\/|$)/, may: ['client/'] },
  { name: /^vscode$/, may: ['client/', 'tests/editor/'] },
  { name: /^node:/, may: ['server/cli/', 'server/lsp/main-node.ts', 'tests/'] },
  {
    name: /^ignore$/,
    may: ['server/workspace/excluded.ts', 'server/cli/', 'server/lsp/main-node.ts', 'tests/'],
  },
  { name: /^(commander|picocolors|tinyglobby)$/, may: ['server/cli/', 'tests/'] },
];

/** What reaches the world without an import. */
const world = /\b(?:process\.|console\.|fetch\(|performance\.|Date\.now\b|new Date\(\)|Temporal\.Now\b)/;

/** What breaks the order today, each with its reason. One that is no longer needed fails the test. */
const exceptions: Readonly<Record<string, string>> = {
  'grammar/parser.ts uses process.': 'a constant that the build fills in; without the build, tests validate',
  'client/requests.ts imports server/lsp, not only its types':
    'the names and shapes of our own requests, which both programs speak; nothing else is in that file',
  'server/rules/run.ts uses process.':
    'a constant that the build fills in; without the build, a rule may throw',
};

interface Import {
  readonly from: string;
  /** Nothing of it is left when the program runs. */
  readonly typeOnly: boolean;
}

/** What a file's text imports, also where it exports at once or imports while it runs. */
function importsOf(text: string): readonly Import[] {
  const still = /^(import|export)\s+(?:(type)\s)?(?:[^;'"]*?\sfrom\s+)?['"]([^'"]+)['"]/gm;
  const moving = /\b(?:import|require)\(\s*['"]([^'"]+)['"]/g;
  return [
    ...[...text.matchAll(still)].map((match) => ({ from: match[3]!, typeOnly: match[2] === 'type' })),
    ...[...text.matchAll(moving)].map((match) => ({ from: match[1]!, typeOnly: false })),
  ];
}

const layerOf = (path: string): Layer | undefined => layers.find((layer) => path.startsWith(`${layer}/`));

/** What a file does that its place forbids, one line each. */
function breaches(path: string, text: string): readonly string[] {
  const own = layerOf(path);
  const found: string[] = [];
  for (const { from, typeOnly } of importsOf(text)) {
    if (!from.startsWith('.')) {
      const owner = owners.find(({ name }) => name.test(from));
      if (owner !== undefined && !owner.may.some((place) => path.startsWith(place)))
        found.push(`${path} imports ${from}`);
      continue;
    }
    // A bundle beside the running program is no file of ours; tests may look inside a folder.
    if (from.endsWith('.cjs') || own === undefined) continue;
    const target = posix.normalize(posix.join(dirname(path), from));
    const other = layerOf(target);
    if (other === own) continue;
    if (other === undefined) found.push(`${path} imports ${target}, which is in no layer`);
    else if (layers.indexOf(other) > layers.indexOf(own) || programs.includes(other))
      found.push(`${path} imports ${other}${typeOnly ? '' : ', not only its types'}`);
    else if (target !== `${other}/index.ts`) found.push(`${path} imports ${target} past the door`);
  }
  const pure = own !== undefined && layers.indexOf(own) <= layers.indexOf('server/workspace');
  // Comments speak of the world freely.
  const code = text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');
  const used = pure ? world.exec(code)?.[0] : undefined;
  if (used !== undefined) found.push(`${path} uses ${used}`);
  return found;
}

const files = globSync(['grammar/**/*.ts', 'server/**/*.ts', 'client/**/*.ts', 'tests/**/*.ts'], {
  cwd: ROOT,
  exclude: (name) => name.includes('node_modules'),
}).map((path) => path.replaceAll('\\', '/'));

test('every source file stands in a layer', () => {
  expect(files.length).toBeGreaterThan(100);
  expect(files.filter((path) => !path.startsWith('tests/') && layerOf(path) === undefined)).toEqual([]);
});

test('the imports keep the order, but for the exceptions that are listed', () => {
  const found = files
    .filter((path) => path !== 'tests/layering.test.ts')
    .flatMap((path) => breaches(path, readFileSync(join(ROOT, path), 'utf8')));
  expect([...new Set(found)].sort()).toEqual(Object.keys(exceptions).sort());
});

test.each([
  ['grammar/a.ts', "import { x } from '../server/rules/index.ts';"],
  ['grammar/a.ts', "import type { x } from '../server/quantities/index.ts';"],
  ['server/rules/a.ts', "import {\n  x,\n  y,\n} from '../workspace/index.ts';"],
  ['server/rules/a.ts', "export { x } from '../features/index.ts';"],
  ['server/rules/a.ts', "import { x } from '../rebuild/bind.ts';"],
  ['server/cli/formats/a.ts', "import { x } from '../../lsp/convert.ts';"],
  ['client/a.ts', "import { x } from '../server/lsp/serve.ts';"],
  ['server/rules/a.ts', "import { x } from '../../tests/harness/pages.ts';"],
  ['server/rules/a.ts', "import { Lexer } from 'chevrotain';"],
  ['server/workspace/a.ts', "import type { Range } from 'vscode-languageserver';"],
  ['server/features/a.ts', "import { x } from 'vscode-languageserver-textdocument';"],
  ['server/lsp/serve.ts', "import { window } from 'vscode';"],
  ['tests/lsp/a.ts', "import { window } from 'vscode';"],
  ['server/lsp/serve.ts', "import { readFileSync } from 'node:fs';"],
  ['server/rebuild/a.ts', "const fs = await import('node:fs');"],
  ['server/rebuild/a.ts', "const fs = require('node:fs');"],
  ['server/rebuild/a.ts', "import 'node:process';"],
  ['server/rebuild/a.ts', 'const now = Date.now();'],
  ['server/calculations/a.ts', 'const today = Temporal.Now.plainDateISO();'],
  ['grammar/a.ts', 'console.log(1);'],
])('%s may not: %s', (path, text) => {
  expect(breaches(path, text)).toHaveLength(1);
});

test.each([
  ['grammar/editor/a.ts', "import { x } from '../statements.ts';"],
  ['grammar/parser.ts', "import { Lexer } from 'chevrotain';"],
  ['server/rules/a.ts', "import { x } from '../../grammar/index.ts';"],
  ['server/rules/a.ts', "import { x } from '../rebuild/index.ts';"],
  ['server/lsp/main-node.ts', "import { readFileSync } from 'node:fs';"],
  ['server/cli/a.ts', 'process.stdout.write(x);'],
  ['server/rules/a.ts', '// Date.now() would be a clock.'],
  ['tests/grammar/a.ts', "import { x } from '../../grammar/cells.ts';"],
])('%s may: %s', (path, text) => {
  expect(breaches(path, text)).toEqual([]);
});
