/** What a log makes of parts, joints, inspections and hours: their states as the report and the editor read them. */
import { describe, expect, test } from 'vitest';
import { livesOf, logDate, machineHours, partStates, spanInWords } from '../../server/rebuild/index.ts';
import { stillDue } from '../../server/rules/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const LIMITS = `limits "Tern 460"
assembly bottom-end "Bottom end"
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m
fastener case-m6[1 2] M6 class 8.8 torque 10 ± 1 N·m
part crank-seal[front rear] "crank seal" once facing life 5 years
part plug "plug"
part bung "bung" temporary
joint case-joint sealant grey-rtv fasteners case-m8 case-m6
joint plug-joint sealant grey-rtv
sealant grey-rtv "grey RTV" # its times are for the tests of curing
limit end-float 0.10..0.30 mm of case-joint before top-end
inspection pins "Pins flush" of case-joint before case-joint
inspection seals "Seals seated" of crank-seal
assembly top-end "Top end"
part diaphragm "diaphragm" life 2 years, 200 h
part bore-gauge-ring "setting ring" temporary
stack pump = plug, diaphragm
`;

function check(entries: string, head = '') {
  const workspace = createWorkspace();
  workspace.set('tern.limits', LIMITS);
  workspace.set(
    'log.rebuild',
    `log "Check"\nuse "tern.limits"\nmachine tern-460 serial "1" hours 100.0 h\nperson JM "Jory Marsh" inspector\n${head}step "Work" 2026-05-02 14:00\n${entries}\n`,
  );
  return workspace.check('log.rebuild')!;
}

const found = (entries: string, head = '') =>
  check(entries, head)
    .findings.filter(({ rule }) => rule !== 'missing-reading' && rule !== 'missing-inspection')
    .map(({ rule }) => rule);

describe('where a part is', () => {
  const stateOf = (entries: string, name = 'plug') =>
    partStates(check(entries).rebuild).find((part) => part.name === name)!;

  test.each([
    ['', 'not-mentioned'],
    ['remove plug', 'out'],
    ['remove plug scrap', 'scrapped'],
    ['remove plug\nfit plug', 'in'],
    ['remove plug scrap\nfit plug new', 'in'],
    ['fit plug new\nremove plug', 'out'],
  ])('%j: %s', (entries, state) => {
    expect(stateOf(entries).state).toBe(state);
  });

  test('with its hours, batch and way round, kept when it comes out and goes back', () => {
    const part = stateOf(
      'fit crank-seal[front] new pn "TN-2217" batch "B40" facing "lip inward"\nrun 2 h\nremove crank-seal[front]\nfit crank-seal[front] facing "lip outward"\nrun 30 min',
      'crank-seal',
    );
    expect(part).toMatchObject({
      state: 'in',
      item: 'front',
      condition: 'reused',
      work: 'new',
      on: '2026-05-02',
      newOn: '2026-05-02',
      hours: 2.5,
      facing: 'lip outward',
      partNumber: 'TN-2217',
      batch: 'B40',
    });
  });

  test('a new one has nothing of the old', () => {
    const part = stateOf('fit plug new batch "A"\nrun 2 h\nremove plug\nfit plug new\nrun 30 min');
    expect(part).toMatchObject({ batch: undefined, hours: 0.5, condition: 'new' });
  });

  test('what an earlier log fitted is in, and ages', () => {
    const workspace = createWorkspace();
    workspace.set('tern.limits', LIMITS);
    workspace.set(
      'old.rebuild',
      'log "Old"\nuse "tern.limits"\nmachine tern-460 serial "1" hours 10 h\nperson JM "Jory Marsh" inspector\nstep "Work" 2025-01-31 14:00\nfit diaphragm new batch "D1"\nrun 1 h\nrelease JM "Done" 2025-01-31 18:00\n',
    );
    workspace.set(
      'new.rebuild',
      'log "New"\nuse "tern.limits"\nuse "old.rebuild"\nmachine tern-460 serial "1" hours 60 h\nstep "Work" 2027-02-01 14:00\nrun 1 h\n',
    );
    const checked = workspace.check('new.rebuild')!;
    const part = partStates(checked.rebuild).find(({ name }) => name === 'diaphragm');
    expect(part).toMatchObject({ state: 'in', newOn: '2025-01-31', hours: 51, batch: 'D1' });
    // Fitted before its run: at 10 h. Two years from 31 January; the day itself is still good.
    expect(part?.life).toMatchObject({ endsOn: '2027-01-31', endsAtHours: 210 });
    expect(checked.findings.map(({ rule }) => rule)).toContain('life-expired');
  });
});

describe('lives', () => {
  const lifeOf = (date: string, entries: string) => {
    const checked = check(`step "Fit" ${date}\n${entries}`);
    return livesOf(checked.rebuild).find(({ name }) => name === 'diaphragm');
  };
  test('end on the calendar, a day that a month does not have on its last, and by the hours', () => {
    expect(lifeOf('2024-02-29', 'fit diaphragm new')).toMatchObject({
      since: '2024-02-29',
      endsOn: '2026-02-28',
      sinceHours: 100,
      endsAtHours: 300,
    });
    expect(lifeOf('2026-05-03', 'run 90 min\nfit diaphragm new')?.endsAtHours).toBe(301.5);
  });
  test('are not known of an old part that no log saw new', () => {
    expect(lifeOf('2026-05-03', 'fit diaphragm reused')).toBeUndefined();
  });
  test.each([
    ['2026-05-20', '2031-05-12', '4 years 11 months'],
    ['2026-05-20', '2031-05-20', '5 years'],
    ['2026-05-20', '2026-12-19', '6 months'],
    ['2026-01-31', '2026-03-31', '2 months'],
    ['2026-05-20', '2026-07-19', '60 days'],
    ['2026-05-20', '2026-05-21', '1 day'],
    ['2026-05-20', '2026-05-20', '0 days'],
  ])('from %s to %s are %s', (from, to, words) => {
    expect(spanInWords(from, to)).toBe(words);
  });
  test('are judged on the log’s own day', () => {
    expect(logDate(check('note nothing').rebuild)).toBe('2026-05-02');
    expect(logDate(check('note nothing\nrelease JM "Done" 2026-06-01 18:00').rebuild)).toBe('2026-06-01');
  });
});

describe('hours', () => {
  test('at an entry are those at the start and the runs so far, its own included', () => {
    const { rebuild } = check('run 30 min\nnote between\nrun 1 h 20 min\nnote after');
    const hours = rebuild.entries.map((entry) => machineHours(rebuild, entry)?.toFixed(3));
    expect(hours).toEqual(['100.500', '100.500', '101.833', '101.833']);
  });
  test('are not known after a run of unknown length', () => {
    const { rebuild } = check('run 30 min\nrun ? min');
    expect(rebuild.entries.map((entry) => machineHours(rebuild, entry))).toEqual([100.5, undefined]);
  });
  test.each([
    ['100.5 h', []],
    ['100.4 h', ['hours-disagree']],
    ['100.6 h', ['hours-disagree']],
    ['101 h', []],
    ['100 h', []],
    ['102 h', ['hours-disagree']],
    ['6030 min', []],
  ])('half an hour from 100.0 h on: %s', (hours, rules) => {
    const findings = found(`run 30 min\nrelease JM "Done" 2026-06-01 18:00 hours ${hours}`);
    expect(findings.filter((rule) => rule === 'hours-disagree')).toEqual(rules);
  });
});

describe('a joint', () => {
  const jointOf = (entries: string, name = 'case-joint') => {
    const joint = check(entries).rebuild.joints.find((one) => one.name === name)!;
    return {
      closed: joint.closed?.index,
      openings: joint.openings.map(({ index }) => index),
      sealed: joint.sealed?.index,
    };
  };
  test.each([
    ['nothing is said', '', undefined, []],
    ['run down', 'finger-tight case-m8[1]\ntorque case-m8[all] to 24 N·m', 0, []],
    ['a later torque of a closed joint', 'torque case-m8[all] to 24 N·m retorque', undefined, []],
    ['a torque still to be filled in', 'torque case-m8[all] to ? N·m', undefined, []],
    [
      'one bolt touched up',
      'torque case-m8[all] to 24 N·m\nloosen case-m8[3]\ntorque case-m8[3] to 24 N·m',
      0,
      [],
    ],
    [
      'opened and closed',
      'torque case-m8[all] to 24 N·m\nloosen case-m8[all]\ntorque case-m6 to 10 N·m',
      2,
      [1],
    ],
    [
      'one group holds',
      'torque case-m8[all] to 24 N·m\ntorque case-m6 to 10 N·m\nloosen case-m8[all]',
      0,
      [],
    ],
    [
      'both groups off',
      'torque case-m8 to 24 N·m\ntorque case-m6 to 10 N·m\nloosen case-m8\nremove case-m6',
      undefined,
      [3],
    ],
    ['one after the other', 'loosen case-m8[1 2]\nloosen case-m8[3 4]\nloosen case-m6', undefined, [2]],
    ['as it came in, half of it off', 'loosen case-m8[1 2]', undefined, []],
    ['sealed over', 'torque case-m8 to 24 N·m\napply grey-rtv to case-joint', undefined, [1]],
  ] as const)('%s', (_, entries, closed, openings) => {
    expect(jointOf(entries)).toMatchObject({ closed, openings });
  });
  test('without fasteners is closed by its sealant', () => {
    expect(jointOf('apply grey-rtv to plug-joint', 'plug-joint')).toMatchObject({ closed: 0, sealed: 0 });
  });
  test('is sealed each time that it is closed', () => {
    const once = 'apply grey-rtv to case-joint\ntorque case-m8 to 24 N·m\ntorque case-m6 to 10 N·m';
    expect(jointOf(once).sealed).toBe(0);
    expect(jointOf(`${once}\nloosen case-m8\nloosen case-m6`).sealed).toBeUndefined();
    expect(found(`inspect pins pass\n${once}`)).toEqual([]);
    expect(found(`inspect pins pass\ntorque case-m8 to 24 N·m\ntorque case-m6 to 10 N·m`)).toEqual([
      'closed-uninspected',
    ]);
  });
});

describe('what had to be done before', () => {
  const CLOSE = 'apply grey-rtv to case-joint\ntorque case-m8 to 24 N·m\ntorque case-m6 to 10 N·m';
  test.each([
    ['passed before', `inspect pins pass\n${CLOSE}`, []],
    ['never done', CLOSE, ['closed-uninspected']],
    ['done after', `${CLOSE}\ninspect pins pass`, ['closed-uninspected']],
    ['failed', `inspect pins fail\n${CLOSE}`, ['inspection-failed', 'closed-uninspected']],
    ['failed, then passed', `inspect pins fail\ninspect pins pass\n${CLOSE}`, []],
    ['to be filled in', `inspect pins ?\n${CLOSE}`, ['open-item']],
    [
      'written below with an earlier time',
      `apply grey-rtv to case-joint\ntorque case-m8 to 24 N·m at 15:00\ntorque case-m6 to 10 N·m\ninspect pins pass at 14:30`,
      ['time-backwards'],
    ],
    [
      'opened since, and closed again',
      `inspect pins pass\n${CLOSE}\nloosen case-m8\nloosen case-m6\n${CLOSE}`,
      ['stale', 'closed-uninspected'],
    ],
    [
      'opened since, looked at again',
      `inspect pins pass\n${CLOSE}\nloosen case-m8\nloosen case-m6\ninspect pins pass\n${CLOSE}`,
      [],
    ],
    [
      'another’s assembly begun, and measured before',
      `inspect pins pass\n${CLOSE}\nmeasure end-float = 0.2 mm\nfit diaphragm new`,
      [],
    ],
    [
      'another’s assembly begun, and not measured',
      `inspect pins pass\n${CLOSE}\nfit diaphragm new`,
      ['closed-uninspected'],
    ],
    [
      'only as found',
      `${CLOSE}\nmeasure end-float = 0.2 mm as found\nfit diaphragm new`,
      ['closed-uninspected', 'closed-uninspected'],
    ],
    ['the case was not touched', 'fit diaphragm new', []],
    [
      'written above with a later time',
      `inspect pins pass at 16:30\napply grey-rtv to case-joint\ntorque case-m8 to 24 N·m at 15:00\ntorque case-m6 to 10 N·m`,
      ['closed-uninspected', 'time-backwards'],
    ],
    ['a temporary part begins nothing', 'fit bore-gauge-ring\nremove bore-gauge-ring', []],
    ['tried and taken out', 'fit diaphragm new\nremove diaphragm scrap', []],
  ])('%s', (_, entries, rules) => {
    expect(found(entries).toSorted()).toEqual(rules.toSorted());
  });
});

describe('what a fastener and a worked-out limit come before', () => {
  const PISTON = `log "Check"
fastener stud[1 2] M8 torque 10 ± 1 N·m before cover-joint
fastener cover[1 2] M6 torque 8 ± 1 N·m
joint cover-joint fasteners cover
part piston[front rear] "piston"
limit bore[front rear] 67.500..67.520 mm
limit skirt[front rear] 67.425..67.440 mm
limit clearance[front rear] = bore - skirt 0.060..0.120 mm before piston
step "Work" 2026-05-02 14:00
`;
  const messagesOf = (entries: string) => {
    const workspace = createWorkspace();
    workspace.set('log.rebuild', `${PISTON}${entries}\n`);
    return workspace
      .check('log.rebuild')!
      .findings.filter(({ rule }) => rule === 'closed-uninspected')
      .map(({ message }) => message.replace(/\. .*/, ''));
  };
  test.each([
    ['torque stud[1 2] to 10 N·m\ntorque cover to 8 N·m', []],
    [
      'torque stud[1] to 10 N·m\ntorque cover to 8 N·m',
      ['cover-joint was closed before stud[2] was torqued'],
    ],
    [
      'torque cover[1] to 8 N·m\ntorque stud to 10 N·m',
      ['cover-joint was closed before stud[1] and stud[2] were torqued, which was done only afterwards'],
    ],
    ['measure bore = 67.51 mm\nmeasure skirt = 67.43 mm\nfit piston', []],
    [
      'measure bore = 67.51 mm\nmeasure skirt[front] = 67.43 mm\nfit piston',
      ['piston[rear] was fitted before skirt[rear] was measured'],
    ],
    [
      'measure bore = 67.51 mm\nfit piston[front]\nmeasure skirt = 67.43 mm\nfit piston[rear]',
      ['piston[front] was fitted before skirt[front] was measured, which was done only afterwards'],
    ],
    ['measure bore = 67.51 mm\nfit piston\nremove piston\nmeasure skirt = 67.43 mm\nfit piston', []],
  ])('%j', (entries, messages) => {
    expect(messagesOf(entries)).toEqual(messages);
  });
});

describe('an inspection', () => {
  const stateOf = (entries: string, name = 'seals') => {
    const one = check(entries).rebuild.inspections.find((inspection) => inspection.name === name);
    return one?.state;
  };
  test.each([
    ['', 'not-done'],
    ['inspect seals ?', 'to-fill-in'],
    ['inspect seals pass', 'passed'],
    ['inspect seals fail', 'failed'],
    ['inspect seals pass\nremove crank-seal scrap\nfit crank-seal new', 'due-again'],
    ['remove crank-seal scrap\ninspect seals pass\nfit crank-seal new', 'passed'],
    ['inspect seals pass\nremove crank-seal\nfit crank-seal', 'passed'],
    ['inspect seals pass\nfit crank-seal reworked', 'due-again'],
  ])('%j: %s', (entries, state) => {
    expect(stateOf(entries)).toBe(state);
  });
  test('in quotes is one of its own', () => {
    expect(stateOf('inspect "Hoses" fail\ninspect "Hoses" pass\ninspect "Clamps" fail', 'Hoses')).toBe(
      'passed',
    );
    expect(found('inspect "Hoses" fail\ninspect "Clamps" pass')).toEqual(['inspection-failed']);
  });
});

describe('what is still due', () => {
  const dueOf = (entries: string, head = '') =>
    stillDue(check(entries, head).findings).map(({ rule }) => rule);
  test('is the same while the log is open and at its release', () => {
    const entries =
      'remove plug\nfit bung\ntorque case-m8[1] to 24 N·m\nopen R1 "Order a plug"\nmeasure end-float = ? mm';
    const open = dueOf(entries, 'covers bottom-end\n');
    expect(new Set(open)).toEqual(
      new Set(['not-refitted', 'left-in', 'torque-skipped', 'open-item', 'missing-inspection']),
    );
    expect(dueOf(`${entries}\nrelease JM "Done" 2026-06-01 18:00`, 'covers bottom-end\n').toSorted()).toEqual(
      open.toSorted(),
    );
  });
  test('does not hang on the configured severities', () => {
    const workspace = createWorkspace({ severities: new Map([['left-in', 'hint']]) });
    workspace.set(
      'log.rebuild',
      'log "Check"\nperson JM "Jory Marsh" inspector\npart bung "bung" temporary\nstep "Work" 2026-05-02 14:00\nfit bung\nrelease JM "Done" 2026-06-01 18:00\n',
    );
    expect(workspace.check('log.rebuild')!.findings.map(({ rule }) => rule)).toEqual([
      'left-in',
      'unmarked',
      'release-incomplete',
    ]);
  });
});

describe('an edit', () => {
  const LINES = `inspect pins pass
apply grey-rtv to case-joint
finger-tight case-m8[all]
torque case-m8[all] to 24 N·m
torque case-m6 to 10 N·m
measure end-float = 0.2 mm
loosen case-m8
loosen case-m6
apply grey-rtv to case-joint
torque case-m8[all] to 24 N·m
remove crank-seal[front rear] scrap
inspect seals fail
fit crank-seal[front] new
fit crank-seal[rear]
fit bung
run 30 min
fit diaphragm new
remove plug
fit plug`.split('\n');
  const HEAD =
    'log "Check"\nuse "tern.limits"\nmachine tern-460 serial "1" hours 100 h\ncovers bottom-end\nstep "Work" 2026-05-02 14:00\n';
  const facts = (workspace: ReturnType<typeof createWorkspace>) =>
    workspace
      .check('log.rebuild')!
      .findings.map(({ rule, severity, message, at }) => `${at.block.line} ${severity} ${rule} ${message}`)
      .toSorted();
  test('of any one line is judged as the whole text read anew', () => {
    const kept = createWorkspace();
    kept.set('tern.limits', LIMITS);
    kept.set('log.rebuild', `${HEAD}${LINES.join('\n')}\n`);
    kept.check('log.rebuild');
    for (let i = 0; i < LINES.length; i++)
      for (const line of [undefined, 'note nothing', LINES[(i + 7) % LINES.length]]) {
        const lines = line === undefined ? LINES.toSpliced(i, 1) : LINES.with(i, line);
        const text = `${HEAD}${lines.join('\n')}\n`;
        kept.set('log.rebuild', text);
        const fresh = createWorkspace();
        fresh.set('tern.limits', LIMITS);
        fresh.set('log.rebuild', text);
        expect(facts(kept)).toEqual(facts(fresh));
      }
  });
});
