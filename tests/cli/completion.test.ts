/** Completion as bash does it, and what the scripts offer against what the commands take. */
import { spawnSync } from 'node:child_process';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { rules } from '../../server/rules/index.ts';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
let script: string;
beforeAll(() => {
  shell = openShell();
  script = shell.run('completion', 'bash').out;
  for (const name of [
    '0117 second.rebuild',
    'tern.limits',
    'harbour.bench',
    'notes.txt',
    'logs/a.rebuild',
    '-x.rebuild',
  ])
    shell.write(name, '');
});
afterAll(() => shell.close());

/** What bash offers for the last of these words, when the cursor stands behind it. */
function offered(...words: readonly string[]): readonly string[] {
  const { stdout, stderr, status } = spawnSync(
    'bash',
    [
      '--norc',
      '-c',
      `${script}
COMP_WORDS=(witnessmark "$@")
COMP_CWORD=$#
_witnessmark
printf '%s\\n' "\${COMPREPLY[@]}"`,
      'bash',
      ...words,
    ],
    { cwd: shell.folder, encoding: 'utf8' },
  );
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return stdout.split('\n').filter((line) => line !== '');
}

const commandsInHelp = () =>
  [...shell.run('--help').out.matchAll(/^ {2}([a-z]+) .*(?:\[|<)/gm)]
    .map((match) => match[1])
    .filter((name) => name !== 'help' && name !== 'witnessmark');

describe('bash', () => {
  test('loads without a word and is bound to the command', () => {
    const { stdout, stderr } = spawnSync('bash', ['--norc', '-c', `${script}\ncomplete -p witnessmark`], {
      encoding: 'utf8',
    });
    expect({ stdout, stderr }).toEqual({ stdout: 'complete -F _witnessmark witnessmark\n', stderr: '' });
  });

  test('commands: every one that the help names', () => {
    const names = commandsInHelp();
    expect(names.length).toBeGreaterThan(10);
    expect(offered('')).toEqual(expect.arrayContaining(names));
    expect(offered('wor')).toEqual(['worksheet']);
  });

  test('options: every one that the help of the command names', () => {
    for (const name of ['check', 'report', 'due', 'worksheet', 'export', 'format']) {
      const long = [...shell.run(name, '--help').out.matchAll(/^ {2}(?:-., )?(--[a-z-]+)/gm)].map(
        (match) => match[1],
      );
      expect([...offered(name, '--')].sort()).toEqual([...new Set(long)].sort());
    }
    expect(offered('check', '--max')).toEqual(['--max-warnings']);
  });

  test('values of options, also behind an =, which is a word of its own there', () => {
    expect(offered('check', '--format', 's')).toEqual(['sarif']);
    expect(offered('check', '--format', '=')).toContain('gitlab');
    expect(offered('check', '--format', '=', 'gi')).toEqual(['github', 'gitlab']);
    expect(offered('check', '--shard', '')).toEqual([]);
    expect(offered('report', '--output', 'no')).toEqual(['notes.txt']);
  });

  test('words: files of the kind that the command reads, findings, units', () => {
    expect([...offered('check', '')].sort()).toEqual(
      ['-x.rebuild', '0117 second.rebuild', '.git', 'harbour.bench', 'logs', 'tern.limits'].sort(),
    );
    expect(offered('check', '--', '-')).toEqual(['-x.rebuild']);
    expect(offered('report', 'logs/')).toEqual(['logs/a.rebuild']);
    expect(offered('worksheet', 't')).toEqual(['tern.limits']);
    expect(offered('check', '--fail-on', 'warning', 'h')).toEqual(['harbour.bench']);
    expect([...offered('explain', '')].sort()).toEqual(rules.map(({ id }) => id).sort());
    expect(offered('convert', '24 N·m', 'ft·')).toContain('ft·lbf');
    expect(offered('completion', 'f')).toEqual(['fish']);
    expect(offered('help', 'wor')).toEqual(['worksheet']);
    expect(offered('nothing', '')).toEqual([]);
  });
});

test('the values offered are those that the commands take, by their own words', () => {
  const taken = (name: string, option: string) => {
    const said = /takes ([^;:]*?)(?:, each with .*)?, not nonsense/.exec(
      shell.run(name, option, 'nonsense', 'logs/a.rebuild').err,
    )?.[1];
    return said?.split(/, | or /);
  };
  const formatted = commandsInHelp().filter((name) => / --format /.test(shell.run(name ?? '', '--help').out));
  expect(formatted.length).toBeGreaterThan(6);
  for (const name of formatted)
    expect([name, offered(name ?? '', '--format', '')]).toEqual([name, taken(name ?? '', '--format')]);
  expect(offered('export', '--schema', '')).toEqual(taken('export', '--schema'));
}, 60_000);

test('zsh and fish: the same commands, options and values', () => {
  for (const name of ['zsh', 'fish']) {
    const { out, status } = shell.run('completion', name);
    expect(status).toBe(0);
    for (const wanted of [...commandsInHelp(), 'max-warnings', 'sarif', 'torque-skipped', 'ft·lbf'])
      expect(out).toContain(wanted);
    if (spawnSync(name, ['--version']).status === 0)
      expect(spawnSync(name, ['-n'], { input: out, encoding: 'utf8' })).toMatchObject({
        status: 0,
        stderr: '',
      });
  }
});

test('another shell is trouble', () => {
  expect(shell.run('completion', 'tcsh')).toMatchObject({
    status: 2,
    out: '',
    err: 'witnessmark: completion takes bash, zsh or fish, not tcsh.\n',
  });
});
