/** The JSON of the commands has every field that its page names, and no other. */
import { cpSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openShell, type Shell } from './shell.ts';

let shell: Shell;
beforeAll(() => {
  shell = openShell();
  cpSync('samples', shell.folder, { recursive: true });
  // A marked reading that was changed by one digit, and enough readings for a line.
  const released = shell.read('tern-460/0117-second-rebuild.rebuild');
  shell.write(
    'tern-460/changed.rebuild',
    released.replace('measure crank-runout = 0.03 mm', 'measure crank-runout = 0.04 mm'),
  );
  for (const [i, runout] of ['0.010', '0.020', '0.031', '0.040'].entries())
    shell.write(
      `wear/${i}.rebuild`,
      `log "x"\nlimit crank-runout 0..0.050 mm wear <= 0.080 mm\nmachine tern-460 serial "9" hours ${100 * i} h\nstep "Work" 2026-05-03\n  measure crank-runout = ${runout} mm\n`,
    );
});
afterAll(() => shell.close());

const page = readFileSync('server/documents/json.md', 'utf8');

/** The names between backquotes in the section of a command. */
function named(command: string): ReadonlySet<string> {
  const section = page.split(`\n## ${command}\n`)[1]?.split('\n## ')[0] ?? '';
  return new Set([...section.matchAll(/`([A-Za-z]+)`/g)].map((match) => match[1]!));
}

/** The names of all fields of a value, however deep. */
function fields(value: unknown, found = new Set<string>()): ReadonlySet<string> {
  if (Array.isArray(value)) for (const one of value) fields(one, found);
  else if (typeof value === 'object' && value !== null)
    for (const [key, one] of Object.entries(value)) {
      found.add(key);
      fields(one, found);
    }
  return found;
}

/** Words of the page that are values of a field, not fields. */
const values: Readonly<Record<string, readonly string[]>> = {
  compare: [
    'log',
    'readings',
    'torques',
    'parts',
    'inspections',
    'concessions',
    'findings',
    'limits',
    'worse',
    'better',
    'changed',
    'null',
  ],
  trend: ['found', 'left', 'null'],
  due: ['life', 'retorque', 'calibration', 'concession'],
  verify: ['sign', 'release', 'digits', 'null', 'use', 'photo'],
};

test.each([
  ['compare', 'tern-460/0122-first-rebuild.rebuild', 'tern-460/0117-second-rebuild.rebuild'],
  ['trend', '.'],
  ['due', '.', '--on', '2026-11-25'],
  ['verify', '.'],
])('%s', (command, ...words) => {
  const { out, err } = shell.run(command, ...words, '--format', 'json');
  expect(err).toBe('');
  const written = fields(JSON.parse(out));
  const told = named(command);
  expect([...written].filter((name) => !told.has(name))).toEqual([]);
  expect([...told].filter((name) => !written.has(name) && !values[command]!.includes(name))).toEqual([]);
});
