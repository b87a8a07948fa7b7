/** The help of every command and its manual page: all of it there, true, and nearest words offered. */
import { spawnSync } from 'node:child_process';
import { globSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

const COMMANDS = [
  'check',
  'compare',
  'format',
  'convert',
  'explain',
  'due',
  'report',
  'trend',
  'worksheet',
  'export',
  'mark',
  'verify',
  'completion',
  'server',
  'help',
];

let shell: Shell;
beforeAll(() => {
  shell = openShell();
});
afterAll(() => shell.close());

/** The lines below a heading of a help text. */
function section(help: string, title: string): string {
  return new RegExp(`^${title}:\\n((?:  .*\\n|\\n(?=  ))*)`, 'm').exec(help)?.[1] ?? '';
}
const optionsIn = (help: string) =>
  [...section(help, 'Options').matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map((match) => match[1]!);

test('the help lists the commands, and only these', () => {
  const listed = [...section(shell.run('help').out, 'Commands').matchAll(/^ {2}([a-z]+) /gm)];
  expect(listed.map((match) => match[1])).toEqual(COMMANDS);
});

describe.each(COMMANDS)('%s', (name) => {
  let help: string;
  beforeAll(() => {
    help = shell.run('help', name).out;
  });

  test('help NAME and NAME --help are one, and no line is wide', () => {
    expect(shell.run(name, '--help')).toEqual({ status: 0, out: help, err: '' });
    const wide = help
      .split('\n')
      // A command line is not broken.
      .filter((line) => line.length > 80 && !/^ {2}(?:witnessmark|git) |^See also/.test(line));
    expect(wide).toEqual([]);
  });

  test('what it does, exit statuses, examples with what each does, other commands', () => {
    expect(help).toMatch(new RegExp(`^Usage: witnessmark ${name}\\b.*\\n\\n[A-Z][^.]*\\.`));
    expect(section(help, 'Exit status')).toMatch(/^ {2}0 {2}\S/);
    const examples = section(help, 'Examples').trimEnd().split('\n');
    expect(examples.length).toBeGreaterThan(1);
    for (const [i, line] of examples.entries())
      if (/^ {2}\S/.test(line)) expect(examples[i + 1]).toMatch(/^ {6}\S/);
    const others = [.../^See also: (.*)$/m.exec(help)![1]!.matchAll(/witnessmark help ([a-z]+)/g)];
    expect(others.length).toBeGreaterThan(0);
    for (const [, other] of others) expect(COMMANDS.filter((one) => one !== name)).toContain(other);
  });

  test('its examples use only options that there are', () => {
    const options = optionsIn(help);
    const used = [...section(help, 'Examples').matchAll(/^ {2}witnessmark ([a-z]+) (.*)$/gm)].filter(
      (match) => match[1] === name,
    );
    for (const [, , words] of used)
      for (const [option] of words!.matchAll(/(?<=^| )--[a-z-]+/g)) expect(options).toContain(option);
  });

  test('every option and argument says what it is; a choice says its default', () => {
    for (const title of ['Options', 'Arguments'])
      for (const entry of section(help, title)
        .split(/\n(?= {2}\S)/)
        .filter((one) => one.trim() !== ''))
        expect(entry).toMatch(/^ {2}\S.*(?: {2,}|\n\s+)\S/);
    for (const entry of section(help, 'Options').split(/\n(?= {2}\S)/))
      if (/^ {2}--(?:format|fail-on) /.test(entry)) expect(entry.replace(/\s+/g, ' ')).toContain('default');
  });

  test('its manual page has all of it', () => {
    const page = readFileSync(join(dirname(shell.cli), 'man', `witnessmark-${name}.1`), 'utf8');
    for (const title of ['NAME', 'SYNOPSIS', 'DESCRIPTION', 'OPTIONS', 'EXIT STATUS', 'EXAMPLES', 'SEE ALSO'])
      expect(page).toContain(`\n.SH ${title}\n`);
    for (const option of optionsIn(help)) expect(page).toContain(option.replaceAll('-', '\\-'));
    // Older formatters know no UTF-8.
    expect(page).toMatch(/^[\n -~]+$/);
  });
});

test('the package names every manual page, and no other', () => {
  const { man } = JSON.parse(readFileSync('package.json', 'utf8')) as { man: readonly string[] };
  const built = globSync('*.1', { cwd: join(dirname(shell.cli), 'man') });
  expect([...man].sort()).toEqual(built.map((name) => `./dist/man/${name}`).sort());
  expect(built).toHaveLength(COMMANDS.length + 1);
});

/** A formatter of this machine, with how it is asked for its complaints. */
const formatter = [
  ['mandoc', '-T', 'lint', '-W', 'warning'],
  ['groff', '-man', '-Tutf8', '-ww'],
].find(([name = '']) => spawnSync(name, ['--version']).error === undefined);

// Where neither is installed the report says that this is skipped.
test.skipIf(formatter === undefined)('mandoc or groff takes every manual page without a word', () => {
  const [name = '', ...words] = formatter!;
  const folder = join(dirname(shell.cli), 'man');
  for (const page of globSync('*.1', { cwd: folder })) {
    const { status, stderr, stdout } = spawnSync(name, [...words, page], { cwd: folder, encoding: 'utf8' });
    expect([page, status, stderr]).toEqual([page, 0, '']);
    if (name === 'mandoc') expect([page, stdout]).toEqual([page, '']);
  }
});

describe('a word nearly right', () => {
  test.each([
    [['chekc'], /unknown command 'chekc'.*Did you mean check\?/],
    [['help', 'reprot'], /there is no command reprot\. Did you mean report\?/],
    [['check', '--basline', 'x'], /Did you mean --baseline\?/],
    [['check', '--format', 'sarf'], /not sarf\. Did you mean sarif\?/],
    [
      ['check', '--fail-on', 'warnings'],
      /takes error, warning or never, not warnings\. Did you mean warning\?/,
    ],
    [['compare', 'a', 'b', '--format', 'jsn'], /Did you mean json\?/],
    [['export', '--schema', 'jsn'], /takes json or sql, not jsn\. Did you mean json\?/],
    [['completion', 'zhs'], /takes bash, zsh or fish, not zhs\. Did you mean zsh\?/],
    [['explain', 'torque-skiped'], /Did you mean torque-skipped\?/],
  ])('%j', (words, said) => {
    const { status, out, err } = shell.run(...words);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(said);
    expect(err).toMatch(/^witnessmark: [^\n]+\n$/);
  });

  test('nothing is offered where nothing is near', () => {
    expect(shell.run('check', '--format', 'parchment').err).not.toContain('Did you mean');
    expect(shell.run('help', 'parchment').err).toBe('witnessmark: there is no command parchment.\n');
  });
});
