/** What differs between two logs, by meaning, and what a reviewer reads of it. */
import { describe, expect, test } from 'vitest';
import {
  compareReports,
  comparisonHtml,
  comparisonMarkdown,
  comparisonText,
  type LogReport,
  reportFacts,
} from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const limits = `limits "Tern 460"
assembly bottom-end "Bottom end"
limit bore[front rear] 67.50..67.52 mm wear <= 67.56 mm
limit crank-runout 0..0.05 mm wear <= 0.08 mm
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m stages 12 N·m, 24 N·m
part crank-seal[front rear] "crank seal" facing
inspection pins-flush "Pins flush"
`;

const head = `log "one"
use "t.limits"
machine tern-460 serial "0117" hours 312 h
person AQ "Ada Quill" builder
person JM "Jory Marsh" inspector
tool TW1 "click wrench" range 10..60 N·m
`;

function report(body: string, table = limits): LogReport {
  const workspace = createWorkspace();
  workspace.set('t.limits', table);
  workspace.set('a.rebuild', head + body);
  const checked = workspace.check('a.rebuild');
  const facts = checked && reportFacts(checked);
  if (facts === undefined) throw new Error('no report');
  return facts;
}

const compare = (old: string, now: string, oldTable = limits, newTable = limits) =>
  compareReports(report(old, oldTable), report(now, newTable));

const brief = (old: string, now: string) =>
  compare(old, now).differences.map((one) => [one.section, one.subject, one.old, one.new, one.matters]);

const step = 'step "Work" 2026-05-03 09:00 by AQ\n';

test('the same log has no difference, however it is laid out and wherever its steps stand', () => {
  const a = `${step}  measure bore[front] = 67.51 mm\nstep "More" 2026-05-04 by AQ\n  measure crank-runout = 0.03 mm\n`;
  const b = `step "More" 2026-05-04 by AQ\n  measure crank-runout   =   0.03mm\n\n# moved\n${step}  measure bore[front] = 67.51 mm\n`;
  expect(compare(a, b).differences.filter((one) => one.section !== 'findings')).toEqual([]);
});

describe('readings', () => {
  test('a value in another unit that says the same is no change: 2.6583 in and 67.52 mm', () => {
    expect(
      brief(`${step}  measure bore[front] = 67.52 mm\n`, `${step}  measure bore[front] = 2.6583 in\n`),
    ).toEqual([]);
  });

  test('in one unit the last digit is a change, with its sign and the share of the wear allowance', () => {
    const [one] = compare(
      `${step}  measure bore[front] = 67.52 mm\n`,
      `${step}  measure bore[front] = 67.54 mm\n`,
    ).differences;
    expect(one).toMatchObject({
      subject: 'bore[front]',
      old: '67.52 mm',
      new: '67.54 mm',
      change: '+0.02 mm',
      usedOld: 0,
      usedNew: 50,
      verdict: 'inside its limit, now past the range for new parts',
      matters: true,
    });
  });

  test('a reading that only the old log has matters where the new one must have it', () => {
    const a = `${step}  measure crank-runout = 0.03 mm\n`;
    const b = `${step}  measure bore[front] = 67.51 mm\n`;
    expect(brief(a, b)).toEqual([
      ['readings', 'bore[front]', null, '67.51 mm', false],
      ['readings', 'crank-runout', '0.03 mm', null, false],
    ]);
    const covers = 'covers bottom-end\n';
    expect(brief(covers + a, covers + b)).toContainEqual(['readings', 'crank-runout', '0.03 mm', null, true]);
  });

  test('what was corrected is compared as corrected', () => {
    const a = `${step}  measure crank-runout = 0.03 mm\n`;
    const b = `${step}  measure crank-runout = 0.3 mm\n  measure crank-runout = 0.03 mm as corrected because "point"\n`;
    expect(brief(a, b).filter(([section]) => section === 'readings')).toEqual([]);
  });
});

test('fasteners that differ alike are told together, and one that was left out matters', () => {
  const a = `${step}  torque case-m8[1..4] to 12 N·m with TW1\n  torque case-m8[1..4] to 24 N·m with TW1\n`;
  const b = `${step}  torque case-m8[1..4] to 12 N·m with TW1\n  torque case-m8[1..3] to 23 N·m with TW1\n`;
  expect(brief(a, b).filter(([section]) => section === 'torques')).toEqual([
    ['torques', 'case-m8[1..3]', '24 N·m with TW1', '23 N·m with TW1', false],
    ['torques', 'case-m8[4]', '24 N·m with TW1', 'on the way, 12 N·m with TW1', true],
  ]);
});

test('parts by number, batch and way round; inspections; open items; concessions', () => {
  const a = `${step}  fit crank-seal[front rear] new pn "TN-1" batch "B40" facing "lip inward"\n  inspect pins-flush pass by JM\n  open R1 "order a stop"\n  close R1 "fitted"\n`;
  const b = `${step}  fit crank-seal[front rear] new pn "TN-1" batch "B41" facing "lip inward"\n  inspect pins-flush fail by JM\n  open R1 "order a stop"\n  measure crank-runout = 0.09 mm\n  accept crank-runout because "until the autumn" by JM until 350 h\n`;
  const found = brief(a, b);
  expect(found).toContainEqual([
    'parts',
    'crank-seal[front rear]',
    'new, pn TN-1, batch B40, facing lip inward',
    'new, pn TN-1, batch B41, facing lip inward',
    false,
  ]);
  expect(found).toContainEqual(['inspections', 'pins-flush', 'pass by JM', 'fail by JM', true]);
  expect(found).toContainEqual(['open items', 'R1', 'closed: fitted', 'open: order a stop', true]);
  expect(found).toContainEqual([
    'concessions',
    'crank-runout',
    null,
    'until the autumn by JM, until 350 h',
    true,
  ]);
});

test('parts are compared member by member, as they are at the end', () => {
  const table = `${limits}part bung[1 2] "bung" temporary\n`;
  const a = `${step}  fit bung[1 2]\n  fit crank-seal[front rear] new batch "B40" facing "in"\n  remove bung[1 2]\n`;
  const b = `${step}  fit bung[1]\n  fit bung[2]\n  fit crank-seal[front] new batch "B40" facing "in"\n  fit crank-seal[rear] new batch "B40"\n  remove bung[2]\n  remove bung[1]\nstep "Again" 2026-05-04 by AQ\n  remove crank-seal[rear]\n  fit crank-seal[rear] facing "in"\n`;
  const parts = (old: string, now: string) =>
    compare(old, now, table, table).differences.filter(({ section }) => section === 'parts');
  expect(parts(a, b)).toEqual([]);
  expect(parts(a, b.replace('  remove bung[1]\n', ''))).toMatchObject([
    { subject: 'bung[1]', old: 'in and out again', new: 'in' },
  ]);
  const scrapped = `${step}  remove crank-seal[all] scrap because "hard"\n`;
  expect(parts(a, scrapped)).toContainEqual(
    expect.objectContaining({
      subject: 'crank-seal[front rear]',
      old: 'new, batch B40, facing in',
      new: 'out, scrapped: hard',
    }),
  );
});

test('the text keeps to the width of a terminal', () => {
  const table = limits.replaceAll('crank-runout', 'crankshaft-runout-at-the-flywheel');
  const note = `tool DT1 "dial indicator" range 0..10 mm due 2025-01-01\n`;
  const text = comparisonText(
    compare(
      `${step}  measure crankshaft-runout-at-the-flywheel = 0.03 mm\n`,
      `${note}${step}  measure crankshaft-runout-at-the-flywheel = 0.07 mm with DT1\n  torque case-m8[1] to 40 N·m with TW1\n`,
      table,
      table,
    ),
  );
  expect(text).toContain('inside its limit, now past the range for new parts');
  expect(text).toContain('[calibration-expired] warning: DT1 was due');
  for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
});

test('a concession that was put right since says so', () => {
  const worn = `${step}  measure crank-runout = 0.09 mm\n  accept crank-runout because "to the autumn" by JM\n`;
  const mended = `${worn}  remove crank-seal[all] scrap\n  fit crank-seal[all] new facing "in"\n  measure crank-runout = 0.03 mm\n`;
  const table = limits.replace('wear <= 0.08 mm', 'wear <= 0.08 mm of crank-seal');
  expect(compare(worn, mended, table, table).differences).toContainEqual(
    expect.objectContaining({
      section: 'concessions',
      old: 'to the autumn by JM',
      new: 'to the autumn by JM, superseded since',
    }),
  );
});

test('limits that changed between the two tables', () => {
  const log = `${step}  measure bore[front] = 67.51 mm\n  finger-tight case-m8[all]\n`;
  const changed = limits.replace('wear <= 67.56 mm', 'wear <= 67.55 mm').replace('24 ± 2 N·m', '25 ± 2 N·m');
  const found = compare(log, log, limits, changed).differences.filter((one) => one.section === 'limits');
  expect(found.map((one) => [one.subject, one.old, one.new])).toEqual([
    ['bore[front rear]', '67.50..67.52 mm, wear <= 67.56 mm', '67.50..67.52 mm, wear <= 67.55 mm'],
    [
      'case-m8',
      'M8 class 8.8, torque 22..26 N·m, stages 12 N·m',
      'M8 class 8.8, torque 23..27 N·m, stages 12 N·m',
    ],
  ]);
});

test('text, Markdown and page say the same, and text of the log cannot break out of them', () => {
  const comparison = compare(
    `${step}  open R1 "a | b"\n`,
    `${step}  open R1 "<script>alert(1)</script> | \`x\`"\n  measure bore[front] = 67.57 mm\n`,
  );
  const text = comparisonText(comparison);
  expect(text).toContain('! bore[front]');
  expect(text).toContain('difference');
  const markdown = comparisonMarkdown(comparison);
  expect(markdown).not.toContain('<script>');
  for (const line of markdown.split('\n').filter((one) => one.startsWith('|')))
    expect(line.replace(/\\\|/g, '').match(/\|/g)).toHaveLength(5);
  const page = comparisonHtml(comparison);
  expect(page).not.toContain('<script');
  expect(page).toContain('&lt;script&gt;');
});

describe('what matters comes first, the worst of it first', () => {
  /** Each heading, and the beginning of each row below it. */
  const outline = (text: string) =>
    text
      .split('\n')
      .slice(6)
      .filter((line) => /^(?:[! ] )?\S/.test(line))
      .map((line) => line.replace(/(\S) {2}.*/, '$1'));

  test('worse, changed, better, then the rest by section', () => {
    const a = `${step}  measure bore[front] = 67.57 mm\n  measure bore[rear] = 67.53 mm\n  measure crank-runout = 0.02 mm\n  torque case-m8[1..4] to 12 N·m with TW1\n  torque case-m8[1..4] to 24 N·m with TW1\n  open R1 "a stop"\n  fit crank-seal[front] new facing "lip inward"\n`;
    const b = `${step}  measure bore[front] = 67.54 mm\n  measure bore[rear] = 67.55 mm\n  measure crank-runout = 0.03 mm\n  torque case-m8[1..4] to 12 N·m with TW1\n  torque case-m8[1..3] to 24 N·m with TW1\n  open R1 "a stop"\n  close R1 "fitted"\n  fit crank-seal[front] new facing "lip outward"\n`;
    const comparison = compare(a, b);
    expect(outline(comparisonText(comparison)).slice(0, 10)).toEqual([
      'For the worse',
      '! case-m8[4]',
      'Changed: look at it',
      '! part crank-seal[front]',
      'For the better',
      '! bore[front]',
      '! open item R1',
      'Readings',
      '  bore[rear]',
      '  crank-runout',
    ]);
    expect(comparisonText(comparison)).toContain(': 1 for the worse, 1 to look at, 2 for the better.');
    const page = comparisonHtml(comparison);
    expect(page.indexOf('For the worse')).toBeLessThan(page.indexOf('For the better'));
    expect(page.indexOf('For the better')).toBeLessThan(page.indexOf('<h2>Readings'));
  });

  test.each([
    ['67.53', '67.57', 'worse', 'past the range for new parts, now past its limit'],
    ['67.57', '67.58', 'worse', 'still past its limit'],
    ['67.58', '67.57', 'better', 'still past its limit'],
    // A warning begins at 80 % of the wear allowance: 67.552 mm.
    ['67.55', '67.56', 'worse', null],
    ['67.53', '67.54', null, null],
    ['67.57', '67.51', 'better', 'past its limit, now inside its limit'],
  ])('bore %s mm, then %s mm: %s', (old, now, effect, verdict) => {
    const [one] = compare(
      `${step}  measure bore[front] = ${old} mm\n`,
      `${step}  measure bore[front] = ${now} mm\n`,
    ).differences;
    expect(one).toMatchObject({ effect, verdict, matters: effect !== null });
  });

  test('of readings past their limit the one that is furthest comes first', () => {
    const text = comparisonText(
      compare(
        `${step}  measure crank-runout = 0.03 mm\n  measure bore[front] = 67.51 mm\n`,
        `${step}  measure crank-runout = 0.12 mm\n  measure bore[front] = 67.57 mm\n`,
      ),
    );
    expect(text.indexOf('! crank-runout')).toBeLessThan(text.indexOf('! bore[front]'));
    expect(text.indexOf('! crank-runout')).toBeGreaterThan(0);
  });

  test('a finding with other numbers is still the same; alike findings are kept apart', () => {
    const read = (a: string, b: string, c: string) =>
      `${step}  measure bore[front] = 67.51 mm with TW1\n  torque case-m8[1] to ${a} N·m\n  torque case-m8[2] to ${b} N·m\n  torque case-m8[3] to ${c} N·m\n`;
    const found = compare(read('31', '31', '24'), read('32', '31', '33'), limits, limits).differences.filter(
      ({ section, subject }) => section === 'findings' && subject === 'torque-out-of-spec',
    );
    expect(found.map(({ old, new: now }) => [old !== null, now !== null])).toEqual([
      [true, true],
      [false, true],
    ]);
  });
});
