/** Every finding that `check` prints is taken up by the manifest's problem matchers: its place, its rule, its words. */
import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import manifest from '../../package.json' with { type: 'json' };
import { openShell } from './shell.ts';

const shell = openShell();
afterAll(() => shell.close());

interface CheckedAsJson {
  readonly files: readonly {
    readonly path: string;
    readonly findings: readonly {
      readonly rule: string;
      readonly severity: string;
      readonly message: string;
      readonly line: number;
      readonly column: number;
    }[];
  }[];
}

test('each finding of the samples, once', () => {
  cpSync('samples', join(shell.folder, 'samples'), { recursive: true });
  const lines = shell.run('check').out.split('\n');
  const matched = manifest.contributes.problemMatchers.flatMap(({ pattern, ...matcher }) =>
    lines.flatMap((line) => {
      const found = new RegExp(pattern.regexp).exec(line);
      if (found === null) return [];
      const { file, line: at, column, code, message } = pattern;
      const severity = 'severity' in pattern ? found[pattern.severity!] : matcher.severity;
      return [
        [found[file], Number(found[at]), Number(found[column]), severity, found[code], found[message]].join(
          ' ',
        ),
      ];
    }),
  );
  const { files }: CheckedAsJson = JSON.parse(shell.run('check', '--format', 'json').out);
  const found = files.flatMap(({ path, findings }) =>
    findings.map(({ line, column, severity, rule, message }) => {
      const shown = severity === 'information' || severity === 'hint' ? 'info' : severity;
      return [path, line, column, shown, rule, message.split('\n')[0]].join(' ');
    }),
  );
  expect(found.length).toBeGreaterThan(30);
  expect(matched.sort()).toEqual(found.sort());
});
