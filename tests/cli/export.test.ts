/** `witnessmark export`, as a shell runs it. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeEach(() => {
  shell = openShell();
  shell.write('tern.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm wear <= 0.08 mm\n');
  for (const name of ['a', 'b'])
    shell.write(
      `logs/${name}.rebuild`,
      `log "Tern 460 no. ${name}"\nuse "../tern.limits"\nstep "Measure" 2026-05-02\n  measure crank-runout = 0.03 mm\n`,
    );
});
afterEach(() => shell.close());

const rowsIn = (text: string) =>
  text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>);

test('every log of a folder, a fact a line, with the limits that it uses', () => {
  const { status, out, err } = shell.run('export', 'logs');
  expect({ status, err }).toEqual({ status: 0, err: '' });
  expect(rowsIn(out).filter(({ fact }) => fact === 'reading')).toMatchObject([
    { log: 'logs/a.rebuild', name: 'crank-runout', low: 0.03, new_upper: 0.05, wear_used: 0 },
    { log: 'logs/b.rebuild' },
  ]);
  expect(shell.run('export', 'logs', '--output', 'facts.ndjson').out).toBe('');
  expect(shell.read('facts.ndjson')).toBe(out);
});

test('--schema: the columns, without facts', () => {
  const { properties } = JSON.parse(shell.run('export', '--schema', 'json').out) as { properties: object };
  const [row = {}] = rowsIn(shell.run('export').out);
  expect(Object.keys(properties)).toEqual(Object.keys(row));
  expect(shell.run('export', '--schema', 'sql').out).toMatch(
    /^version INT,\nfact STRING,\n[^;()]*\bday DATE,/,
  );
});

test('trouble: a log that cannot be read does not stop the others; nothing that is read is written over', () => {
  shell.write('logs/broken.rebuild', Buffer.from([0x6c, 0xff]));
  const { status, out, err } = shell.run('export');
  expect(status).toBe(2);
  expect(err).toMatch(/^witnessmark: logs\/broken\.rebuild: it is not UTF-8 text/);
  expect(rowsIn(out).filter(({ fact }) => fact === 'log')).toHaveLength(2);
  const before = shell.read('logs/a.rebuild');
  expect(shell.run('export', '--output', 'logs/a.rebuild')).toMatchObject({ status: 2, out: '' });
  expect(shell.read('logs/a.rebuild')).toBe(before);
  for (const words of [
    ['--format', 'csv'],
    ['--schema', 'xml'],
    ['--output', 'none/x.ndjson'],
  ])
    expect(shell.run('export', ...words)).toMatchObject({ status: 2, out: '' });
});

test('findings have the severities of the configuration, here and in the report', () => {
  shell.write('logs/a.rebuild', shell.read('logs/a.rebuild').replace('0.03', '0.09'));
  const severities = (out: string) =>
    rowsIn(out)
      .filter(({ fact, name }) => fact === 'finding' && name === 'out-of-limits')
      .map(({ severity }) => severity);
  expect(severities(shell.run('export').out)).toEqual(['error']);
  shell.write('witnessmark.json', '{ "severities": { "out-of-limits": "warning" } }\n');
  expect(severities(shell.run('export').out)).toEqual(['warning']);
  const { summary } = JSON.parse(shell.run('report', 'logs/a.rebuild', '--format', 'json').out) as {
    summary: object;
  };
  expect(summary).toMatchObject({ errors: 0, warnings: 1 });
  shell.write('witnessmark.json', Buffer.from([0xff]));
  expect(shell.run('export')).toEqual({
    status: 2,
    out: '',
    err: 'witnessmark: witnessmark.json: it is not UTF-8 text: save it as UTF-8.\n',
  });
});
