/** What a hover says at the cursor (`‸`). */
import { describe, expect, test } from 'vitest';
import { hoverAt, logsOfSameMachine } from '../../server/features/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';
import { marked } from './marked.ts';

const limits = `limits "Tern 460, issue 3"
limit crank-runout 0..0.05 mm wear <= 0.08 mm ref "3.1"
limit bore[rear] @ (top bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm of cylinder ref "3.2"
limit bore[rear] @ (top bottom)/(thrust pin) 67.750..67.770 mm for cylinder os1 of cylinder ref "3.2"
limit skirt[rear] 67.425..67.440 mm
limit clearance[rear] = bore - skirt 0.060..0.120 mm wear <= 0.150 mm ref "3.3"
limit main-jet "165" "168"
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m (212 in·lbf) order 2 3 1 4 layout rows 2 lubricant oiled ref "4.1"
fastener hub-nut[1..2] M8 class 8.8 torque 22 ± 2 N·m stages 10 N·m drag 1.5..6 N·m lock cotter
limit leak-drop <= 0.1 bar when 0.5 bar, 3 min
fastener rod-cap[1..2] M7x1 class 10.9 torque 15 ± 1 N·m angle 60 ± 5 °
part cylinder[rear] "cylinder"
part crank-seal[front rear] "crank *seal*" once facing life 5 years
joint case-joint sealant grey-rtv fasteners case-m8
inspection pins-flush "Pins flush" needs inspector before case-joint ref "4.1"
`;
const bench = `bench "Harbour workshop"
person AQ "Ada Quill" builder
person JM "Jory Marsh" inspector licence "demo-4471"
tool BG1 "bore gauge" range 50..100 mm uncertainty 0.002 mm due 2026-01-15
tool TW1 "3/8 click wrench" range 10..60 N·m accuracy 4 % due 2027-03-02
tool TW3 "long click wrench" range 10..60 N·m length 310 mm
sealant grey-rtv "grey RTV" cure 12 h open 10 min torque cured
`;

function hover(lines: string, how: { pictures?: boolean; configuration?: string } = {}): string {
  const found = marked({
    'witnessmark.json': how.configuration ?? '{}',
    'tern.limits': limits,
    'harbour.bench': bench,
    'a.rebuild': `log "x"\nuse "tern.limits"\nuse "harbour.bench"\nstep "Work" 2026-05-04 09:00 by AQ with TW1\n${lines}\n`,
  });
  const wishes = { theme: 'neutral', pictures: how.pictures === true, today: '2026-05-04' } as const;
  return hoverAt(found.workspace.check(found.path)!, found.offset, wishes)?.markdown ?? '';
}

describe('quantities', () => {
  test('every common unit at the precision written', () => {
    // 24 N·m / 0.112985 (N·m per in·lbf, exact pound, inch and standard gravity) = 212.4.
    expect(hover('  torque case-m8[1] to 2‸4 N·m')).toMatch(/= .*212 in·lbf · 17\.7 ft·lbf/);
  });
  test('a bolt is not told in the units of a torque screwdriver', () => {
    expect(hover('  torque case-m8[1] to 2‸4 N·m')).not.toMatch(/cN·m|dN·m|in·ozf/);
    expect(hover('  torque case-m8[1] to 0‸.5 N·m')).toMatch(/50 cN·m/);
    expect(hover('  torque case-m8[1] to 5‸0 cN·m')).toMatch(/0\.50 N·m/);
  });
  test('nor are hours in seconds', () => {
    expect(hover('  run 120‸4.5 h "at sea"')).toMatch(/72\s?270 min/);
    expect(hover('  run 120‸4.5 h "at sea"')).not.toMatch(/ s\b/);
  });
  test('those of the system that the team reads in come first', () => {
    const said = (system: string) =>
      hover('  torque case-m8[1] to 2‸4 N·m', { configuration: `{ "units": "${system}" }` });
    expect(said('imperial')).toMatch(/^= 17\.7 ft·lbf|^= 212 in·lbf/m);
    expect(said('metric')).toMatch(/^= 2[\d.]+ (?:kgf|dN|cN)/m);
  });
  test('of a spread both ends, whichever the cursor stands on, and what a class or a tolerance comes to', () => {
    expect(hover('limit x 67.5‸00..67.520 mm')).toMatch(
      /^\*\*67\.500\.\.67\.520 mm\*\*\n\n= .*2\.6574\d\.\.2\.65827 in/,
    );
    // 30 F7 is +41/+20 µm (ISO 286-2).
    expect(hover('limit x 30 ‸F7 mm')).toContain('**30 F7 mm** = 30.020..30.041 mm\n\n= ');
    expect(hover('limit x 20 +0.04/‸-0.02 mm')).toContain('= 19.98..20.04 mm');
    expect(hover('fastener y[1..4] M8 torque 24 ‸± 2 N·m (212 in·lbf)')).toMatch(
      /^\*\*24 ± 2 N·m\*\* = 22\.\.26 N·m\n\n= .*195\.\.230 in·lbf/,
    );
    expect(hover('fastener y[1..4] M8 torque 24 ± 2 N·m (2‸12 in·lbf)')).toContain('**212 in·lbf**');
    expect(hover('limit x <= 0.0‸5 mm')).toContain('**0.05 mm**');
    expect(hover('limit x 30 ‸F99 mm')).toContain('**30 mm**');
  });
  test('what a torque should be', () => {
    expect(hover('  torque case-m8[1] to 2‸4 N·m')).toContain('Wanted: 22..26 N·m (ref 4.1)');
  });
  test('what its stage, a turn or a drag should be, each by its own', () => {
    expect(hover('  torque hub-nut[all] to 1‸0 N·m')).toContain('Stage 1 of 2: 10 N·m');
    expect(hover('  torque hub-nut[all] to 10 N·m\n  torque hub-nut[all] to 2‸2 N·m')).toContain(
      'Wanted: 20..24 N·m',
    );
    expect(hover('  torque hub-nut[all] to 22 N·m drag ‸2.2 N·m')).toContain('Wanted: 1.5..6 N·m');
    expect(hover('  torque rod-cap[all] to 15 N·m angle 6‸0 °')).toContain('Wanted: 55..65 °');
    expect(hover('  torque case-m8[1] to 24 N·m set 2‸0 N·m')).not.toContain('Wanted');
  });
  test('what the wrench must read, where that is not the torque', () => {
    // With a wrench of 310 mm and 40 mm in line with it: 24 × 310 / 350 = 21.26; the drag of a nut is added first.
    const with310 = (line: string) => hover(`  ${line} with TW3`);
    expect(with310('torque case-m8[1] to 2‸4 N·m adapter 40 mm, 0 °')).toContain(
      'The wrench must read 21.3 N·m.',
    );
    expect(with310('torque case-m8[1] to 24 N·m adapter 4‸0 mm, 0 °')).toContain(
      'The wrench must read 21.3 N·m.',
    );
    expect(hover('  torque hub-nut[all] to 2‸2 N·m drag 2.2 N·m')).toContain(
      'The wrench must read 24.2 N·m.',
    );
    expect(hover('  torque case-m8[1] to 2‸4 N·m')).not.toContain('must read');
    expect(hover('  torque case-m8[1] to 2‸4 N·m adapter 40 mm')).not.toContain('must read');
  });
  test('both ends of a range', () => {
    expect(hover('  measure crank-runout = 0.02.‸.0.03 mm')).toMatch(/= .* · 20\.\.30 µm/);
    expect(hover('  measure skirt in mm\n    | rear | 67.4‸28 |')).not.toContain('67428..');
  });
  test('a reading keeps the digits that its limit does not have, and shows under what conditions it holds', () => {
    const said = hover('  measure leak-‸drop = 0.05 bar when 0.5 bar, 3 min');
    expect(said).toContain('leak-drop: 0.05 bar, inside the limit');
    expect(said).toContain('<= 0.1 bar · when 0.5 bar, 3 min');
  });
  test('the limit, the verdict and the share of the wear allowance', () => {
    // (67.540 - 67.520) / (67.560 - 67.520) = 50 %.
    const said = hover('  measure bore[rear] @ top/pin = 67.5‸40 mm with BG1');
    expect(said).toContain('Limit for new parts: 67.500..67.520 mm · wear limit: <= 67.560 mm');
    expect(said).toContain(
      'past the range for new parts, inside the wear limit; 50 % of the wear allowance used',
    );
    expect(said).toContain('67.540 mm ± 0.002 mm');
  });
  test('a tool without a stated uncertainty is said', () => {
    expect(hover('  measure crank-runout = 0.0‸3 mm with TW1')).toContain('uncertainty of TW1 is not stated');
  });
  test('a cell of a table', () => {
    const said = hover('  measure bore[rear] in mm\n    | | thrust |\n    | top | 67.5‸10 |');
    expect(said).toContain('**bore[rear] @ top/thrust** = 67.510 mm');
    expect(said).toContain('inside the limit');
  });
  test('a reading of a part that is out is not judged by the grade that is in', () => {
    const said = hover(
      '  measure bore[rear] @ top/pin = 67.5‸70 mm as found\n  fit cylinder[rear] new grade os1',
    );
    expect(said).toContain('the limit is for what is fitted now');
    expect(said).not.toContain('past its limit');
  });
});

describe('names', () => {
  test('a group: what it asks, what is done, the preload as a range with its caution', () => {
    const said = hover('  torque ca‸se-m8[2 3] to 24 N·m');
    expect(said).toContain('torque 22..26 N·m');
    expect(said).toContain('torqued 2 3; not begun 1 4');
    expect(said.match(/of 4 torqued/g)).toHaveLength(1);
    expect(hover('  torque ca‸se-m8[2 3] to 24 N·m', { pictures: true })).toContain(
      '2 of 4 torqued; 1 and 4 still due.',
    );
    // VDI 2230, M = F·(0.16·P + 0.58·d2·μ + D/2·μ), P 1.25, d2 7.188, D 10: 22 N·m at 0.16 pulls 13.1 kN and
    // 26 N·m at 0.12 20.0 kN by that formula; the long form is near it. Proof load of M8 in 8.8: 21.2 kN (ISO 898-1).
    expect(said).toMatch(/Preload about 13 to 20 kN: 60 to 95 % of the proof load of 21 kN/);
    expect(said).toContain('An estimate, not a torque specification');
  });
  test('no preload where the angle decides', () => {
    expect(hover('  torque rod-‸cap to 15 N·m angle 60 °')).not.toContain('Preload');
  });
  test('what is not locked', () => {
    expect(hover('  torque hub-‸nut to 22 N·m\n  apply cotter to hub-nut[1]')).toContain('Not locked: 2.');
  });
  test('a derived limit: its working, with the numbers put in', () => {
    const said = hover(
      '  measure bore[rear] = 67.541 mm\n  measure skirt[rear] = 67.435 mm\n  accept cle‸arance[rear] because "x" by JM',
    );
    expect(said).toContain('clearance[rear] = `bore - skirt` = `67.541 mm - 67.435 mm` = `0.106 mm`');
  });
  test('a derived limit that lacks one reading: what it may be', () => {
    const said = hover('  measure skirt[rear] = 67.435 mm\n  accept cle‸arance[rear] because "x" by JM');
    // 67.435 + 0.060 to 67.435 + 0.150, the wear limit.
    expect(said).toMatch(/lacks one reading: bore.*67\.495..67\.585 mm/);
  });
  test('a tool: range, calibration, and what it was used for', () => {
    const said = hover('  measure bore[rear] @ top/pin = 67.510 mm with B‸G1');
    expect(said).toContain('range 50..100 mm · uncertainty U 0.002 mm (k = 2)');
    expect(said).toContain('**ran out** 2026-01-15 · **used after it ran out**');
    expect(said).toContain('Used here once: bore.');
  });
  test('people, sealants, parts, joints, inspections', () => {
    expect(hover('  inspect pins-flush pass by J‸M')).toBe(
      '**JM** Jory Marsh\n\ninspector · licence demo-4471',
    );
    expect(hover('  apply grey‸-rtv to case-joint')).toContain(
      'closed within 10 min · cures in 12 h · torqued cured',
    );
    expect(hover('  fit crank-‸seal[front] new facing "lip inward" batch "B40"')).toBe(
      '**crank-seal** crank \\*seal\\*\n\nused once · way round recorded · life 5 years\n\n- front: fitted · batch B40 · lip inward',
    );
    expect(hover('  apply grey-rtv to case‸-joint at 09:10')).toContain('Sealed 2026-05-04 09:10.');
    expect(hover('  inspect pins-‸flush pass by JM')).toContain('pass by JM.');
  });
  test('words of the language', () => {
    expect(hover('  tor‸que case-m8 to 24 N·m')).toContain('`torque`: Fasteners are torqued.');
    expect(hover('  loosen case-m8 bec‸ause "x"')).toBe('`because`: the reason.');
    expect(hover('  note tor‸que')).toBe('');
  });
});

test('pictures where the editor shows them', () => {
  const said = hover('  torque ca‸se-m8[2 3] to 24 N·m', { pictures: true });
  expect(said).toMatch(/!\[case-m8: 2 of 4 torqued[^\]]*\]\(data:image\/svg\+xml;base64,/);
  // More than a hundred thousand characters are cut in the editor.
  expect(said.length).toBeLessThan(50_000);
});

test('a member read a thousand times is still one small picture', () => {
  const lines = Array.from({ length: 1000 }, () => '  measure crank-runout = 0.03 mm with BG1').join('\n');
  const said = hover(`${lines}\n  measure crank‸-runout = 0.03 mm with BG1`, { pictures: true });
  expect(said).toContain('data:image/svg+xml');
  expect(said.length).toBeLessThan(20_000);
});

describe('what earlier logs of the same machine read', () => {
  /** A log of the machine with this serial and hours, with these lines in a step of that day. */
  const log = (serial: string, hours: number | undefined, day: string, lines: string) =>
    `log "x"\nuse "tern.limits"\nmachine tern-460 serial "${serial}"${hours === undefined ? '' : ` hours ${hours} h`}\nstep "Work" ${day} 09:00\n${lines}\n`;

  function said(files: Readonly<Record<string, string>>): string {
    const found = marked({ 'tern.limits': limits, ...files });
    const checked = found.workspace.check(found.path)!;
    const others = () =>
      logsOfSameMachine(found.workspace, checked).map((path) => found.workspace.check(path)!);
    const wishes = { theme: 'neutral', pictures: false, today: '2026-05-04' } as const;
    return hoverAt(checked, found.offset, wishes, others)?.markdown ?? '';
  }

  test('date, hours and values, the newest first; of another serial and of later logs nothing', () => {
    const markdown = said({
      'now.rebuild': log('0117', 300, '2026-05-02', '  measure crank-run‸out = 0.05 mm'),
      'at 100 %.rebuild': log('0117', 100, '2022-03-01', '  run 2 h\n  measure crank-runout = 0.02 mm'),
      'second.rebuild': log(
        '0117',
        200.5,
        '2024-04-01',
        '  measure crank-runout = 0.09 mm as found\n  measure crank-runout = 0.03 mm',
      ),
      'later.rebuild': log('0117', 400, '2027-05-02', '  measure crank-runout = 0.07 mm'),
      'other.rebuild': log('0118', 100, '2022-03-01', '  measure crank-runout = 0.01 mm'),
    });
    expect(markdown.slice(markdown.indexOf('Earlier'))).toBe(
      'Earlier logs of this machine:\n\n- 2024-04-01 · 200.5 h · second.rebuild: found 0.09 mm, then 0.03 mm\n- 2022-03-01 · 102 h · at 100 %.rebuild: 0.02 mm',
    );
  });

  test('many places as their range, and what is worked out', () => {
    const lines =
      '  measure bore[rear] in mm\n    | | thrust | pin |\n    | top | 67.518 | 67.51 |\n    | bottom | ? | 67.516 |\n  measure skirt[rear] = 67.430 mm';
    const files = (target: string) => ({
      'now.rebuild': log('0117', 300, '2026-05-02', `  measure ${target}`),
      'first.rebuild': log('0117', 100, '2022-03-01', lines),
    });
    expect(said(files('bo‸re[rear] @ top/pin = 67.52 mm'))).toContain(
      'first.rebuild: 67.510..67.518 mm (3 readings)',
    );
    // 67.510 - 67.430 to 67.518 - 67.430.
    expect(said(files('clear‸ance[rear] = 0.09 mm'))).toContain('first.rebuild: 0.080..0.088 mm');
  });

  test('a log that uses the earlier one and states no hours; a log without a serial has none', () => {
    const first = { 'first.rebuild': log('0117', 100, '2022-03-01', '  measure crank-runout = 0.02 mm') };
    const now = log('0117', undefined, '2026-05-02', '  measure crank-run‸out = 0.05 mm');
    expect(
      said({ ...first, 'now.rebuild': now.replace('machine', 'use "first.rebuild"\nmachine') }),
    ).toContain('2022-03-01 · 100 h · first.rebuild: 0.02 mm');
    expect(
      said({ ...first, 'now.rebuild': now.replace('machine tern-460 serial "0117"\n', '') }),
    ).not.toContain('Earlier');
  });
});

/** tests/checkvalues/textbook_fit_examples.csv: P.C. Sharma, Jindal, Bhandari; the extremes as printed. */
describe('fits', () => {
  const printed = new Map(
    readCheckValues('textbook_fit_examples.csv').map((row) => [row.id!, row.expected!]),
  );
  const examples = [
    ['FT1', '37.50..37.52', '37.45..37.47', '**clearance** fit, 0.03 to 0.07 mm'],
    ['FT3', '30 +0.020/-0', '30 -0.005/-0.018', '**clearance** fit, 0.005 to 0.038 mm'],
    ['FT4', '25.000..25.006', '24.986..24.990', '**clearance** fit, 0.010 to 0.020 mm'],
    ['FT5', '100.000..100.005', '99.994..99.998', '**clearance** fit, 0.002 to 0.011 mm'],
    ['FT6', '100.000..100.035', '100.085..100.120', '**interference** fit, 0.050 to 0.120 mm'],
    ['FT7', '50 H8', '50 g7', '**clearance** fit, 0.009 to 0.073 mm'],
    [
      'FT8',
      '30 +0.025/-0',
      '30 +0.011/-0.005',
      '**transition** fit, from 0.011 mm of interference to 0.030 mm of clearance',
    ],
    ['FT9', '20 H7', '20 s6', '**interference** fit, 0.014 to 0.048 mm'],
    ['FT10', '50 H7', '50 s6', '**interference** fit, 0.018 to 0.059 mm'],
  ] as const;
  const over = (file: string, cursor: string, lines: string) => {
    const found = marked({ [file]: lines.replace(cursor, `${cursor.slice(0, -1)}‸${cursor.slice(-1)}`) });
    const wishes = { theme: 'neutral', pictures: false, today: '2026-05-04' } as const;
    return hoverAt(found.workspace.check(found.path)!, found.offset, wishes)?.markdown ?? '';
  };
  test.each(examples)('%s: on the hole, on the shaft and on what is worked out', (id, hole, shaft, text) => {
    for (const number of text.match(/\d\.\d+/g)!) expect(printed.get(id)).toContain(String(Number(number)));
    const table = `limits "Fits"\nlimit bush ${hole} mm\nlimit pin ${shaft} mm\nlimit play = bush - pin -1..1 mm\n`;
    for (const cursor of ['limit bush', 'limit pin', 'limit play'])
      expect(over('a.limits', cursor, table)).toContain(`: ${text}.`);
  });
  test('classes of one size belong together; a reading says so too', () => {
    const table = 'limit bush 50 H7 mm\nlimit pin 50 s6 mm\n';
    const log = `log "Fits"\n${table}step "Measure" 2026-05-04 09:00\n  measure pin = 50.050 mm\n`;
    const text =
      '`bush` 50 H7 mm (50.000..50.025 mm) over `pin` 50 s6 mm (50.043..50.059 mm): **interference** fit, 0.018 to 0.059 mm.';
    expect(over('a.rebuild', 'limit bush', log)).toContain(text);
    expect(over('a.rebuild', 'pin = 50.0', log)).toContain(text);
    // Two shafts of that size: nobody says which one goes in.
    expect(over('a.rebuild', 'limit bush', log.replace('step', 'limit stud 50 g6 mm\nstep'))).not.toContain(
      'fit',
    );
  });
  test('the grade that goes with a grade', () => {
    const table = `limits "Fits"
part cylinder "cylinder"
part piston "piston"
limit bore 67.500..67.520 mm of cylinder
limit bore 67.750..67.770 mm of cylinder for cylinder os1
limit skirt 67.425..67.440 mm of piston
limit skirt 67.675..67.690 mm of piston for piston os1
limit play = bore - skirt 0.060..0.120 mm\n`;
    const text = over('a.limits', 'limit play', table);
    expect(text.match(/clearance\*\* fit, 0\.060 to 0\.095 mm/g)).toHaveLength(2);
    expect(text).toContain('67.675..67.690 mm, os1:');
  });
});
