/** What a team's CI asks of `check`: shares, only what changed, a baseline; and the files that CI systems read. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { generateLog, limitsText } from '../bench/generate.ts';
import { openShell, type Shell } from './shell.ts';

const LIMITS = `limits "Tern 460"\nlimit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"\n`;
const log = (...readings: readonly string[]) =>
  `log "Tern 460 no. 0117"\nuse "tern.limits"\nstep "Measure" 2026-05-02 14:00\n${readings
    .map((reading) => `  measure bore[rear] = ${reading}\n`)
    .join('')}`;
const WORN = log('67.564 mm');
const GOOD = log('67.511 mm');

let shell: Shell;
beforeEach(() => {
  shell = openShell();
});
afterEach(() => shell.close());

interface JsonFile {
  readonly path: string;
  readonly findings: readonly { readonly rule: string }[];
}
const filesOf = (...words: readonly string[]) =>
  (JSON.parse(shell.run('check', '--format', 'json', ...words).out) as { files: readonly JsonFile[] }).files;
const byPath = (files: readonly JsonFile[]) => [...files].sort((a, b) => (a.path < b.path ? -1 : 1));

describe('--shard', () => {
  test('the shares together find what one run finds, each file once, no share empty', () => {
    shell.write('tern.limits', limitsText);
    for (let i = 0; i < 60; i++) shell.write(`logs/${i}.rebuild`, generateLog(30, i + 1, '../tern.limits'));
    const shares = [1, 2, 3].map((n) => filesOf('--shard', `${n}/3`));
    const whole = filesOf();
    expect(whole.some(({ findings }) => findings.length > 0)).toBe(true);
    expect(byPath(shares.flat())).toEqual(byPath(whole));
    expect(Math.min(...shares.map(({ length }) => length))).toBeGreaterThan(0);
  });

  test.each(['0/3', '4/3', '2', 'x/3'])('%s is trouble', (value) => {
    const { status, err } = shell.run('check', '--shard', value);
    expect(status).toBe(2);
    expect(err).toMatch(/--shard takes a share and how many there are, as 2\/8, not/);
  });
});

describe('--changed-since', () => {
  beforeEach(() => {
    rmSync(join(shell.folder, '.git'), { recursive: true });
    shell.git('init', '-q');
    shell.write('a/tern.limits', LIMITS);
    shell.write('a/one.rebuild', WORN);
    shell.write('a/two é.rebuild', WORN);
    shell.write('b.bench', 'bench "Harbour workshop"\n');
    shell.git('add', '.');
    shell.git('commit', '-qm', 'Begin');
  });
  const paths = (...words: readonly string[]) =>
    filesOf('--changed-since', 'HEAD', ...words).map(({ path }) => path);

  test('nothing changed, nothing checked', () => expect(paths()).toEqual([]));

  test('a changed log and a new one are checked, also before they are committed', () => {
    shell.write('a/two é.rebuild', GOOD);
    shell.write('a/new.rebuild', WORN);
    expect(paths()).toEqual(['a/new.rebuild', 'a/two é.rebuild']);
  });

  test('a log is checked when the limits that it uses changed', () => {
    shell.write('a/tern.limits', `${LIMITS}limit crank-runout <= 0.05 mm\n`);
    expect(paths()).toEqual(['a/one.rebuild', 'a/tern.limits', 'a/two é.rebuild']);
  });

  test('a revision that git does not know, or one that is an option, is trouble', () => {
    for (const revision of ['no-such', '--output=x']) {
      const { status, err, out } = shell.run('check', `--changed-since=${revision}`);
      expect({ status, out }).toEqual({ status: 2, out: '' });
      expect(err).toMatch(/^witnessmark: git knows no changes since [^:]+: (?!fatal|error)[^\n]+\n$/);
    }
  });
});

describe('--baseline', () => {
  const check = () => shell.run('check', '--baseline', 'known.json');
  beforeEach(() => {
    shell.write('tern.limits', LIMITS);
    shell.write('a.rebuild', WORN);
    expect(shell.run('check', '--baseline', 'known.json', '--update-baseline').status).toBe(0);
  });

  test('what is known is not shown, whatever lines are put above it; the same again is new', () => {
    shell.write(
      'a.rebuild',
      WORN.replace('step', '# looked at again\n\nstep').replace('  measure', 'measure'),
    );
    expect(check()).toEqual({
      status: 0,
      out: 'No findings in 2 files.\n',
      err: 'witnessmark: 1 finding of known.json not shown.\n',
    });
    shell.write('a.rebuild', log('67.564 mm', '67.564 mm'));
    expect(check().status).toBe(1);
    expect(check().out).toMatch(/\n1 error in 2 files\.\n$/);
    shell.write('a.rebuild', log('67.565 mm'));
    expect(check().out).toContain('67.565 mm');
  });

  test('what is gone is told, and goes; what was not checked stays', () => {
    shell.write('b.rebuild', WORN);
    shell.run('check', '--baseline', 'known.json', '--update-baseline');
    shell.write('a.rebuild', GOOD);
    expect(check().err).toContain('1 finding of known.json gone: --update-baseline takes it out of it.');
    shell.run('check', 'a.rebuild', '--baseline', 'known.json', '--update-baseline');
    expect(Object.keys(JSON.parse(shell.read('known.json')).files)).toEqual(['b.rebuild']);
  });

  test('each update says what came and went; what it knew of a file that is no more goes too', () => {
    const update = () => shell.run('check', '--baseline', 'known.json', '--update-baseline').err;
    // Two readings past the limit, and they disagree.
    shell.write('b.rebuild', log('67.564 mm', '67.570 mm'));
    expect(update()).toBe('witnessmark: known.json knows 4 findings: 3 new, 0 gone.\n');
    shell.write('b.rebuild', WORN);
    rmSync(join(shell.folder, 'a.rebuild'));
    expect(update()).toBe('witnessmark: known.json knows 1 finding: 0 new, 3 gone.\n');
    expect(Object.keys(JSON.parse(shell.read('known.json')).files)).toEqual(['b.rebuild']);
    expect(update()).toBe('witnessmark: known.json knows 1 finding: 0 new, 0 gone.\n');
  });

  test('a baseline of another folder loses nothing', () => {
    shell.write('other/c.rebuild', 'log "c"\n');
    shell.write(
      'other/known.json',
      '{ "version": 1, "files": { "x/y.rebuild": [{ "rule": "syntax", "line": "a", "count": 1 }] } }',
    );
    shell.run('check', 'other', '--baseline', 'other/known.json', '--update-baseline');
    expect(Object.keys(JSON.parse(shell.read('other/known.json')).files)).toEqual(['x/y.rebuild']);
  });

  test.each([
    ['nothing.json', undefined, /cannot be read: there is no such file/],
    ['broken.json', '{', /cannot be read: it is not JSON/],
    ['other.json', '{"version":2}', /is no baseline of this version/],
  ])('%s is trouble', (name, text, said) => {
    if (text !== undefined) shell.write(name, text);
    const { status, err } = shell.run('check', '--baseline', name);
    expect(status).toBe(2);
    expect(err).toMatch(said);
  });

  test('what is wrong with the configuration is never known', () => {
    shell.write('witnessmark.json', '{ "guard": "big" }');
    shell.run('check', '--baseline', 'known.json', '--update-baseline');
    expect(check().status).toBe(1);
    expect(check().out).toContain('witnessmark.json:1:12 error[configuration]');
  });

  test('--update-baseline alone is trouble', () => {
    expect(shell.run('check', '--update-baseline').err).toMatch(/name one/);
  });
});

describe('the files that CI systems read', () => {
  beforeEach(() => {
    shell.write('tern.limits', LIMITS);
    shell.write('a.rebuild', WORN);
  });
  /** Runs a line as a shell does, with `witnessmark` on its path. */
  const bash = (line: string, env: Readonly<Record<string, string>> = {}) => {
    const { status, stdout } = spawnSync(
      'bash',
      [
        '-ec',
        `witnessmark() { "${process.execPath}" "${shell.cli}" "$@"; }\nnpm() { :; }\nnode() { "${process.execPath}" "$@"; }\n${line}`,
      ],
      { cwd: shell.folder, encoding: 'utf8', env: { ...process.env, NO_COLOR: '1', ...env } },
    );
    return { status, out: stdout };
  };

  test('pre-commit: each entry runs on the files of its pattern', () => {
    const hooks = readFileSync('.pre-commit-hooks.yaml', 'utf8');
    const entries = [...hooks.matchAll(/^ {2}entry: (.*)$/gm)].map((match) => match[1]!);
    const patterns = [...hooks.matchAll(/^ {2}files: (.*)$/gm)].map((match) => new RegExp(match[1]!));
    expect(entries).toEqual(['witnessmark check', 'witnessmark format']);
    for (const pattern of patterns)
      expect(
        ['a.rebuild', 'tern.limits', 'b.bench', 'a.rebuild.md', 'rebuild'].map((name) => pattern.test(name)),
      ).toEqual([true, true, true, false, false]);
    // Of everything: a table in the commit may reach a log that is not.
    expect(hooks.split('\n- id: ')[1]).toMatch(/^ {2}pass_filenames: false$/m);
    const checked = bash(entries[0]!);
    expect(checked.status).toBe(1);
    expect(checked.out).toContain('a.rebuild:4:24 error[out-of-limits]');
    expect(bash(`${entries[1]} a.rebuild`)).toEqual({ status: 0, out: 'a.rebuild\n' });
    expect(bash(`${entries[1]} --check a.rebuild`)).toEqual({ status: 0, out: '' });
  });

  test('the GitHub action: its command writes annotations and fails', () => {
    const action = readFileSync('action.yml', 'utf8');
    const run = action.slice(action.indexOf('run: |') + 6).replace(/^ {8}/gm, '');
    const given = /default: (.*)/.exec(action)![1]!;
    const at = join(shell.folder, 'action');
    mkdirSync(at);
    symlinkSync(dirname(shell.cli), join(at, 'dist'));
    const { status, out } = bash(run, { GITHUB_ACTION_PATH: at, ARGUMENTS: given });
    expect(status).toBe(1);
    expect(out).toMatch(
      /^::error file=a\.rebuild,line=4,endLine=4,col=24,endColumn=33,title=out-of-limits::/,
    );
  });

  test('the README names hooks and inputs that there are, and words that check takes', () => {
    const readme = readFileSync('README.md', 'utf8');
    const ids = [...readme.matchAll(/^ {6}- id: (.*)$/gm)].map((match) => match[1]!);
    const hooks = readFileSync('.pre-commit-hooks.yaml', 'utf8');
    expect(ids.length).toBeGreaterThan(1);
    for (const id of ids) expect(hooks).toContain(`- id: ${id}\n`);
    const [, input, words] = /^ {4}(\w+): (--.*)$/m.exec(readme)!;
    expect(readFileSync('action.yml', 'utf8')).toContain(`\n  ${input}:\n`);
    const { status, out } = bash(`witnessmark check ${words}`);
    expect(status).toBe(1);
    expect(out).toMatch(/^::error file=a\.rebuild/);
    expect(JSON.parse(shell.read('out.sarif')).version).toBe('2.1.0');
  });

  test('the GitLab snippet of the README writes its report', () => {
    const line = /^ {4}- (witnessmark check .*)$/m.exec(readFileSync('README.md', 'utf8'))![1]!;
    expect(bash(line).status).toBe(1);
    expect(JSON.parse(shell.read('witnessmark.gitlab.json'))).toHaveLength(1);
  });
});
