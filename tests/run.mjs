// What `npm test` runs: types, lint, unit tests, then the tests in a real editor. Ends with one line that counts.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const folder = mkdtempSync(join(tmpdir(), 'witnessmark-'));
let passed = 0;
let failed = 0;

function part(name, command, args) {
  console.log(`\n== ${name}`);
  const result = spawnSync(command, args, {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
    maxBuffer: 1 << 28,
  });
  process.stdout.write(result.stdout ?? '');
  return { ok: result.status === 0, output: result.stdout ?? '' };
}

function single(name, command, args) {
  if (part(name, command, args).ok) passed++;
  else failed++;
}

single('types', 'tsc', ['--noEmit']);
single('lint and format', 'biome', ['check', '.']);

const report = join(folder, 'vitest.json');
const unit = part('unit tests', 'vitest', [
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${report}`,
]);
try {
  const counts = JSON.parse(readFileSync(report, 'utf8'));
  passed += counts.numPassedTests;
  failed += counts.numFailedTests;
  if (!unit.ok && counts.numFailedTests === 0) failed++;
} catch {
  failed++;
}
rmSync(folder, { recursive: true, force: true });

const editor = part('tests in a real editor', process.execPath, ['tests/editor/run.mjs']);
const counted = /^editor: (\d+) passed, (\d+) failed/m.exec(editor.output);
passed += Number(counted?.[1] ?? 0);
failed += Number(counted?.[2] ?? 0);
if (!editor.ok && Number(counted?.[2] ?? 0) === 0) failed++;

console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;
