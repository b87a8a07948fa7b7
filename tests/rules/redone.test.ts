/** What went wrong and was done again is put right: a log that says so has nothing to find but what still stands. */
import { expect, test } from 'vitest';
import { createWorkspace } from '../../server/workspace/index.ts';

const HEAD = `log "Tern 460 no. 0117"
person JM "Jory Marsh" inspector
person AQ "Ada Quill" builder
tool TW1 "wrench" range 10..60 N·m accuracy 4 % length 300 mm due 2026-06-01
tool TW2 "small wrench" range 2..10 N·m accuracy 6 % length 180 mm
tool M1 "micrometer" range 0..25 mm resolution 0.01 mm due 2026-01-01
tool M2 "micrometer" range 0..25 mm resolution 0.01 mm due 2027-01-01
sealant rtv "RTV" cure 12 h open 10 min torque cured
sealant blue "threadlocker" cure 6 h open 10 min torque wet
fastener case[1..4] M8 class 8.8 torque 24 ± 2 N·m stages 12 N·m, 24 N·m order cross layout circle lubricant oiled
fastener m6[1..2] M6 class 8.8 torque 10 ± 1 N·m
fastener m5[1..2] M5 class 8.8 torque 5 ± 0.5 N·m lock blue
fastener nut[1..2] M8 class 8.8 torque 22 ± 2 N·m drag 1.5..6 N·m
fastener bolt[1..2] M8 class 8.8 torque 24 ± 2 N·m once
joint j sealant rtv fasteners case
inspection pins "Pins flush" needs inspector before j
part body "pump body"
part gasket "gasket" once
part seal "seal" once facing
part cover "cover"
stack pump = body, gasket, cover
limit gap 1..2 mm
`;
const WRONG = `step "Wrong" 2026-05-02 10:00 by AQ
  remove cover
  remove gasket scrap
  remove body
  fit body
  fit cover
  fit gasket
  fit seal new
  inspect pins pass by AQ
  apply rtv to j at 10:00
  torque case[1 2 3 4] to 24 N·m with TW1 at 10:30 lubricant moly
  run 5 min "does it turn" at 10:40
  torque m6[1] to 9 N·m with TW1
  torque m6[2] to 88 ft·lbf with TW1 adapter 40 mm, 0 ° set 88 N·m
  apply blue to m5[1 2] at 11:00
  torque m5[1 2] to 5 N·m at 11:30
  torque nut[1 2] to 22 N·m drag 0.8 N·m
  torque bolt[1 2] to 24 N·m
  loosen bolt[1 2]
  torque bolt[1 2] to 24 N·m
  measure gap = 1.5 mm with M1
`;
const RIGHT = `step "Right" 2026-05-03 10:00 by AQ with TW1
  remove cover
  remove gasket
  fit gasket new
  fit cover
  remove seal
  fit seal new facing "lip in"
  loosen case[all] because "all wrong"
  inspect pins pass by JM
  apply rtv to j at 10:05
  finger-tight case[all] at 10:10
  torque m6[1] to 9 N·m with TW2
  fit m6[2] new
  torque m6[2] to 10 N·m
  loosen m5[1 2]
  apply blue to m5[1 2] at 11:00
  torque m5[1 2] to 5 N·m with TW2 at 11:05
  fit nut[1 2] new
  torque nut[1 2] to 22 N·m drag 2.2 N·m
  fit bolt[1 2] new
  torque bolt[1 2] to 24 N·m
  measure gap = 1.5 mm with M2 as corrected because "the other was out of date"
step "Torque" 2026-05-04 10:00 by AQ with TW1
  torque case[1 3 2 4] to 12 N·m lubricant oiled
  torque case[1 3 2 4] to 24 N·m lubricant oiled
`;
const RELEASE = 'release JM "Returned to service" 2026-05-05 10:00\n';

function rulesFound(text: string): string[] {
  const workspace = createWorkspace();
  workspace.set('log.rebuild', text);
  const { findings } = workspace.check('log.rebuild')!;
  return [...new Set(findings.filter(({ severity }) => severity !== 'hint').map(({ rule }) => rule))].sort();
}

test('everything is told while it stands', () => {
  expect(rulesFound(HEAD + WRONG)).toEqual([
    'calibration-expired',
    'closed-late',
    'drag-out-of-range',
    'exceeds-thread',
    'facing-missing',
    'fastener-reused',
    'lubricant-differs',
    'needs-inspector',
    'once-reused',
    'run-before-cure',
    'stack-order',
    'stage-skipped',
    'tool-out-of-range',
    'torque-before-cure',
    'torque-order',
    'torque-out-of-spec',
    'torque-skipped',
    'unit-slip',
    'wrench-setting',
  ]);
});

test('nothing is once it is done again, and the log can be released', () => {
  expect(rulesFound(HEAD + WRONG + RIGHT + RELEASE)).toEqual([]);
});

test('a line that only part of is done again still stands', () => {
  const half = RIGHT.replace('fit m6[2] new\n', '').replace('fit nut[1 2] new', 'fit nut[1] new');
  expect(rulesFound(HEAD + WRONG + half)).toEqual(
    expect.arrayContaining(['exceeds-thread', 'torque-out-of-spec']),
  );
  const loosened = RIGHT.replace('loosen case[all]', 'loosen case[1 2 3]');
  expect(rulesFound(HEAD + WRONG + loosened)).toEqual(
    expect.arrayContaining(['lubricant-differs', 'stage-skipped', 'torque-order']),
  );
});

test('each of four lines that say the same is told', () => {
  const told = (line: string, rule: string) => {
    const workspace = createWorkspace();
    workspace.set('log.rebuild', `${HEAD}step "Measure" 2026-05-02 10:00 by AQ\n${`${line}\n`.repeat(4)}`);
    return workspace.check('log.rebuild')!.findings.filter((finding) => finding.rule === rule).length;
  };
  expect(told('  measure gap = 15 mm', 'unit-slip')).toBe(4);
  expect(told('  measure gap = 30 mm with M2', 'tool-out-of-range')).toBe(4);
});
