/** What `witnessmark.json` changes in every command that it concerns: severities, guard, what is left out, units. */
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

const LIMITS = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
limit side-play 0.010..0.020 in wear <= 0.030 in ref "3.3"
fastener case-m8[1..2] M8 class 8.8 torque 24 ± 2 N·m ref "4.1"
`;
const log = (hours: number, bore: string) => `log "Tern 460 at ${hours}"
use "tern.limits"
machine tern-460 serial "0117" hours ${hours} h
tool BG1 "bore gauge" range 50..100 mm uncertainty 0.002 mm due 2030-01-01
step "Measure" 2026-05-0${1 + hours / 100} 14:00
  measure bore[rear] = ${bore} with BG1
  measure side-play = 0.025 in
  torque case-m8[1] to 24 N·m
`;

let shell: Shell;
beforeAll(() => {
  shell = openShell();
  shell.write('tern.limits', LIMITS);
  shell.write('a.rebuild', log(100, '67.520 mm'));
  shell.write('b.rebuild', log(200, '2.6587 in'));
  shell.write('c.rebuild', log(300, '67.540 mm'));
  shell.write('old/d.rebuild', log(400, '67.570 mm').replace('tern.limits', '../tern.limits'));
});
afterAll(() => shell.close());
beforeEach(() => shell.write('witnessmark.json', '{}'));

const set = (settings: object) => shell.write('witnessmark.json', JSON.stringify(settings));
const out = (...words: readonly string[]) => shell.run(...words).out;

/** A page with plain blanks, where it holds a number to its unit. */
const page = (...words: readonly string[]) => out(...words).replaceAll('\u00a0', ' ');

describe('exclude', () => {
  // Of logs by their name; all of these read folders.
  test.each([
    ['check', '--format', 'json'],
    ['trend', '--format', 'json'],
    ['due', '--format', 'json'],
    ['export'],
    ['format', '--check'],
    ['verify', '--format', 'json'],
  ])('%s reads nothing that is left out, unless it is named', (...words) => {
    shell.write('old/d.rebuild', shell.read('old/d.rebuild').replace('log "', 'log   "'));
    const { out: before } = shell.run(...words);
    set({ exclude: ['old/'] });
    const { out: after } = shell.run(...words);
    expect(before).not.toBe(after);
    expect(after).not.toContain('old/d.rebuild');
    if (words[0] !== 'due') expect(before).toContain('old/d.rebuild');
    if (words[0] !== 'due') expect(shell.run(...words, 'old/d.rebuild').out).toContain('old/d.rebuild');
  });
});

describe('severities', () => {
  beforeEach(() => set({ severities: { 'out-of-limits': 'information', 'torque-skipped': 'error' } }));

  test('check, with what it would have been', () =>
    expect(out('check', 'old')).toMatch(
      /information\[out-of-limits\] .* \(error, lowered by witnessmark\.json\)/,
    ));

  test('report: lowered findings are shown, and say what they would have been', () => {
    const { findings } = JSON.parse(out('report', 'old/d.rebuild', '--format', 'json')) as {
      findings: readonly { rule: string; severity: string; lowered: string | null }[];
    };
    expect(findings.filter(({ rule }) => rule === 'out-of-limits')).toMatchObject([
      { severity: 'information', lowered: 'error' },
    ]);
    expect(findings.filter(({ rule }) => rule === 'torque-skipped')).toMatchObject([
      { severity: 'error', lowered: null },
    ]);
    expect(out('report', 'old/d.rebuild')).toContain(
      'information</span><br><span class="soft">lowered from error</span>',
    );
    expect(out('report', 'old/d.rebuild', '--format', 'md')).toContain('information (lowered from error)');
    expect(out('report', 'old/d.rebuild', '--format', 'csv')).toContain('information (lowered from error)');
  });

  test('export has both', () => {
    const rows = out('export', 'old')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { name: string; severity: string; lowered: string | null });
    expect(rows.filter(({ name }) => name === 'out-of-limits')).toMatchObject([
      { severity: 'information', lowered: 'error' },
    ]);
  });

  test('compare counts as the team does, and finds the old revision judged the same', () => {
    const compared = JSON.parse(out('compare', 'a.rebuild', 'old/d.rebuild', '--format', 'json')) as {
      old: { errors: number };
      new: { errors: number };
    };
    expect([compared.old.errors, compared.new.errors]).toEqual([1, 1]);
  });
});

test('guard: what is close enough to tell', () => {
  const close = () => out('check', 'c.rebuild').includes('too-close-to-call');
  shell.write('c.rebuild', log(300, '67.559 mm'));
  expect(close()).toBe(true);
  expect(out('report', 'c.rebuild')).toContain('too-close-to-call');
  set({ guard: 0 });
  expect(close()).toBe(false);
  expect(page('report', 'c.rebuild')).not.toContain('too-close-to-call');
  expect(out('export', 'c.rebuild')).not.toContain('too-close-to-call');
  shell.write('c.rebuild', log(300, '67.540 mm'));
});

describe('units', () => {
  // 1 in = 25.4 mm; 1 ft·lbf = 1.355818 N·m (NIST SP 811, appendix B).
  test('report: what is in the other system is there in this one too', () => {
    expect(out('report', 'c.rebuild')).not.toMatch(/2\.65\d+|17\.7/);
    set({ units: 'imperial' });
    const imperial = page('report', 'c.rebuild');
    expect(imperial).toContain('67.500 to 67.520 mm<br><span class="soft">2.65748 to 2.65827 in</span>');
    expect(imperial).toContain('67.540 mm<br><span class="soft">2.65906 in</span>');
    expect(imperial).toContain('24 N·m (17.7 ft·lbf)');
    expect(imperial).toContain('0.025 in</td>');
    expect(out('report', 'c.rebuild', '--format', 'md')).toContain('67.540 mm (2.65906 in)');
    set({ units: 'metric' });
    const metric = page('report', 'c.rebuild');
    expect(metric).toContain('67.540 mm</td>');
    expect(metric).toContain('0.025 in<br><span class="soft">0.64 mm</span>');
  });

  test('worksheet: the value to write stays in the unit of the table', () => {
    set({ units: 'imperial' });
    const sheet = out('worksheet', 'tern.limits');
    expect(sheet).toContain(
      'measure bore[rear] = ? mm # new 67.500..67.520 mm (2.65748..2.65827 in), wear <= 67.560 mm (<= 2.65984 in) (ref 3.2)',
    );
    expect(sheet).toMatch(/side-play = \? in # new 0\.010\.\.0\.020 in, wear/);
    expect(sheet).toMatch(/to \? N·m # 22\.\.26 N·m \(16\.\d+\.\.19\.\d+ ft·lbf\)/);
    expect(page('worksheet', 'tern.limits', '--format', 'html')).toContain('(2.65748 to 2.65827 in)');
  });

  test('trend: readings of both systems in the one that is wanted, and the same hours', () => {
    const trends = () =>
      (
        JSON.parse(
          out('trend', 'a.rebuild', 'b.rebuild', 'c.rebuild', '--format', 'json', '--only', 'bore'),
        ) as {
          trends: readonly {
            unit: string;
            wearLimit: { upper: number };
            projection: { hours: number };
            lives: readonly (readonly { value: number }[])[];
          }[];
        }
      ).trends[0]!;
    const plain = trends();
    expect(plain.unit).toBe('mm');
    set({ units: 'imperial' });
    const imperial = trends();
    expect(imperial.unit).toBe('in');
    expect(imperial.lives[0]!.map(({ value }) => value.toFixed(4))).toEqual(['2.6583', '2.6587', '2.6591']);
    expect(imperial.wearLimit.upper).toBeCloseTo(67.56 / 25.4, 9);
    expect(imperial.projection.hours).toBeCloseTo(plain.projection.hours, 6);
    set({ units: 'metric' });
    expect(trends()).toEqual(plain);
  });
});

test('a configuration that cannot be read is trouble in one sentence, in every command that asks it', () => {
  shell.write('witnessmark.json', Buffer.from([0xff]));
  for (const words of [
    ['check'],
    ['compare', 'a.rebuild', 'c.rebuild'],
    ['report', 'a.rebuild'],
    ['trend'],
    ['due'],
    ['worksheet', 'tern.limits'],
    ['export'],
    ['mark', 'a.rebuild'],
  ])
    expect([words, shell.run(...words)]).toEqual([
      words,
      { status: 2, out: '', err: 'witnessmark: witnessmark.json: it is not UTF-8 text: save it as UTF-8.\n' },
    ]);
});
