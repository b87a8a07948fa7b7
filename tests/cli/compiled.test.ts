/** The command line started from what its bundles were compiled to. */
import { readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { scriptOf } from '../../server/cli/compiled.ts';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeAll(() => {
  shell = openShell();
});
afterAll(() => shell.close());

const LOG = `log "Tern 460 no. 0117"
fastener cover[1..6] M6 torque 10 ± 1 N·m
step "Close" 2026-05-03 17:40
  torque cover[1..5] to 10 N·m (88 ft·lbf)
`;

const compiled = () =>
  readdirSync(dirname(shell.cli))
    .filter((name) => name.endsWith('.compiled'))
    .map((name) => join(dirname(shell.cli), name));

test.each(['core', 'commands', 'documents', 'protocol', 'server'])(
  '%s.cjs was compiled for this Node, and that is taken',
  (name) => {
    expect(scriptOf(join(dirname(shell.cli), `${name}.cjs`)).cachedDataRejected).toBe(false);
  },
);

test('what is found is the same with it, with one that is broken, and without it', () => {
  shell.write('a.rebuild', LOG);
  const said = () => [shell.run('check', 'a.rebuild'), shell.run('report', 'a.rebuild')];
  const first = said();
  expect(first[0]?.out).toContain('88 in·lbf was probably meant');
  for (const file of compiled()) writeFileSync(file, 'no code');
  expect(said()).toEqual(first);
  for (const file of compiled()) rmSync(file);
  expect(compiled()).toEqual([]);
  expect(said()).toEqual(first);
});
