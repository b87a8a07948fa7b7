/** Times of sealants: what lies between two lines of a log, and published ways to write a moment. */
import { expect, test } from 'vitest';
import { curingsOf, minutesApart } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const head = `log "Tern 460"
sealant grey-rtv "grey RTV" cure 12 h open 10 min torque cured
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m
joint case-joint sealant grey-rtv fasteners case-m8
`;

function had(body: string) {
  const workspace = createWorkspace();
  workspace.set('a.rebuild', head + body);
  const rebuild = workspace.check('a.rebuild')!.rebuild;
  const [curing] = curingsOf(rebuild);
  const torqued = curing!.closings.find((entry) => entry.kind === 'torque')!;
  return minutesApart(rebuild, curing!.applied, torqued);
}

const apply = '  apply grey-rtv to case-joint';
const torque = '  torque case-m8[all] to 24 N·m';

test('both with a time of their own: that many minutes, across midnight', () => {
  expect(
    had(`step "a" 2026-05-03 17:40\n${apply} at 17:52\nstep "b" 2026-05-04\n${torque} at 05:52\n`),
  ).toEqual({
    least: 720,
    most: 720,
  });
});

test('offsets count: 17:52+02:00 to 05:52Z is 14 hours', () => {
  expect(
    had(
      `step "a" 2026-05-03 17:52+02:00\n${apply} at 17:52\nstep "b" 2026-05-04 05:52Z\n${torque} at 05:52\n`,
    ),
  ).toEqual({ least: 840, most: 840 });
});

test('a line without a time lies after its step began and before the next that has one', () => {
  expect(
    had(
      `step "a" 2026-05-03 17:40\n${apply}\n  note x\nstep "b" 2026-05-03 18:40\n${torque}\n  finger-tight case-m8[1] at 19:00\n`,
    ),
  ).toEqual({ least: 0, most: 80 });
});

test('and no later than its day, when nothing follows', () => {
  expect(had(`step "a" 2026-05-03 17:40\n${apply} at 18:00\nstep "b" 2026-05-03 20:00\n${torque}\n`)).toEqual(
    {
      least: 120,
      most: 360,
    },
  );
});

test('days alone: anything from one day’s end to the other’s', () => {
  expect(had(`step "a" 2026-05-03\n${apply}\nstep "b" 2026-05-05\n${torque}\n`)).toEqual({
    least: 1440,
    most: 3 * 1440,
  });
});

test('nothing is said where no time is known, or where time runs backwards', () => {
  expect(had(`step "a" ?\n${apply}\n${torque}\n`)).toBeUndefined();
  expect(
    had(`step "a" 2026-05-03 17:40\n${apply} at 17:52\nstep "b" 2026-05-02 09:00\n${torque} at 09:10\n`),
  ).toBeUndefined();
});

test('a fresh application, or an opened joint, ends the one before', () => {
  const workspace = createWorkspace();
  workspace.set(
    'a.rebuild',
    `${head}step "a" 2026-05-03 17:40\n${apply} at 17:52\n  finger-tight case-m8[all]\n${apply} at 19:00\n${torque}\n`,
  );
  const curings = curingsOf(workspace.check('a.rebuild')!.rebuild);
  expect(curings.map(({ closings }) => closings.map(({ kind }) => kind))).toEqual([
    ['finger-tight'],
    ['torque'],
  ]);
});
