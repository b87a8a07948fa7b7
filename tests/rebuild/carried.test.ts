/** What a log takes over from the released logs before it. */
import { describe, expect, test } from 'vitest';
import { acceptedAt, machineHours, stillWaiting } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const TABLE = `limits "Tern 460"
part cylinder[front rear] "cylinder"
part seal[front rear] "seal" life 5 years, 500 h
fastener head[1..3] M8 torque 22 ± 1 N·m retorque 5 h
fastener case[1..3] M8 torque 24 ± 1 N·m
limit bore[front rear] 67.500..67.520 mm of cylinder
limit bore[front rear] 67.750..67.770 mm of cylinder for cylinder os1
limit float <= 0.3 mm
`;
const FIRST = `log "First"
use "tern.limits"
machine tern serial "0117" hours 300.0 h
person JM "Jory Marsh" inspector
step "Build" 2026-01-10 09:00
  fit cylinder[rear] new grade os1 pn "TN-1" batch "B1"
  fit cylinder[front] reused
  run 30 min
  fit seal[front rear] new
  torque head[1..3] to 22 N·m
  torque case[1..3] to 24 N·m
  measure float = 0.4 mm
  accept float because "shim ordered" by JM
  run 1 h
release JM "Done" 2026-01-12 18:00
`;
const SECOND = `log "Second"
use "first.rebuild"
machine tern serial "0117"
person JM "Jory Marsh" inspector
step "Head" 2026-03-10 09:00
  remove seal[rear] scrap
  fit cylinder[rear] reused
  torque head[1 2] to 22 N·m retorque
  run 2 h
release JM "Done" 2026-03-12 18:00 hours 303.6 h
`;
const THIRD = `log "Third"
use "second.rebuild"
machine tern serial "0117"
step "Look" 2026-05-10 09:00
  measure bore[rear] = 67.760 mm
  measure bore[front] = 67.510 mm
`;

function logs(texts: Readonly<Record<string, string>>) {
  const workspace = createWorkspace();
  const all = {
    'tern.limits': TABLE,
    'first.rebuild': FIRST,
    'second.rebuild': SECOND,
    'third.rebuild': THIRD,
  };
  for (const [path, text] of Object.entries({ ...all, ...texts })) workspace.set(path, text);
  return workspace;
}
const rebuildOf = (path: string, texts: Readonly<Record<string, string>> = {}) =>
  logs(texts).check(path)!.rebuild;

test('hours go on from the release, as stated there or as the runs make them', () => {
  expect(rebuildOf('second.rebuild').carried!.hours).toBe(301.5);
  expect(machineHours(rebuildOf('second.rebuild'))).toBe(303.5);
  expect(rebuildOf('third.rebuild').carried!.hours).toBe(303.6);
});

test('the hours that a log states itself go before those of the log before it', () => {
  const stated = SECOND.replace('serial "0117"', 'serial "0117" hours 310 h');
  expect(machineHours(rebuildOf('second.rebuild', { 'second.rebuild': stated }))).toBe(312);
});

test('parts that are in carry over with the day and the hours when they were new', () => {
  const { parts } = rebuildOf('second.rebuild').carried!;
  expect(parts.get('seal')!.map(({ item, newOn, newAtHours }) => [item, newOn!.date, newAtHours])).toEqual([
    ['front', '2026-01-10', 300.5],
    ['rear', '2026-01-10', 300.5],
  ]);
  expect(parts.get('cylinder')).toMatchObject([
    { item: 'front', newSince: undefined, newAtHours: undefined },
    { item: 'rear', grade: 'os1', partNumber: 'TN-1', batch: 'B1', newAtHours: 300 },
  ]);
});

test('through a log between: what it removed is gone, what it put back is what it was', () => {
  const { parts, logs: chain } = rebuildOf('third.rebuild').carried!;
  expect(chain.map(({ path }) => path)).toEqual(['first.rebuild', 'second.rebuild']);
  expect(parts.get('seal')!.map(({ item, newAtHours }) => [item, newAtHours])).toEqual([['front', 300.5]]);
  expect(parts.get('cylinder')!.find(({ item }) => item === 'rear')).toMatchObject({
    grade: 'os1',
    newAtHours: 300,
    fitted: { path: 'second.rebuild' },
    newSince: { path: 'first.rebuild' },
  });
});

test('the grade that is fitted says which limit holds', () => {
  const findings = logs({})
    .check('third.rebuild')!
    .findings.map(({ rule }) => rule);
  expect(findings).not.toContain('out-of-limits');
});

test('fasteners that wait for a later torque, with the hours of the first; those without an interval do not', () => {
  const { torques } = rebuildOf('second.rebuild').carried!;
  expect(torques.get('head')!.map(({ item, atHours }) => [item, atHours])).toEqual([
    ['1', 300.5],
    ['2', 300.5],
    ['3', 300.5],
  ]);
  expect(torques.has('case')).toBe(false);
  expect(
    rebuildOf('third.rebuild')
      .carried!.torques.get('head')!
      .map(({ item }) => item),
  ).toEqual(['3']);
});

test('a fastener loosened and torqued in a later log waits anew, from there', () => {
  const second = SECOND.replace(
    'torque head[1 2] to 22 N·m retorque',
    'loosen head[1]\n  torque head[1] to 22 N·m',
  );
  const waiting = rebuildOf('third.rebuild', { 'second.rebuild': second }).carried!.torques.get('head')!;
  expect(new Map(waiting.map(({ item, atHours }) => [item, atHours]))).toEqual(
    new Map([
      ['1', 301.5],
      ['2', 300.5],
      ['3', 300.5],
    ]),
  );
});

test('torqued again at the final value in a later log, without a word: that was the later torque', () => {
  const second = SECOND.replace(' retorque', '');
  const waiting = rebuildOf('third.rebuild', { 'second.rebuild': second }).carried!.torques.get('head')!;
  expect(waiting.map(({ item }) => item)).toEqual(['3']);
});

test('what still waits in a log: not what it torqued again or undid', () => {
  expect(stillWaiting(rebuildOf('second.rebuild')).map(({ item }) => item)).toEqual(['3']);
  const undone = SECOND.replace('torque head[1 2] to 22 N·m retorque', 'loosen head[all]');
  expect(stillWaiting(rebuildOf('second.rebuild', { 'second.rebuild': undone }))).toEqual([]);
  expect(stillWaiting(rebuildOf('first.rebuild'))).toEqual([]);
});

test('concessions', () => {
  expect(rebuildOf('third.rebuild').carried!.concessions.get('float')).toMatchObject([
    { item: '', entry: { kind: 'accept', path: 'first.rebuild' } },
  ]);
});

test('a concession carries over for what is past its limit, not for the members beside it', () => {
  const workspace = createWorkspace();
  const head =
    'machine tern serial "1" hours 100 h\nperson JM "Jory Marsh" inspector\nlimit gap[1..2] 0.2..0.4 mm\n';
  workspace.set(
    'a.rebuild',
    `log "A"\n${head}step "Measure" 2026-01-10 09:00\n  measure gap[1] = 0.5 mm\n  measure gap[2] = 0.3 mm\n  accept gap because "winter" by JM until 110 h\nrelease JM "ok" 2026-01-10 12:00\n`,
  );
  workspace.set('b.rebuild', `log "B"\nuse "a.rebuild"\n${head.replace('100 h', '120 h')}`);
  const { rebuild, findings } = workspace.check('b.rebuild')!;
  expect(rebuild.carried!.concessions.get('gap')!.map(({ item }) => item)).toEqual(['1']);
  expect(findings.filter(({ rule }) => rule === 'concession').map(({ message }) => message)).toEqual([
    expect.stringMatching(/^gap\[1\] was accepted by JM: "winter", until 110 h/),
  ]);
});

describe('nothing carries over', () => {
  test.each([
    ['not released', { 'first.rebuild': FIRST.replace(/release.*\n/, '') }],
    ['another serial', { 'first.rebuild': FIRST.replace('"0117"', '"0118"') }],
    ['another machine', { 'first.rebuild': FIRST.replace('machine tern', 'machine tern-two') }],
    ['a log that uses itself', { 'first.rebuild': FIRST.replace('tern.limits', 'second.rebuild') }],
  ])('%s', (_, texts) => {
    expect(rebuildOf('second.rebuild', texts).carried).toBeUndefined();
  });
});

test('an edit of the earlier log is seen in the later one, and it is as if both were read afresh', () => {
  const workspace = logs({});
  expect(workspace.check('third.rebuild')!.rebuild.carried!.parts.get('seal')).toHaveLength(1);
  const first = FIRST.replace('fit seal[front rear] new', 'fit seal[rear] new').replace(
    'grade os1',
    'grade os2',
  );
  workspace.set('first.rebuild', first);
  const after = workspace.check('third.rebuild')!;
  const fresh = logs({ 'first.rebuild': first }).check('third.rebuild')!;
  const told = ({ findings }: typeof after) => findings.map(({ rule, message }) => [rule, message]);
  expect(told(after)).toEqual(told(fresh));
  expect(after.findings.map(({ rule }) => rule)).toContain('out-of-limits');
  expect(after.rebuild.carried!.parts.get('seal')).toEqual([]);
});

test('a concession ends with the part that it speaks of, in its own log and in a later one', () => {
  const first = FIRST.replace(
    'measure float = 0.4 mm\n',
    'measure float = 0.4 mm\n  measure bore[front] = 67.53 mm\n  accept bore[front] because "deglazed only" by JM\n',
  );
  const accepted = (path: string, texts: Readonly<Record<string, string>>) =>
    acceptedAt(
      rebuildOf(path, texts)
        .characteristics.find(({ name }) => name === 'bore')!
        .instances.find(({ item }) => item === 'front')!,
    )?.path;
  expect(accepted('first.rebuild', { 'first.rebuild': first })).toBe('first.rebuild');
  expect(accepted('third.rebuild', { 'first.rebuild': first })).toBe('first.rebuild');
  const replaced = `${first.replace(/release.*\n/, '')}  remove cylinder[front] scrap\n  fit cylinder[front] new\n`;
  expect(accepted('first.rebuild', { 'first.rebuild': replaced })).toBeUndefined();
  for (const condition of ['new', 'reworked']) {
    const second = SECOND.replace(
      'remove seal[rear]',
      `fit cylinder[front] ${condition}\n  remove seal[rear]`,
    );
    expect(accepted('third.rebuild', { 'first.rebuild': first, 'second.rebuild': second })).toBeUndefined();
  }
  const put = SECOND.replace('remove seal[rear]', 'fit cylinder[front] reused\n  remove seal[rear]');
  expect(accepted('third.rebuild', { 'first.rebuild': first, 'second.rebuild': put })).toBe('first.rebuild');
});

test('a concession for a place carries over for that place alone, and a later one for it takes its place', () => {
  const table = 'limits "Tern 460"\nlimit journal[1 2] @ (x y) 41.95..41.98 mm wear >= 41.90 mm\n';
  const log = (uses: string, entries: string) =>
    `log "A"\nuse "tern.limits"\n${uses}machine tern serial "0117" hours 300.0 h
person JM "Jory Marsh" inspector
step "Measure" 2026-01-10 09:00
${entries}release JM "Done" 2026-01-11 09:00 hours 300.0 h
`;
  const workspace = createWorkspace();
  workspace.set('tern.limits', table);
  workspace.set(
    'a.rebuild',
    log(
      '',
      '  measure journal[1] @ (x y) = 41.89 mm\n  accept journal[1] @ x because "first" by JM until 350 h\n',
    ),
  );
  workspace.set(
    'b.rebuild',
    log(
      'use "a.rebuild"\n',
      '  measure journal[1] @ y = 41.89 mm\n  accept journal[1] @ y because "second" by JM\n',
    ),
  );
  workspace.set('c.rebuild', log('use "b.rebuild"\n', '  accept journal[1] @ x because "third" by JM\n'));
  const accepted = (path: string) => {
    const instance = workspace
      .check(path)!
      .rebuild.characteristics.find(({ name }) => name === 'journal')!
      .instances.find(({ item }) => item === '1')!;
    return ['x', 'y', undefined].map((place) => acceptedAt(instance, place)?.path);
  };
  expect(accepted('a.rebuild')).toEqual(['a.rebuild', undefined, undefined]);
  expect(accepted('b.rebuild')).toEqual(['a.rebuild', 'b.rebuild', undefined]);
  expect(accepted('c.rebuild')).toEqual(['c.rebuild', 'b.rebuild', undefined]);
});
