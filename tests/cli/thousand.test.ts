/** A repository of a thousand logs: a bar while they are checked, and the same findings in shares, on threads or at once. */
import { spawnSync } from 'node:child_process';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { generateLog, generateRepository, limitsText } from '../bench/generate.ts';
import { openShell, type Shell } from './shell.ts';

interface JsonFile {
  readonly path: string;
  readonly findings: readonly object[];
}
const filesOf = (shell: Shell, ...words: readonly string[]) =>
  (JSON.parse(shell.run('check', '--format', 'json', ...words).out) as { files: readonly JsonFile[] }).files;

describe('a thousand logs', () => {
  let shell: Shell;
  beforeAll(() => {
    shell = openShell();
    for (const [path, text] of generateRepository(1_000, 30)) shell.write(path, text);
  }, 180_000);
  afterAll(() => shell.close());

  test('sharded and unsharded give the same findings', () => {
    const whole = filesOf(shell);
    expect(whole).toHaveLength(1_001);
    expect(whole.filter(({ findings }) => findings.length > 0).length).toBeGreaterThan(900);
    const shares = [1, 2].map((n) => filesOf(shell, '--shard', `${n}/2`));
    expect(Math.min(...shares.map(({ length }) => length))).toBeGreaterThan(400);
    const byPath = (files: readonly JsonFile[]) => [...files].sort((a, b) => (a.path < b.path ? -1 : 1));
    expect(byPath(shares.flat())).toEqual(byPath(whole));
  }, 180_000);

  /** What a terminal gets, and what standard output does; `script` (util-linux) makes the terminal. */
  const onTerminal = (...words: readonly string[]) => {
    const command = [process.execPath, shell.cli, 'check', ...words].map((word) => `'${word}'`).join(' ');
    return spawnSync('script', ['-qec', `${command} > shown.txt`, '/dev/null'], {
      cwd: shell.folder,
      encoding: 'utf8',
      env: { ...process.env, TERM: 'xterm', NO_COLOR: '1' },
    });
  };
  const hasScript = spawnSync('script', ['--version'], { encoding: 'utf8' }).stdout?.includes('util-linux');

  test.skipIf(hasScript !== true)(
    'a terminal shows a bar, which goes when all is checked; the findings are the same without one',
    () => {
      const { out } = shell.run('check');
      for (const threads of ['1', '2']) {
        const { stdout, status } = onTerminal('--threads', threads);
        expect(status).toBe(1);
        expect(stdout).toMatch(/checking #*\.* \d+ of 1001 files/);
        expect(stdout).toContain('checking ######################################## 1001 of 1001 files');
        // The line of the bar is cleared at the end.
        expect(stdout.split('1001 of 1001 files').at(-1)).toContain('\u001b[2K');
        expect(shell.read('shown.txt')).toBe(out);
      }
    },
    180_000,
  );

  test('no terminal, no bar', () => expect(shell.run('check', 'tern-460-1').err).toBe(''));
});

describe('--threads', () => {
  let shell: Shell;
  beforeAll(() => {
    shell = openShell();
    shell.write('tern.limits', limitsText);
    for (let i = 0; i < 25; i++)
      shell.write(`logs/${i % 3}/${i}.rebuild`, generateLog(60, i + 1, '../../tern.limits'));
    shell.write('logs/1/witnessmark.json', '{ "severities": { "torque-order": "error" }, "guard": "big" }');
    shell.write(
      'logs/no #17, 100 % <ü>.rebuild',
      'log "x"\nuse "0/3.rebuild"\nuse "none.limits"\nnonsense\n',
    );
    shell.write('logs/2/broken.rebuild', Buffer.from([0x6c, 0xff, 0xfe]));
  });
  afterAll(() => shell.close());

  test.each(['text', 'json', 'ndjson', 'sarif', 'junit', 'github', 'gitlab'])(
    '%s: byte for byte what one thread gives',
    (format) => {
      const said = (threads: string) => {
        const { out, err, status } = shell.run(
          'check',
          'no-such',
          '.',
          '--format',
          format,
          '--threads',
          threads,
        );
        return { out: out.replace(/ timestamp="[^"]*"|"startTimeUtc": "[^"]*"/g, ''), err, status };
      };
      const one = said('1');
      expect(one.status).toBe(2);
      expect(one.out.length).toBeGreaterThan(1_000);
      expect(said('3')).toEqual(one);
    },
  );

  test('with a baseline and in shares too', () => {
    const known = ['--baseline', 'known.json'];
    expect(shell.run('check', ...known, '--update-baseline', '--threads', '3').err).toContain(' new, 0 gone');
    for (const words of [['--shard', '2/3'], known, [...known, '--update-baseline']])
      expect(shell.run('check', ...words, '--threads', '3')).toEqual(shell.run('check', ...words));
  });

  test('a configuration that cannot be read is told in one sentence, and no thread lives on', () => {
    shell.write('held/witnessmark.json/x', '');
    shell.write('held/a.rebuild', generateLog(40, 1));
    const said = (threads: string) =>
      shell.run('check', 'held/a.rebuild', 'logs/1/1.rebuild', '--threads', threads);
    expect(said('2')).toEqual({
      status: 2,
      out: '',
      err: 'witnessmark: held/witnessmark.json: it is a folder, not a file.\n',
    });
    expect(said('2')).toEqual(said('1'));
  });

  test.each(['0', 'x', '100', '1.5'])('%s is trouble', (value) => {
    const { status, err } = shell.run('check', '--threads', value);
    expect({ status, err }).toEqual({
      status: 2,
      err: `witnessmark: --threads takes a number from 1 to 99, not ${value}.\n`,
    });
  });
});
