/** `witnessmark compare`, as a shell and git run it. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

const LOG = `log "Tern 460 no. 0117"
use "../tern.limits"
step "Measure" 2026-05-02 14:00
  measure crank-runout = 0.03 mm
`;
const WORN = LOG.replace('0.03 mm', '0.07 mm');

let shell: Shell;
beforeEach(() => {
  shell = openShell();
  shell.write('tern.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm wear <= 0.08 mm\n');
  shell.write('logs/a.rebuild', LOG);
  shell.write('logs/b.rebuild', WORN);
});
afterEach(() => shell.close());

test('two logs: what differs with the limit and the share used, status 1', () => {
  const { status, out, err } = shell.run('compare', 'logs/a.rebuild', 'logs/b.rebuild');
  expect({ status, err }).toEqual({ status: 1, err: '' });
  expect(out).toContain('1 difference: 1 for the worse.');
  expect(out).toMatch(/! crank-runout +0\.03 mm → 0\.07 mm/);
  expect(out).toContain('+0.04 mm; wear allowance used: 0 %, now 67 %');
});

test('a log and itself: status 0', () => {
  const { status, out } = shell.run('compare', 'logs/a.rebuild', 'logs/a.rebuild');
  expect(status).toBe(0);
  expect(out).toContain('No difference');
});

test('--format json is the whole comparison; md and html go to a file', () => {
  const { out } = shell.run('compare', 'logs/a.rebuild', 'logs/b.rebuild', '--format', 'json');
  expect(JSON.parse(out)).toMatchObject({ version: 1, differences: [{ subject: 'crank-runout' }] });
  shell.run('compare', 'logs/a.rebuild', 'logs/b.rebuild', '--format', 'html', '--output', 'c.html');
  expect(shell.read('c.html')).toMatch(/^<!doctype html>/);
});

describe('with git', () => {
  beforeEach(() => {
    shell.git('init', '--quiet');
    shell.git('add', '.');
    shell.git('commit', '--quiet', '--message', 'as found');
    shell.write('logs/a.rebuild', WORN);
  });

  test('--git: with itself at a revision, and with the limits of that revision', () => {
    shell.write('tern.limits', 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm wear <= 0.06 mm\n');
    const { status, out } = shell.run('compare', '--git', 'HEAD', 'logs/a.rebuild');
    expect(status).toBe(1);
    expect(out).toMatch(/^Changed: look at it\n! limit crank-runout /m);
    expect(out).toContain('wear <= 0.08 mm → 0..0.05 mm, wear <= 0.06 mm');
    expect(out).toContain('inside its limit, now past its limit');
  });

  test('as git difftool: both texts stand for the file, and find what it uses', () => {
    shell.git(
      'config',
      'difftool.witnessmark.cmd',
      `"${process.execPath}" "${shell.cli}" compare --as "$MERGED" "$LOCAL" "$REMOTE" --output seen.txt`,
    );
    shell.git('difftool', '--no-prompt', '--tool=witnessmark', 'HEAD', '--', 'logs/a.rebuild');
    expect(shell.read('seen.txt')).toContain('inside its limit, now past the range for new parts');
  });

  test('a revision that is none, and a file that was not there, are told in one sentence', () => {
    for (const words of [
      ['--git', 'nowhere', 'logs/a.rebuild'],
      ['--git', 'HEAD', 'logs/c.rebuild'],
    ]) {
      const { status, err } = shell.run('compare', ...words);
      expect(status).toBe(2);
      expect(err).toMatch(/^witnessmark: .*\n$/);
    }
  });
});

test('what cannot be compared is told', () => {
  expect(shell.run('compare', 'logs/a.rebuild').err).toContain('Two logs are needed');
  expect(shell.run('compare', 'logs/a.rebuild', 'tern.limits').err).toContain('tern.limits is no log');
  expect(shell.run('compare', 'logs/a.rebuild', 'none.rebuild').status).toBe(2);
});

test('a comparison or a trend is never written over what was recorded', () => {
  const before = shell.read('logs/a.rebuild');
  for (const words of [
    ['compare', 'logs/a.rebuild', 'logs/b.rebuild', '--output', 'logs/a.rebuild'],
    ['trend', 'logs', '--output', 'logs/a.rebuild'],
  ]) {
    const { status, err } = shell.run(...words);
    expect({ status, err }).toEqual({
      status: 2,
      err: expect.stringContaining('it is not written over a log'),
    });
  }
  expect(shell.read('logs/a.rebuild')).toBe(before);
  expect(shell.run('compare', 'logs/a.rebuild', 'logs/b.rebuild', '--output', 'none/c.txt').err).toContain(
    'cannot be written',
  );
});
