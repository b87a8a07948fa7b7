/** `witnessmark mark` and `verify`, as a shell runs them. */
import { createHash } from 'node:crypto';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeEach(() => {
  shell = openShell();
  shell.write('tern.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm\n');
  shell.write('logs/a.rebuild', LOG);
  shell.write('logs/dial.jpg', new Uint8Array([0xff, 0xd8, 0xff, 0x00]));
});
afterEach(() => shell.close());

const LOG = `log "Tern 460 no. 0117"
use "../tern.limits"
person AQ "Ada Quill" builder
step "Measure" 2026-05-02 14:00 by AQ
  measure crank-runout = 0.03 mm
  photo "dial.jpg"
  photo "lost.jpg"
sign AQ "Measured" 2026-05-02 16:00
`;
const path = 'logs/a.rebuild';

describe('check reads the photographs that a log pins', () => {
  const findings = () => JSON.parse(shell.run('check', '--format', 'json', path).out).files[0].findings;
  test('all is as it was: nothing', () => {
    shell.run('mark', path);
    expect(findings()).toEqual([]);
  });
  test('another picture under its name, and one that is gone', () => {
    shell.run('mark', path);
    shell.write('logs/dial.jpg', new Uint8Array([0xff, 0xd8, 0xff, 0x01]));
    const changed = createHash('sha256')
      .update(new Uint8Array([0xff, 0xd8, 0xff, 0x01]))
      .digest('hex');
    expect(findings()).toMatchObject([
      {
        rule: 'import-changed',
        severity: 'warning',
        line: 6,
        message: `dial.jpg is not the photograph that was pinned here: its digest is now ${changed.slice(0, 16)}. The line is signed and marked, so it stays: put the one that was pinned back under this name.`,
      },
    ]);
    shell.remove('logs/dial.jpg');
    expect(findings()).toMatchObject([
      { rule: 'import-changed', line: 6, message: expect.stringContaining('cannot be read') },
    ]);
  });
  test('while the line is not marked, the pin may be written anew', () => {
    shell.write(path, LOG.replace('"dial.jpg"', '"dial.jpg" mark 9f3c0d1e7a55b2c4'));
    expect(findings()).toMatchObject([
      { rule: 'import-changed', message: expect.stringContaining('or pin it as it is') },
      { rule: 'unmarked' },
    ]);
  });
});

describe('mark', () => {
  test('pins, marks, says what it did and where the proof is; verify is content', () => {
    const { status, out, err } = shell.run('mark', path);
    const text = shell.read(path);
    const mark = /16:00 mark ([0-9a-f]{16})\n/.exec(text)![1];
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toBe(`logs/a.rebuild:8: AQ signed "Measured"
  mark ${mark}
  pinned ../tern.limits
  pinned dial.jpg
  not pinned lost.jpg: it cannot be read
Copy the mark into the paper logbook, or commit the log with a signed commit: a mark alone does not show who changed a text.
`);
    const photo = createHash('sha256')
      .update(new Uint8Array([0xff, 0xd8, 0xff, 0x00]))
      .digest('hex');
    expect(text).toContain(`photo "dial.jpg" mark ${photo.slice(0, 16)}\n`);
    expect(text.replaceAll(/ mark [0-9a-f]{16}/g, '')).toBe(LOG);
    expect(shell.run('verify').status).toBe(0);
  });

  test('a byte order mark and CRLF stay, and the mark is the same', () => {
    shell.run('mark', path);
    const plain = shell.read(path);
    shell.write(path, `\ufeff${LOG.replaceAll('\n', '\r\n')}`);
    expect(shell.run('mark', path).status).toBe(0);
    expect(shell.read(path)).toBe(`\ufeff${plain.replaceAll('\n', '\r\n')}`);
  });

  test('--dry-run says, --diff shows; neither changes anything', () => {
    const dry = shell.run('mark', '--dry-run', path);
    expect(dry.out).toMatch(/ {2}mark [0-9a-f]{16}\n {2}pinned/);
    const diff = shell.run('mark', '--diff', path);
    expect(diff.out.match(/^\+(?!\+).*$/gm)).toEqual([
      expect.stringMatching(/^\+use "\.\.\/tern\.limits" mark /),
      expect.stringMatching(/^\+ {2}photo "dial\.jpg" mark /),
      expect.stringMatching(/^\+sign AQ "Measured" 2026-05-02 16:00 mark /),
    ]);
    expect([dry.status, diff.status, shell.read(path)]).toEqual([0, 0, LOG]);
  });

  test('- takes standard input and gives the marked text', () => {
    const piped = shell.runWith({ input: LOG }, 'mark', '-', '--stdin-path', path);
    expect(piped.err).toContain('pinned ../tern.limits');
    expect(shell.read(path)).toBe(LOG);
    shell.run('mark', path);
    expect(piped.out).toBe(shell.read(path));
  });

  test.each([
    [
      'a broken mark',
      (text: string) => text.replace('0.03', '0.04'),
      /a\.rebuild:8: An earlier mark is broken/,
    ],
    [
      'nothing left to mark',
      (text: string) => text,
      /a\.rebuild:8: Every signature up to here is marked already/,
    ],
    [
      'a line that is not understood',
      (text: string) => `${text}step "More" 2026-05-03 08:00\n  mesure x\nsign AQ "More" 2026-05-03 09:00\n`,
      /a\.rebuild:10: This line is not understood/,
    ],
  ])('%s: says where and why, changes nothing, status 1', (_, change, said) => {
    shell.run('mark', path);
    const before = change(shell.read(path));
    shell.write(path, before);
    const { status, out, err } = shell.run('mark', path);
    expect(err).toMatch(said);
    expect(err).toMatch(/^witnessmark: [^\n]+\n$/);
    expect({ status, out, text: shell.read(path) }).toEqual({ status: 1, out: '', text: before });
  });

  test.each([
    ['tern.limits', /is no log: only a \.rebuild file is signed and marked/],
    ['nowhere.rebuild', /nowhere\.rebuild: there is no such file/],
  ])('%s is trouble', (name, said) => {
    const { status, err } = shell.run('mark', name);
    expect(err).toMatch(said);
    expect(status).toBe(2);
  });
});

describe('verify', () => {
  interface Verified {
    readonly files: readonly {
      readonly holds: boolean;
      readonly marks: readonly object[];
      readonly pins: readonly {
        readonly file: string;
        readonly digest: string | null;
        readonly holds: boolean;
      }[];
    }[];
    readonly summary: object;
  }
  const json = () => JSON.parse(shell.run('verify', '--format', 'json').out) as Verified;

  test('a changed fact: which signature and which lines, status 1; laid out anew it holds', () => {
    shell.run('mark', path);
    const marked = shell.read(path);
    shell.write(path, marked.replace('  measure', 'measure   ').replace('0.03 mm', '0.03mm # read twice'));
    expect(shell.run('verify').status).toBe(0);
    shell.write(path, marked.replace('0.03', '0.04'));
    const { status, out } = shell.run('verify');
    expect(status).toBe(1);
    expect(out).toContain('logs/a.rebuild: its mark is BROKEN\n');
    expect(out).toMatch(
      /line 8 {2}AQ signed 2026-05-02 16:00 "Measured": BROKEN, line 5 was changed since; when this was signed it said: measure crank-runout = 0\.03 mm\n/,
    );
  });

  test('a photograph and a table that are not what was pinned', () => {
    shell.run('mark', path);
    shell.write('logs/dial.jpg', 'touched up');
    shell.write('tern.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.06 mm\n');
    const { status, out } = shell.run('verify');
    expect(status).toBe(1);
    expect(out).toContain('its mark holds; 2 of 2 pinned files are not as pinned');
    expect(out).toMatch(/photo "dial\.jpg": CHANGED, pinned as [0-9a-f]{16} and now [0-9a-f]{16}\n/);
    expect(json().files[0]!.pins.map(({ file, holds }) => [file, holds])).toEqual([
      ['../tern.limits', false],
      ['dial.jpg', false],
    ]);
  });

  test('--format json: every mark with its lines and digest', () => {
    shell.run('mark', path);
    const [file] = json().files;
    expect(file).toMatchObject({ path, holds: true, unmarked: [] });
    expect(file!.marks).toEqual([
      {
        line: 8,
        kind: 'sign',
        by: 'AQ',
        date: '2026-05-02 16:00',
        text: 'Measured',
        mark: expect.stringMatching(/^[0-9a-f]{16}$/),
        digest: expect.stringMatching(/^[0-9a-f]{64}$/),
        holds: true,
        changed: null,
        lost: null,
        from: 1,
        to: 8,
      },
    ]);
    expect(json().summary).toEqual({ files: 1, marks: 1, broken: 0, pins: 2, changed: 0 });
  });

  test('a log without marks says so; what cannot be read is told, status 2', () => {
    expect(shell.run('verify').out).toBe(
      'logs/a.rebuild: nothing marked\n  line 8  AQ signed 2026-05-02 16:00 "Measured": no mark\n',
    );
    const { status, out, err } = shell.run('verify', 'lost.rebuild', path);
    expect(err).toBe('witnessmark: lost.rebuild: there is no such file.\n');
    expect(out).toContain('logs/a.rebuild: nothing marked');
    expect(status).toBe(2);
  });

  test('a mark that is none is not taken for one', () => {
    shell.write(path, LOG.replace('16:00', '16:00 mark 9f3c'));
    expect(shell.run('verify').out).toContain('"Measured": no mark that can be read\n');
  });

  test('an unknown format is trouble', () => {
    expect(shell.run('verify', '--format', 'telegram')).toMatchObject({ status: 2, out: '' });
  });
});
