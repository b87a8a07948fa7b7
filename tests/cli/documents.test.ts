/** `report`, `worksheet` and `due` as a shell runs them: where the text goes, what is refused and with which status. */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { afterAll, beforeAll, expect, test } from 'vitest';

let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-documents-'));
  cpSync('samples/tern-460', folder, { recursive: true });
  buildSync({
    entryPoints: ['server/cli/main.ts'],
    outfile: join(folder, 'bin/cli.cjs'),
    bundle: true,
    alias: { 'jsonc-parser': 'jsonc-parser/lib/esm/main.js' },
    platform: 'node',
    format: 'cjs',
    target: 'node22',
    logLevel: 'warning',
    banner: { js: "const __address = require('node:url').pathToFileURL(__filename).href;" },
    define: {
      'process.env.WITNESSMARK_PRODUCTION': '"1"',
      'import.meta.url': '__address',
      __VERSION__: '"9.8.7"',
    },
    external: ['./server.cjs', './worker.cjs'],
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function run(words: readonly string[], input = '') {
  const { status, stdout, stderr } = spawnSync(process.execPath, [join(folder, 'bin/cli.cjs'), ...words], {
    cwd: folder,
    input,
    encoding: 'utf8',
  });
  return { status, out: stdout, err: stderr };
}

const LOG = '0117-second-rebuild.rebuild';

test('report writes a page, or to a file, in each of its formats', () => {
  expect(run(['report', LOG]).out).toMatch(/^<!doctype html>/);
  const written = run(['report', LOG, '--format', 'csv', '--output', 'facts.csv']);
  expect(written).toEqual({ status: 0, out: '', err: '' });
  expect(readFileSync(join(folder, 'facts.csv'), 'utf8')).toMatch(/^kind,line,assembly,/);
  expect(JSON.parse(run(['report', LOG, '--format', 'json']).out)).toMatchObject({ version: 1, path: LOG });
  expect(
    run(['report', '-', '--format', 'md', '--stdin-path', 'x.rebuild'], 'log "From a pipe"\n').out,
  ).toMatch(/^# From a pipe\n/);
});

test('report refuses what is no log, a format it has not, and to write over evidence', () => {
  const before = readFileSync(join(folder, LOG), 'utf8');
  for (const [words, said] of [
    [['report', 'harbour.bench'], /is no log/],
    [['report', 'nowhere.rebuild'], /there is no such file/],
    [['report', LOG, '--format', 'pdf'], /--format takes html, md, csv or json, not pdf/],
    [['report', LOG, '--output', LOG], /is not written over a log/],
  ] as const) {
    const { status, out, err } = run(words);
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(said);
    expect(err.trim().split('\n')).toHaveLength(1);
  }
  expect(readFileSync(join(folder, LOG), 'utf8')).toBe(before);
});

test('worksheet writes a new log that the folder checks, names its files from there, and never writes over one', () => {
  const words = [
    'worksheet',
    'tern-460.limits',
    '--covers',
    'fuel',
    '--use',
    'harbour.bench',
    '--output',
    'bin/new.rebuild',
  ];
  expect(run(words)).toEqual({ status: 0, out: '', err: '' });
  const log = readFileSync(join(folder, 'bin/new.rebuild'), 'utf8');
  expect(log).toContain('use "../tern-460.limits"\nuse "../harbour.bench"\n');
  const checked = run(['check', 'bin/new.rebuild', '--format', 'json']);
  expect(JSON.parse(checked.out).summary).toMatchObject({ errors: 0, warnings: 0 });
  expect(run(words)).toMatchObject({ status: 2, err: expect.stringContaining('is not written over') });
  expect(readFileSync(join(folder, 'bin/new.rebuild'), 'utf8')).toBe(log);
  expect(run(['worksheet', 'tern-460.limits', '--covers', 'sails']).err).toMatch(
    /has no assembly sails; it has bottom-end/,
  );
  expect(run(['worksheet', LOG]).err).toMatch(/is no table of limits/);
  expect(existsSync(join(folder, 'card.html'))).toBe(false);
});

test('worksheet names the machine of the log that it is to carry on from', () => {
  const said = run(['worksheet', 'tern-460.limits', '--use', 'harbour.bench', LOG, 'later.rebuild']);
  expect(said.err).toBe('');
  expect(said.out).toContain(`use "${LOG}"\nuse "later.rebuild"\nmachine tern-460 serial "0117" hours ? h\n`);
  expect(run(['worksheet', 'tern-460.limits']).out).toContain('machine tern-460 serial ? hours ? h\n');
});

test('worksheet takes a table from standard input, and names it as it is told', () => {
  const table = readFileSync(join(folder, 'tern-460.limits'), 'utf8');
  const piped = run(['worksheet', '-', '--stdin-path', 'tern-460.limits'], table);
  expect(piped).toEqual(run(['worksheet', 'tern-460.limits']));
  expect(run(['worksheet', '-'], 'limits "x"\n').out).toContain('use "stdin.limits"');
});

test('due: 1 when something is overdue, 0 when not, one machine to the hours', () => {
  expect(run(['due', LOG, '--on', '2025-12-01', '--hours', '313']).status).toBe(0);
  const late = run(['due', LOG, '--on', '2026-09-01', '--hours', '330 h']);
  expect(late.status).toBe(1);
  expect(late.out).toMatch(/OVERDUE\n {2}retorque +head-front/);
  expect(JSON.parse(run(['due', LOG, '--on', '2026-09-01', '--format', 'json']).out)).toMatchObject({
    version: 1,
    on: '2026-09-01',
  });
  expect(run(['due', '.', '--hours', '3'])).toMatchObject({
    status: 2,
    err: expect.stringContaining('is of one machine'),
  });
  expect(run(['due', '--on', '2026-02-30'])).toMatchObject({
    status: 2,
    err: expect.stringContaining('--on takes a day'),
  });
  expect(run(['due', LOG, '--hours', 'many'])).toMatchObject({
    status: 2,
    err: expect.stringContaining('--hours takes'),
  });
});

test('trend follows the earlier logs that a log carries on from', () => {
  const logsOf = (...paths: readonly string[]) => {
    const { trends } = JSON.parse(run(['trend', ...paths, '--format', 'json']).out) as {
      readonly trends: readonly object[];
    };
    return trends;
  };
  const later = '0117-after-a-season.rebuild';
  expect(readFileSync(join(folder, later), 'utf8')).toContain(`use "${LOG}"`);
  expect(logsOf(later).length).toBeGreaterThan(0);
  expect(logsOf(later)).toEqual(logsOf(LOG, later));
});
