// `npm run mutation [-- FOLDER | FILE …]`: mutates them, keeps what each file gave and writes tests/mutation.md.
import { spawnSync } from 'node:child_process';
import { globSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pageOf } from './page.ts';
import { refuseIllTyped } from './types.ts';

const root = join(import.meta.dirname, '../..');
const kept = join(root, 'reports/mutation/files');
const page = join(root, 'tests/mutation.md');
const folders = ['quantities', 'calculations', 'rules'];

const [first, ...rest] = process.argv.slice(2);
mkdirSync(kept, { recursive: true });
if (first !== '--page') {
  const asked = first === undefined ? folders : [first, ...rest];
  for (const one of asked) mutate(one);
}
const files = readdirSync(kept)
  .map((name) => JSON.parse(readFileSync(join(kept, name), 'utf8')))
  .filter(({ path }) => globSync(path, { cwd: root }).length > 0);
const changed = files.filter(({ path, source }) => readFileSync(join(root, path), 'utf8') !== source);
if (changed.length > 0)
  console.log(`Changed since they were mutated: ${changed.map(({ path }) => path).join(', ')}`);
refuseIllTyped(root, files);
writeFileSync(page, pageOf(files));
console.log(`Written to ${page}`);

/** Mutates a folder or a file and keeps the result of each file. */
function mutate(folderOrFile) {
  const mutate = folders.includes(folderOrFile)
    ? ['--mutate', `server/${folderOrFile}/**/*.ts,!server/calculations/iso286-tables.ts`]
    : ['--mutate', folderOrFile];
  const { status } = spawnSync('stryker', ['run', ...mutate, '--fileLogLevel', 'off'], {
    cwd: root,
    stdio: 'inherit',
  });
  if (status !== 0) process.exit(status ?? 1);
  const report = JSON.parse(readFileSync(join(root, 'reports/mutation/mutation.json'), 'utf8'));
  for (const [path, { source, mutants }] of Object.entries(report.files))
    if (mutants.length > 0)
      writeFileSync(
        join(kept, `${path.replaceAll('/', '--')}.json`),
        JSON.stringify({ path, source, mutants }),
      );
}
