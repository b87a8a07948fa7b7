/** The command line, bundled as it is shipped and run on folders of its own, as a shell runs it. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { buildSync } from 'esbuild';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';

const LIMITS = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
`;
/** A log in the canonical layout with this reading of the rear bore. */
const log = (reading: string) => `log "Tern 460 no. 0117"
use "tern.limits"

step "Measure" 2026-05-02 14:00
  measure bore[rear] = ${reading}
`;
const GOOD = log('67.511 mm');
/** 0.004 mm past the wear limit. */
const WORN = log('67.564 mm');
/** Inside the wear limit with 0.038 mm of the 0.040 mm of wear used: a warning from 80 %. */
const NEARLY_WORN = log('67.558 mm');
const UNTIDY = GOOD.replace('log "', 'log   "').replace('  measure', 'measure');
/** Bytes that UTF-8 never has. */
const BROKEN = Buffer.concat([Buffer.from('log "'), Buffer.from([0xff, 0xfe]), Buffer.from('"\n')]);

interface Run {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

interface Report {
  readonly version: number;
  readonly files: readonly { path: string; state: string | null; findings: readonly object[] }[];
  readonly summary: object;
}

let bundle: string;
let folder: string;

beforeAll(() => {
  bundle = mkdtempSync(join(tmpdir(), 'witnessmark-cli-'));
  buildSync({
    entryPoints: ['server/cli/main.ts'],
    outfile: join(bundle, 'cli.cjs'),
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
    external: ['./server.cjs'],
  });
  mkdirSync(join(bundle, 'rules'));
  for (const name of readdirSync('server/rules'))
    if (name.endsWith('.md')) cpSync(join('server/rules', name), join(bundle, 'rules', name));
});
afterAll(() => rmSync(bundle, { recursive: true, force: true }));

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-logs-'));
  // The root of a repository: no .gitignore above it counts.
  mkdirSync(join(folder, '.git'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function write(name: string, content: string | Uint8Array): void {
  mkdirSync(dirname(join(folder, name)), { recursive: true });
  writeFileSync(join(folder, name), content);
}

const read = (name: string) => readFileSync(join(folder, name), 'utf8');

interface Setting {
  readonly input?: string | Uint8Array;
  readonly env?: Readonly<Record<string, string>>;
}

function runWith(setting: Setting, ...words: readonly string[]): Run {
  const { NO_COLOR: _, FORCE_COLOR: __, CI: ___, ...env } = process.env;
  const { status, stdout, stderr } = spawnSync(process.execPath, [join(bundle, 'cli.cjs'), ...words], {
    cwd: folder,
    encoding: 'utf8',
    input: setting.input ?? '',
    env: { ...env, ...setting.env },
  });
  return { status, out: stdout, err: stderr };
}

const run = (...words: readonly string[]) => runWith({}, ...words);
const reportOf = ({ out }: Run) => JSON.parse(out) as Report;
/** The paths that a check of these words reports on. */
const checkedPaths = (...words: readonly string[]) =>
  reportOf(run('check', '--format', 'json', ...words)).files.map((file) => file.path);

/** One sentence on one line of standard error, nothing on standard output, no trace, status 2. */
function expectTrouble(result: Run, said: RegExp): void {
  expect(result.err).toMatch(said);
  expect(result.err).toMatch(/^witnessmark: [^\n]+\n$/);
  expect(result.err).not.toMatch(/\bat .*:\d+:\d+/);
  expect(result.out).toBe('');
  expect(result.status).toBe(2);
}

describe('check', () => {
  test('nothing found: says so, status 0', () => {
    write('tern.limits', LIMITS);
    write('a.rebuild', GOOD);
    expect(run('check')).toEqual({ status: 0, out: 'No findings in 2 files.\n', err: '' });
  });

  test('a finding: its line with carets under the value, the limit, a count, status 1', () => {
    write('tern.limits', LIMITS);
    write('a.rebuild', WORN);
    expect(run('check')).toEqual({
      status: 1,
      err: '',
      out: `a.rebuild:5:24 error[out-of-limits] bore[rear] is 67.564 mm: 0.004 mm past the wear limit of 67.560 mm (ref 3.2).
5 |   measure bore[rear] = 67.564 mm
  |                        ^^^^^^^^^
    tern.limits:2: the limit stands here

1 error in 2 files.
`,
    });
  });

  test('a file named alone is checked with what it uses, and only it is reported', () => {
    write('tern.limits', LIMITS);
    write('a.rebuild', WORN);
    write('b.rebuild', WORN);
    const result = run('check', 'a.rebuild');
    expect(result.status).toBe(1);
    expect(result.out).toContain('out-of-limits');
    expect(result.out).toMatch(/\n1 error in 1 file\.\n$/);
  });

  test.each([
    ['never', 0, 0],
    ['error', 0, 1],
    ['warning', 1, 1],
  ])('--fail-on %s: %i at a warning, %i at an error', (severity, atWarning, atError) => {
    write('tern.limits', LIMITS);
    write('warning.rebuild', NEARLY_WORN);
    write('error.rebuild', WORN);
    const warned = run('check', 'warning.rebuild', '--fail-on', severity);
    expect(warned.out).toMatch(/\n1 warning in 1 file\.\n$/);
    expect(warned.status).toBe(atWarning);
    expect(run('check', 'error.rebuild', '--fail-on', severity).status).toBe(atError);
  });

  test('an error is the threshold without --fail-on', () => {
    write('tern.limits', LIMITS);
    write('warning.rebuild', NEARLY_WORN);
    expect(run('check').status).toBe(0);
  });

  test('--format json: the whole document, and nothing beside it', () => {
    write('logs/tern.limits', LIMITS);
    write('logs/a.rebuild', WORN);
    const result = run('check', '--format', 'json');
    expect(result.status).toBe(1);
    expect(result.err).toBe('');
    expect(reportOf(result)).toStrictEqual({
      version: 1,
      files: [
        {
          path: 'logs/a.rebuild',
          state: 'open',
          findings: [
            {
              rule: 'out-of-limits',
              severity: 'error',
              message: 'bore[rear] is 67.564 mm: 0.004 mm past the wear limit of 67.560 mm (ref 3.2).',
              line: 5,
              column: 24,
              endLine: 5,
              endColumn: 33,
              related: [{ path: 'logs/tern.limits', line: 2, column: 7, message: 'the limit stands here' }],
            },
          ],
        },
        { path: 'logs/tern.limits', state: null, findings: [] },
      ],
      summary: { files: 2, errors: 1, warnings: 0, information: 0, hints: 0 },
    });
  });

  test('--format json: columns count UTF-16 units', () => {
    // The wrench before the word that is not understood is one character and two units.
    const step = 'step "🔧" 2026-05-02 14:00 ';
    write('a.rebuild', `log "Tern 460 no. 0117"\n${step}nonsense\n`);
    const [file] = reportOf(run('check', '--format', 'json')).files;
    expect(file!.findings[0]).toMatchObject({ rule: 'syntax', line: 2, column: step.length + 1 });
  });

  test.each([
    ['--stdin', ['--stdin', '--stdin-path', 'logs/draft.rebuild']],
    ['-', ['-', '--stdin-path', 'logs/draft.rebuild']],
  ])('%s checks standard input as the file that it stands for', (_, words) => {
    write('logs/tern.limits', LIMITS);
    const result = runWith({ input: WORN }, 'check', ...words);
    expect(result.out).toMatch(/^logs\/draft\.rebuild:5:24 error\[out-of-limits\]/);
    expect(result.status).toBe(1);
    expect(runWith({ input: GOOD }, 'check', ...words).status).toBe(0);
  });

  test('--stdin-path stands before the file of that name on disk', () => {
    write('tern.limits', LIMITS);
    write('a.rebuild', WORN);
    expect(runWith({ input: GOOD }, 'check', '--stdin', '--stdin-path', 'a.rebuild').status).toBe(0);
  });

  test('standard input that is not UTF-8 is trouble, not replacement characters', () => {
    expectTrouble(runWith({ input: BROKEN }, 'check', '--stdin'), /standard input: it is not UTF-8/);
  });

  test('broken and missing files never stop the others', () => {
    write('tern.limits', LIMITS);
    write('broken.rebuild', BROKEN);
    write('cut.rebuild', '\n');
    write('muted.rebuild', '\n# log "Tern"\r\n  # step "a"\n');
    write('z.rebuild', WORN);
    const result = run(
      'check',
      'missing.rebuild',
      'broken.rebuild',
      'cut.rebuild',
      'muted.rebuild',
      'z.rebuild',
    );
    expect(result.out).toMatch(/^z\.rebuild:5:24 error\[out-of-limits\]/);
    expect(result.out).toMatch(/\n1 error in 1 file\.\n$/);
    expect(result.err.trimEnd().split('\n').sort()).toEqual([
      'witnessmark: broken.rebuild: it is not UTF-8 text: save it as UTF-8.',
      'witnessmark: cut.rebuild: it is empty, and a log begins with log "what is rebuilt".',
      'witnessmark: missing.rebuild: there is no such file.',
      'witnessmark: muted.rebuild: it holds nothing but comments, and a log begins with log "what is rebuilt".',
    ]);
    expect(result.status).toBe(2);
  });

  test('a broken file in a folder: status 2 though the rest is in order, and the JSON stays whole', () => {
    write('tern.limits', LIMITS);
    write('a.rebuild', GOOD);
    write('broken.rebuild', BROKEN);
    const result = run('check', '--format', 'json', '--fail-on', 'never');
    expect(result.status).toBe(2);
    expect(reportOf(result).files.map((file) => file.path)).toEqual(['a.rebuild', 'tern.limits']);
  });

  test('a folder with nothing to check says so', () => {
    write('notes/readme.txt', 'nothing');
    const result = run('check', 'notes');
    expect(result.status).toBe(0);
    expect(result.err).toBe('witnessmark: no .rebuild, .limits or .bench file here.\n');
  });

  test.each([
    [['--format', 'telegram'], /--format takes .*not telegram/],
    [['--fail-on', 'often'], /--fail-on takes .*not often/],
    [['--stdin-path'], /--stdin-path.*argument missing/],
  ])('%j is trouble', (words, said) => {
    expectTrouble(run('check', ...words), said);
  });
});

describe('.gitignore', () => {
  beforeEach(() => {
    for (const name of ['a', 'drafts/b', 'old/c', 'old/deep/d', 'logs/e', 'logs/f'])
      write(`${name}.bench`, 'bench "Harbour"\n');
  });

  test('without one, every file below the folder is checked, in order', () => {
    expect(checkedPaths()).toEqual([
      'a.bench',
      'drafts/b.bench',
      'logs/e.bench',
      'logs/f.bench',
      'old/c.bench',
      'old/deep/d.bench',
    ]);
  });

  test('leaves out files and folders', () => {
    write('.gitignore', 'old/\na.bench\n');
    expect(checkedPaths()).toEqual(['drafts/b.bench', 'logs/e.bench', 'logs/f.bench']);
  });

  test('one in a folder counts from that folder only', () => {
    write('logs/.gitignore', '/e.bench\n/a.bench\nc.bench\n');
    expect(checkedPaths()).toEqual([
      'a.bench',
      'drafts/b.bench',
      'logs/f.bench',
      'old/c.bench',
      'old/deep/d.bench',
    ]);
  });

  test('the nearest speaks last: a folder takes a file back in', () => {
    write('.gitignore', '*.bench\n');
    write('logs/.gitignore', '!f.bench\n');
    expect(checkedPaths()).toEqual(['logs/f.bench']);
  });

  test('a file cannot be taken back in below a folder that is left out', () => {
    write('.gitignore', 'old/\n');
    write('old/.gitignore', '!c.bench\n');
    write('old/deep/.gitignore', '!d.bench\n');
    expect(checkedPaths().filter((path) => path.startsWith('old/'))).toEqual([]);
  });

  test('one above the folder that is named counts, up to the root of the repository', () => {
    write('.gitignore', 'deep/\n');
    expect(checkedPaths('old')).toEqual(['old/c.bench']);
    mkdirSync(join(folder, 'old/.git'));
    expect(checkedPaths('old')).toEqual(['old/c.bench', 'old/deep/d.bench']);
  });

  test('a file that is named itself is checked all the same', () => {
    write('.gitignore', '*.bench\n');
    expect(checkedPaths('a.bench')).toEqual(['a.bench']);
  });
});

describe('colour', () => {
  const ESCAPE = '\u001b[';
  beforeEach(() => {
    write('tern.limits', LIMITS);
    write('a.rebuild', WORN);
  });

  test('none into a pipe', () => expect(run('check').out).not.toContain(ESCAPE));

  test('NO_COLOR wins over what asks for colour', () => {
    const asked = runWith({ env: { FORCE_COLOR: '1' } }, 'check');
    expect(asked.out).toContain(ESCAPE);
    const refused = runWith({ env: { FORCE_COLOR: '1', NO_COLOR: '1' } }, 'check');
    expect(refused.out).toBe(run('check').out);
  });

  test('never in JSON', () => {
    const asked = runWith({ env: { FORCE_COLOR: '1' } }, 'check', '--format', 'json');
    expect(asked.out).not.toContain(ESCAPE);
  });
});

describe('help and wrong use', () => {
  test.each([[[]], [['check']], [['format']], [['convert']], [['explain']]])(
    '%j --help: usage, and examples that name the command',
    (words) => {
      const result = run(...words, '--help');
      expect(result.status).toBe(0);
      expect(result.err).toBe('');
      expect(result.out).toMatch(new RegExp(`^Usage: ${['witnessmark', ...words].join(' ')} `));
      expect(result.out).toContain(`\nExamples:\n  ${['witnessmark', ...words].join(' ')}`);
    },
  );

  test('the help lists every command, and check tells its exit statuses', () => {
    const { out } = run('--help');
    for (const name of ['check', 'format', 'convert', 'explain', 'server'])
      expect(out).toMatch(new RegExp(`^  ${name} `, 'm'));
    expect(run('check', '--help').out).toMatch(
      /^Exit status:\n {2}0 [\s\S]*\n {2}1 {2}findings [\s\S]*\n {2}2 /m,
    );
  });

  test('--version is that of the package', () => expect(run('--version').out).toBe('9.8.7\n'));

  test.each([['check'], ['format'], ['explain']])('%s: an unknown option is one sentence', (name) => {
    expectTrouble(run(name, '--sideways'), /unknown option '--sideways'/);
  });

  test('an option nearly right is offered', () => {
    expectTrouble(run('check', '--fail-onn', 'error'), /unknown option.*Did you mean --fail-on\?/);
  });

  test('an unknown command offers the nearest', () => {
    expectTrouble(run('chekc'), /unknown command 'chekc'.*Did you mean check\?/);
  });

  test('no command at all shows the help, status 2', () => {
    const result = run();
    expect(result.status).toBe(2);
    expect(result.err).toMatch(/^Usage: witnessmark /);
  });
});

describe('format', () => {
  test('in place: names what it changed, leaves the rest alone, and is then content', () => {
    write('untidy.rebuild', UNTIDY);
    write('tidy.rebuild', GOOD);
    expect(run('format')).toEqual({ status: 0, out: 'untidy.rebuild\n', err: '' });
    expect(read('untidy.rebuild')).toBe(GOOD);
    expect(read('tidy.rebuild')).toBe(GOOD);
    expect(run('format', '--check')).toEqual({ status: 0, out: '', err: '' });
  });

  test('--check lists, changes nothing, status 1', () => {
    write('untidy.rebuild', UNTIDY);
    write('tidy.rebuild', GOOD);
    expect(run('format', '--check')).toEqual({ status: 1, out: 'untidy.rebuild\n', err: '' });
    expect(read('untidy.rebuild')).toBe(UNTIDY);
  });

  test('--diff shows both, changes nothing, status 1', () => {
    write('untidy.rebuild', UNTIDY);
    const result = run('format', '--diff');
    expect(result.status).toBe(1);
    const changed = result.out.split('\n').filter((line) => /^[-+](?![-+])/.test(line));
    expect(changed).toEqual([
      '-log   "Tern 460 no. 0117"',
      '+log "Tern 460 no. 0117"',
      '-measure bore[rear] = 67.511 mm',
      '+  measure bore[rear] = 67.511 mm',
    ]);
    expect(read('untidy.rebuild')).toBe(UNTIDY);
  });

  test.each([['--stdin'], ['-']])('%s goes from standard input to standard output', (word) => {
    expect(runWith({ input: UNTIDY }, 'format', word)).toEqual({ status: 0, out: GOOD, err: '' });
  });

  test('standard input that is not UTF-8 is trouble, and no altered text comes out', () => {
    expectTrouble(runWith({ input: BROKEN }, 'format', '--stdin'), /standard input: it is not UTF-8/);
  });

  test('a broken or missing file never stops the others and is not written', () => {
    write('broken.rebuild', BROKEN);
    write('untidy.rebuild', UNTIDY);
    const result = run('format', 'missing.rebuild', 'broken.rebuild', 'untidy.rebuild');
    expect(result.status).toBe(2);
    expect(result.err).toContain('missing.rebuild: there is no such file.');
    expect(result.err).toContain('broken.rebuild: it is not UTF-8');
    expect(read('untidy.rebuild')).toBe(GOOD);
    expect(readFileSync(join(folder, 'broken.rebuild')).equals(BROKEN)).toBe(true);
  });

  test('a file that .gitignore leaves out is not touched', () => {
    write('.gitignore', 'old/\n');
    write('old/untidy.rebuild', UNTIDY);
    expect(run('format')).toEqual({ status: 0, out: '', err: '' });
    expect(read('old/untidy.rebuild')).toBe(UNTIDY);
  });
});

describe('convert', () => {
  // From memory: 1 in = 25.4 mm exactly, 1 ft·lbf = 1.355 818 N·m (NIST SP 811, appendix B).
  test.each([
    ['88 ft·lbf', 'N·m', '119 N·m'],
    ['2.6583 in', 'mm', '67.521 mm'],
  ])('%s in %s', (value, unit, wanted) => {
    const result = run('convert', value, unit);
    expect(result.status).toBe(0);
    expect(result.err).toBe('');
    expect(result.out.split('\n')[0]!.trim()).toBe(wanted);
  });

  test('a length comes in the unit asked for only, a torque in every other one too', () => {
    expect(run('convert', '2.6583 in', 'mm').out).toBe('67.521 mm\n');
    const torque = run('convert', '88 ft·lbf', 'N·m')
      .out.split('\n')
      .map((row) => row.trim());
    expect(torque).toContain('1060 in·lbf');
  });

  test('without a unit: every other unit of the kind, numbers in one column', () => {
    const result = run('convert', '24 N·m');
    const rows = result.out.trimEnd().split('\n');
    expect(result.status).toBe(0);
    expect(rows.map((row) => row.trim())).toContain('212 in·lbf');
    expect(rows.length).toBeGreaterThan(3);
    expect(new Set(rows.map((row) => row.lastIndexOf(' '))).size).toBe(1);
  });

  test('takes the unit as a word of its own, as a shell gives it without quotes', () => {
    expect(run('convert', '88', 'ft·lbf', 'N·m').out).toBe(run('convert', '88 ft·lbf', 'N·m').out);
    expect(run('convert', '24', 'N·m').out).toBe(run('convert', '24 N·m').out);
    expect(run('convert', '1-3/8', 'in', 'mm').out).toBe('34.925 mm\n');
    expect(run('convert', '-5', '°C', '°F').out).toMatch(/^23 °F\n/);
    expectTrouble(run('convert', '24 N·m', 'in·lbf', 'mm'), /mm is too much/);
  });

  test('a temperature below zero is a value, not an option', () => {
    const result = run('convert', '-5 °C', '°F');
    expect(result.status).toBe(0);
    expect(result.out).toMatch(/^23 °F\n/);
  });

  test.each([
    [['88 fathoms', 'mm'], /"fathoms" is not a unit/],
    [['88 mm', 'furlong'], /"furlong" is not a unit/],
    [['88 mm', 'N·m'], /mm measures a length and N·m a torque/],
    [['mm'], /does not begin with a number/],
    [[], /missing required argument 'value'/],
    [['--sideways'], /is not a number/],
  ])('%j is trouble', (words, said) => {
    expectTrouble(run('convert', ...words), said);
  });
});

describe('explain', () => {
  test('without a name: a line for every page, with its severity and title', () => {
    const result = run('explain');
    expect(result.status).toBe(0);
    const pages = readdirSync(join(bundle, 'rules')).map((name) => name.replace(/\.md$/, ''));
    const rows = result.out.trimEnd().split('\n');
    expect(rows.map((row) => row.split(' ')[0]).sort()).toEqual(pages.sort());
    for (const row of rows)
      expect(row).toMatch(/^[a-z-]+ +(error|warning|information|hint|by-state|varies) +\S/);
  });

  test('--format md: the page as it is written, and the table of all', () => {
    const result = run('explain', 'torque-skipped', '--format', 'md');
    expect(result.status).toBe(0);
    expect(result.out).toBe(readFileSync('server/rules/torque-skipped.md', 'utf8'));
    expect(run('explain', '--format', 'md').out).toContain('| `torque-skipped` | by-state |');
    expectTrouble(run('explain', 'torque-skipped', '--format', 'html'), /takes text or md, not html/);
  });

  test('colours where they are wanted: headings, words of the language, carets by severity; NO_COLOR', () => {
    const wanted = runWith({ env: { FORCE_COLOR: '1' } }, 'explain', 'wrench-setting').out;
    const shown = wanted.replaceAll('\u001b', '␛');
    expect(shown).toMatch(/^␛\[1mwrench-setting:␛\[22m/);
    expect(shown).toContain('␛[36mset␛[39m records');
    expect(shown).toMatch(/ ␛\[31m\^+␛\[39m\n {4}␛\[31merror␛\[39m\[wrench-setting\] 24 N·m with/);
    const plain = run('explain', 'wrench-setting').out;
    expect(plain).toMatch(/\. `set` records/);
    expect(plain).not.toContain('\u001b');
    expect(runWith({ env: { NO_COLOR: '1', FORCE_COLOR: '1' } }, 'explain', 'wrench-setting').out).toBe(
      plain,
    );
  });

  test('an unknown name offers the nearest', () => {
    expectTrouble(run('explain', 'torque-skiped'), /torque-skiped\. Did you mean torque-skipped\?/);
  });
});
