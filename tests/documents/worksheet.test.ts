/** Blank logs: they parse, keep their layout, miss nothing of the table and claim nothing. */
import { describe, expect, test } from 'vitest';
import { format, parse } from '../../grammar/index.ts';
import { planWorksheet, worksheetHtml, worksheetText } from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

const tables = ['tern-460/tern-460.limits', 'pump-gearbox/gearbox.limits'];

function blankLog(table: string, covers?: readonly string[]) {
  const workspace = sampleWorkspace();
  const { scope } = checkedIn(workspace, table).rebuild;
  const source = { path: table.split('/')[1]!, scope, ...(covers === undefined ? {} : { covers }) };
  return { workspace, source, text: worksheetText(source) };
}

/** The log with the comments of undone work made into statements, as a builder does. */
const uncommented = (text: string) =>
  text.replace(/^( *)# (?=(?:remove|fit|apply|finger-tight|run) )/gm, '$1');

function checkBeside(table: string, text: string, uses = '') {
  const { workspace } = blankLog(table);
  const path = table.replace(/[^/]*$/, 'blank.rebuild');
  workspace.set(path, text.replace(/^use .*$/m, `$&${uses}`));
  return checkedIn(workspace, path);
}

describe.each(tables)('%s', (table) => {
  test('the blank log is laid out canonically and has nothing to find but what is to be filled in', () => {
    const { text } = blankLog(table);
    expect(format(parse(text))).toBe(text);
    const { findings, rebuild } = checkBeside(table, text);
    expect(new Set(findings.map((finding) => finding.severity))).toEqual(new Set(['information']));
    const due = ['open-item', 'missing-reading', 'torque-skipped', 'missing-inspection', 'unlocked'];
    expect(findings.filter((finding) => !due.includes(finding.rule))).toEqual([]);
    expect(rebuild.state).toBe('open');
  });

  test('nothing in it says that anything was done', () => {
    const { rebuild } = checkBeside(table, blankLog(table).text);
    expect(rebuild.fastenerGroups.filter((group) => group.touched)).toEqual([]);
    expect(rebuild.parts.filter((part) => part.members.some((member) => member.events.length > 0))).toEqual(
      [],
    );
    const read = rebuild.entries.flatMap((entry) => entry.readings).filter((reading) => !reading.placeholder);
    expect(read).toEqual([]);
  });

  test('every reading, place, fastener, inspection, part and joint of the table comes in it', () => {
    const { text } = blankLog(table);
    const { rebuild } = checkBeside(table, uncommented(text), '\nuse "harbour.bench"\nuse "imperial.bench"');
    for (const one of rebuild.characteristics)
      for (const instance of one.instances) {
        if (one.derived) expect(text).toContain(`# Worked out: ${one.name} `);
        else {
          const places = instance.declaration.places.items;
          const asked = instance.readings.map(({ reading }) => reading.place);
          expect([one.name, instance.item, asked]).toEqual([
            one.name,
            instance.item,
            places.length > 0 ? places : [''],
          ]);
        }
      }
    for (const group of rebuild.fastenerGroups) {
      const torques = rebuild.entries.filter(
        (entry) => entry.kind === 'torque' && entry.targets[0]?.name === group.name,
      );
      expect([group.name, torques.length]).toEqual([group.name, group.stageCount]);
      for (const entry of torques)
        expect([...entry.targets[0]!.items].sort()).toEqual([...group.declaration.space.items].sort());
    }
    for (const part of rebuild.parts)
      for (const member of part.members)
        expect([part.name, member.item, member.events.map((event) => event.kind).sort()]).toEqual([
          part.name,
          member.item,
          ['fit', 'remove'],
        ]);
    const inspected = rebuild.entries
      .filter((entry) => entry.kind === 'inspect')
      .map((entry) => entry.statement.subject?.text);
    expect(inspected.sort()).toEqual([...rebuild.scope.inspections.keys()].sort());
  });

  test('the lines behind a # are statements that parse and name what is declared', () => {
    const { text } = blankLog(table);
    const checked = checkBeside(table, uncommented(text), '\nuse "harbour.bench"\nuse "imperial.bench"');
    const wrong = checked.findings.filter((finding) =>
      ['syntax', 'unknown-name', 'missing-unit', 'misplaced', 'stack-order', 'closed-uninspected'].includes(
        finding.rule,
      ),
    );
    // Only the register that the folder has can be read.
    expect(wrong.map((finding) => finding.message)).toEqual([]);
  });

  test('the bench card has the same lines', () => {
    const { source } = blankLog(table);
    const html = worksheetHtml(source);
    const lines = planWorksheet(source).steps.flatMap((step) => step.lines);
    expect(html.match(/<tr><th scope="row">[^<]*<\/th><td class="asked">/g)).toHaveLength(lines.length);
  });
});

test('joints are inspected before they are sealed, run down before they are torqued, and measured at last', () => {
  const { text } = blankLog('tern-460/tern-460.limits');
  const order = [
    'fit crank-seal',
    'inspect pins-flush',
    'apply grey-rtv to case-joint',
    'finger-tight case-m8',
    'stage 1',
    'stage 2',
    'measure crank-end-float',
    'inspect crank-free',
  ].map((line) => text.indexOf(line));
  expect(order).toEqual([...order].sort((a, b) => a - b));
  expect(order).not.toContain(-1);
  expect(text).toContain('torque case-m8[5 6 4 7 3 8 2 9 1 10] to ? N·m stage 1 # 12 N·m (ref 4.1)');
});

test('what must be inspected before a part is fitted comes before it; a sealant on threads before the torque', () => {
  const { text } = blankLog('tern-460/tern-460.limits');
  expect(text.indexOf('inspect diaphragm')).toBeLessThan(text.indexOf('# fit pump-cover'));
  expect(text.indexOf('# fit diaphragm-clear')).toBeLessThan(text.indexOf('inspect diaphragm'));
  expect(text.indexOf('# apply thread-blue to reed-m5')).toBeLessThan(text.indexOf('torque reed-m5'));
  expect(text.indexOf('# apply cotter to hub-nut')).toBeGreaterThan(text.indexOf('torque hub-nut'));
});

test('only the assemblies that are wanted', () => {
  const { text } = blankLog('tern-460/tern-460.limits', ['fuel']);
  expect(text).toContain('covers fuel\n');
  expect(text).toContain('measure reed-gap');
  expect(text).not.toContain('case-m8');
});

test('a title with quotes and a table without assemblies', () => {
  const workspace = createWorkspace();
  workspace.set('3 odd.limits', 'limits "The \\"old\\" pump"\nlimit gap 1..2 mm\npart seal once\n');
  const { scope } = checkedIn(workspace, '3 odd.limits').rebuild;
  const text = worksheetText({ path: '3 odd.limits', scope });
  expect(text).toContain('log "The \\"old\\" pump: ?"\nuse "3 odd.limits"\nmachine odd serial ? hours ? h\n');
  expect(text).not.toContain('covers');
  workspace.set('new.rebuild', text);
  const rules = checkedIn(workspace, 'new.rebuild').findings.map((finding) => finding.rule);
  expect(rules).toContain('open-item');
  expect(rules.filter((rule) => rule !== 'open-item' && rule !== 'missing-reading')).toEqual([]);
});

test('a mixture is a `?` alone: its `:1` is part of the number', () => {
  const workspace = createWorkspace();
  workspace.set(
    'mix.limits',
    'limits "Mix"\nlimit mix 50:1\nlimit mixes @ (a b)/(x y) 40:1..50:1 when 50:1\n',
  );
  const { scope } = checkedIn(workspace, 'mix.limits').rebuild;
  const text = worksheetText({ path: 'mix.limits', scope });
  expect(text).toContain('measure mix = ? #');
  expect(text).toContain('measure mixes when ? # 40:1..50:1');
  workspace.set('new.rebuild', text);
  expect(checkedIn(workspace, 'new.rebuild').findings.map(({ rule }) => rule)).not.toContain('syntax');
});

test('what must be known before a part goes in is measured before it is fitted, though it is of a part used once', () => {
  const workspace = createWorkspace();
  workspace.set(
    'engine.limits',
    `limits "Lift engine"
part ring[top second] "piston ring" once
part piston "piston"
part head-gasket "head gasket" once
limit ring-gap[top second] 0.20..0.35 mm of ring before piston ref "3.6"
limit squish 0.9..1.3 mm of head-gasket ref "3.7"
`,
  );
  const { scope } = checkedIn(workspace, 'engine.limits').rebuild;
  const text = worksheetText({ path: 'engine.limits', scope });
  const lines = ['measure ring-gap', 'fit piston', 'measure squish'].map((one) => text.indexOf(one));
  expect(lines).toEqual([...lines].sort((a, b) => a - b));
  expect(lines[0]).toBeGreaterThan(0);
});

test('a table without a title is called by its file', () => {
  const workspace = createWorkspace();
  for (const [name, text] of [
    ['none.limits', 'limit end-float 0.05..0.15 mm\n'],
    ['blank.limits', 'limits ""\nlimit end-float 0.05..0.15 mm\n'],
  ] as const) {
    workspace.set(name, text);
    const { scope } = checkedIn(workspace, name).rebuild;
    expect(worksheetText({ path: name, scope })).toContain(`log "${name}: ?"`);
  }
});

/** A table whose lines wait for one another, out of order, and a register. */
const waiting = `limits "Plover D2, sheet 7"
assembly head "Head"
limit leak <= 0.1 bar when 2 bar, 5 min of head-joint before plate
limit end-play 0.1..0.2 mm of body-joint before head-joint
fastener rod-nut[1..2] M8 class 8.8 torque 20 ± 1 N·m before body-joint
fastener head-bolt[1..4] 5/16-18 UNC torque 17 ± 1 ft·lbf stages 100 in·lbf, 17 ft·lbf lock ferrule
fastener body-bolt[1..4] M6 torque 10 ± 1 N·m lock blue
part plate "release plate"
part gasket-thick[1 2] "thick gasket" once
part gasket-thin "thin gasket" once
part pin "test pin" temporary
stack gaskets = gasket-thick[1], gasket-thin, gasket-thick[2]
joint head-joint sealant paste fasteners head-bolt
joint body-joint fasteners body-bolt
inspection plate-seen "Plate flush" of plate
inspection joint-seen "Joint even all round" of head-joint before plate
sealant paste "paste" open 10 min torque wet
sealant blue "threadlocker" cure 2 h open 20 min torque wet
`;

test('a blank log that is filled in from above to below does nothing before what it waits for', () => {
  const workspace = createWorkspace();
  workspace.set('plover.limits', waiting);
  const { scope } = checkedIn(workspace, 'plover.limits').rebuild;
  let day = 0;
  const filled = uncommented(worksheetText({ path: 'plover.limits', scope }))
    .replace('serial ? hours ? h', 'serial "4" hours 10 h')
    .replace(/(step ".*") \?/g, (_, step) => `${step} 2026-06-0${++day} 09:00`)
    .replace(/when \? bar, \? min/g, 'when 2 bar, 5 min')
    .replace(/ at \?/g, ' at 09:00')
    .replace(/(inspect \S+) \?/g, '$1 pass')
    .replace(/ pn \? batch \?/g, '')
    .replace(/to \? (.*)# .*?(\d+)\S* (?:in|ft|N)·.*/g, 'to $2 $1 at 09:00')
    .replace(/end-play = \?/, 'end-play = 0.1')
    .replace(/leak = \?/, 'leak = 0.1');
  workspace.set('blank.rebuild', filled.replace(/^# run.*|^run .*/m, ''));
  const { findings } = checkedIn(workspace, 'blank.rebuild');
  expect(findings.map((finding) => `${finding.rule} ${finding.message}`)).toEqual([]);
});

test('each stage has a box in the unit that the table gives it in', () => {
  const workspace = createWorkspace();
  workspace.set('plover.limits', waiting);
  const source = { path: 'plover.limits', scope: checkedIn(workspace, 'plover.limits').rebuild.scope };
  expect(worksheetText(source)).toContain('torque head-bolt[all] to ? in·lbf stage 1 # 100 in·lbf\n');
  expect(worksheetHtml(source)).toContain('></span> in·lbf</span>');
});
