/** What `witnessmark.json` changes, for the files below it; its own faults are on its rule's page. */
import { readFileSync } from 'node:fs';
import Ajv from 'ajv';
import { describe, expect, test } from 'vitest';
import { rules } from '../../server/rules/index.ts';
import { configurationsAbove, createWorkspace } from '../../server/workspace/index.ts';
import { generated } from '../harness/configuration-schema.ts';

const LIMITS = 'limits "Tern 460"\nlimit bore 67.500..67.520 mm wear <= 67.560 mm\n';
const WORN =
  'log "Tern 460 no. 0117"\nuse "tern.limits"\nstep "Measure" 2026-05-02\n  measure bore = 67.564 mm\n';

function checked(configuration?: string) {
  const workspace = createWorkspace();
  workspace.set('logs/tern.limits', LIMITS);
  workspace.set('logs/a.rebuild', WORN);
  if (configuration !== undefined) workspace.set('witnessmark.json', configuration);
  return workspace;
}
const severities = (workspace: ReturnType<typeof checked>) =>
  workspace.check('logs/a.rebuild')!.findings.map(({ rule, severity, lowered }) => [rule, severity, lowered]);

test('what the build makes of its shape is up to date: if not, node build.mjs', () => {
  for (const { path, text } of generated()) expect(readFileSync(path, 'utf8')).toBe(text);
});

test('the schema of the editor takes what the reader takes', () => {
  const schema = JSON.parse(readFileSync('server/workspace/witnessmark.schema.json', 'utf8'));
  const validate = new Ajv().compile(schema);
  for (const [text, right] of [
    [
      '{"severities":{"torque-order":"error","out-of-limits":"information"},"guard":2,"units":"imperial"}',
      true,
    ],
    ['{"severities":{"out-of-limits":"off"}}', false],
    ['{"severities":{"concession":"off"}}', false],
    ['{"severities":{"closed-late":"hint"}}', false],
    ['{"severities":{"past-new":"off","too-close-to-call":"hint","tool-too-coarse":"off"}}', true],
    ['{"severities":{"syntax":"warning"}}', false],
    ['{"severities":{"torque-ordr":"error"}}', false],
    ['{"guard":"much"}', false],
    ['{"exclude":"archive"}', false],
    ['[]', false],
  ] as const) {
    expect(validate(JSON.parse(text)), text).toBe(right);
    const { findings } = checked(text).check('witnessmark.json')!;
    expect(findings.length === 0, text).toBe(right);
  }
  expect(Object.keys(schema.properties.severities.properties)).toEqual(rules.map(({ id }) => id));
});

describe('severities', () => {
  test('a lowered finding says what it would have been; a raised one does not', () => {
    expect(severities(checked())).toEqual([['out-of-limits', 'error', undefined]]);
    expect(severities(checked('{"severities":{"out-of-limits":"information"}}'))).toEqual([
      ['out-of-limits', 'information', 'error'],
    ]);
  });

  test('one wrong setting leaves the others', () => {
    expect(
      severities(checked('{"unit":1,"severities":{"nothing":"error","out-of-limits":"warning"}}')),
    ).toEqual([['out-of-limits', 'warning', 'error']]);
  });

  test('the nearest file counts, and a file that changes or goes is followed', () => {
    const workspace = checked('{"severities":{"out-of-limits":"warning"}}');
    workspace.set('logs/witnessmark.json', '{"severities":{"out-of-limits":"information"}}');
    expect(severities(workspace)[0]).toEqual(['out-of-limits', 'information', 'error']);
    workspace.set('logs/witnessmark.json', '{}');
    expect(severities(workspace)[0]).toEqual(['out-of-limits', 'error', undefined]);
    workspace.remove('logs/witnessmark.json');
    expect(severities(workspace)[0]).toEqual(['out-of-limits', 'warning', 'error']);
    expect(workspace.dependents('witnessmark.json')).toEqual([
      'witnessmark.json',
      'logs/tern.limits',
      'logs/a.rebuild',
    ]);
  });

  test('one beside or above the working directory does not reach across', () => {
    const workspace = checked();
    workspace.set('../witnessmark.json', '{"severities":{"out-of-limits":"warning"}}');
    workspace.set('../other/witnessmark.json', '{"severities":{"out-of-limits":"information"}}');
    expect(severities(workspace)[0]).toEqual(['out-of-limits', 'warning', 'error']);
  });
});

test.each([
  ['logs/a.rebuild', ['logs/witnessmark.json', 'witnessmark.json', '../witnessmark.json']],
  ['../b/a.rebuild', ['../b/witnessmark.json', '../witnessmark.json', '../../witnessmark.json']],
  ['/a/b.rebuild', ['/a/witnessmark.json', '/witnessmark.json']],
  ['file:///a/b.rebuild', ['file:///a/witnessmark.json', 'file:///witnessmark.json']],
])('above %s: %j', (path, first) => {
  expect(configurationsAbove(path).slice(0, first.length)).toEqual(first);
});

test('nothing above the top of the repository', () => {
  expect(configurationsAbove('/a/b/c.rebuild', (folder) => folder === '/a')).toEqual([
    '/a/b/witnessmark.json',
    '/a/witnessmark.json',
  ]);
});
