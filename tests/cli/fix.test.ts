/** `check --fix`, `--diff` and `--watch`, as a shell runs them. */
import { spawn } from 'node:child_process';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeEach(() => {
  shell = openShell();
});
afterEach(() => shell.close());

// One slip that can be mended without touching a fact; the others are a person's to mend: a wear limit without its `<=`,
// a point in the wrong place, a unit.
const LOG = `log "Tern 460"
limit crank-runout 0..0.05 mm
limit end-float 0.05..0.15 mm wear 0.25 mm
limit piston-skirt 67.675..67.690 mm
fastener cover[1..2] M6 class 8.8 torque 10 ± 1 N·m
step "Measure" 2026-05-02
  measure crank-runout = 0,03 mm
  measure piston-skirt = 6.7682 mm
  torque cover[all] to 10 N·m (88 ft·lbf)
`;

test('--fix mends what keeps every letter and digit, leaves the rest, and then checks', () => {
  shell.write('a.rebuild', LOG);
  const { status, out, err } = shell.run('check', '--fix');
  expect(shell.read('a.rebuild')).toBe(LOG.replace('0,03', '0.03'));
  expect(err).toBe('witnessmark: fixed a.rebuild.\n');
  expect(out).toContain('equivalent-disagrees');
  expect(out).not.toContain('decimal-comma');
  expect(status).toBe(1);
});

test('--fix --diff shows the same and changes nothing', () => {
  shell.write('a.rebuild', LOG);
  const { status, out } = shell.run('check', '--fix', '--diff');
  expect(shell.read('a.rebuild')).toBe(LOG);
  expect(out.split('\n').filter((line) => /^[-+](?![-+])/.test(line))).toEqual([
    '-  measure crank-runout = 0,03 mm',
    '+  measure crank-runout = 0.03 mm',
  ]);
  expect(status).toBe(1);
  shell.run('check', '--fix');
  expect(shell.run('check', '--fix', '--diff')).toEqual({ status: 0, out: '', err: '' });
});

test('what a mark covers is never mended', () => {
  shell.write(
    'a.rebuild',
    `${LOG.replace(' (88 ft·lbf)', '')}person AQ "Ada Quill" builder\nsign AQ "done" 2026-05-02 12:00\n`,
  );
  shell.write('a.rebuild', shell.read('a.rebuild').replace('0,03', '0.03'));
  expect(shell.run('mark', 'a.rebuild').status).toBe(0);
  shell.write('a.rebuild', shell.read('a.rebuild').replace('0.03', '0,03'));
  const before = shell.read('a.rebuild');
  shell.run('check', '--fix');
  expect(shell.read('a.rebuild')).toBe(before);
});

test('--diff without --fix, and --fix on standard input, are told in a sentence', () => {
  expect(shell.run('check', '--diff').err).toContain('add --fix');
  expect(shell.runWith({ input: LOG }, 'check', '--fix', '--stdin').err).toContain('--fix writes files');
  expect(shell.runWith({ input: LOG }, 'check', '--watch', '-').err).toContain('leave out --watch');
});

test.each([
  ['a folder', []],
  ['one log, whose table lies elsewhere', ['logs/a.rebuild']],
])('--watch of %s checks again when a file changes, limits included', async (_, words) => {
  shell.write('t.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm\n');
  shell.write(
    'logs/a.rebuild',
    'log "a"\nuse "../t.limits"\nstep "Measure" 2026-05-02\n  measure crank-runout = 0.04 mm\n',
  );
  const child = spawn(process.execPath, [shell.cli, 'check', '--watch', ...words], { cwd: shell.folder });
  let out = '';
  let told = 0;
  let heard = () => {};
  child.stdout.on('data', (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    told += chunk.toString().split('waiting for a change').length - 1;
    heard();
  });
  const rounds = (count: number) =>
    new Promise<void>((resolve) => {
      heard = () => told >= count && resolve();
      heard();
    });
  try {
    await rounds(1);
    expect(out).toContain('No findings in ');
    shell.write('t.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.03 mm\n');
    await rounds(2);
    expect(out).toContain('out-of-limits');
  } finally {
    child.kill();
  }
});
