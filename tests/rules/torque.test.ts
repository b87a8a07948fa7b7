/**
 * Torque from the log to the finding: published tables and examples written as a table of limits and a log, checked
 * as a user's are. Each source stands beside its check; the figures are in tests/checkvalues/.
 */
import { describe, expect, test } from 'vitest';
import { preloadEstimate } from '../../server/features/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

function check(limits: string, entries: string) {
  const workspace = createWorkspace();
  workspace.set('sheet.limits', `limits "Sheet"\n${limits}\n`);
  workspace.set(
    'log.rebuild',
    `log "Check"\nuse "sheet.limits"\nstep "Torque" 2026-05-04 09:15\n${entries}\n`,
  );
  return workspace.check('log.rebuild')!;
}

/** What the log's findings say, by rule. */
function findingsOf(limits: string, entries: string): string[] {
  return check(limits, entries).findings.map(
    ({ rule, severity, message }) => `${severity}[${rule}] ${message}`,
  );
}

const rulesOf = (found: readonly string[]) => found.map((one) => /^\w+\[([a-z-]+)\]/.exec(one)?.[1]);

describe('crowfoot adapters', () => {
  for (const row of readCheckValues('crowfoot_examples.csv')) {
    const metric = row.id === 'CF8';
    const [length, torque] = metric
      ? ['mm', 'N·m']
      : ['in', row.source!.includes('lbf.ft') ? 'ft·lbf' : 'in·lbf'];
    const sheet = [
      `tool W1 "wrench" range 0..1000 ${torque} accuracy 0.1 % length ${row.L} ${length}`,
      `fastener nut M10 torque ${row.T_applied} ${torque}`,
    ].join('\n');
    const line = (set: string) =>
      `torque nut to ${row.T_applied} ${torque} adapter ${row.E} ${length}, ${row.angle_deg} ° set ${set} ${torque} with W1`;
    test(`${row.source}: set to ${row.book_T_wrench} is right`, () => {
      expect(findingsOf(sheet, line(row.book_T_wrench!))).toEqual([]);
    });
    if (row.book_T_wrench === row.T_applied) continue;
    test(`${row.source}: set to ${row.T_applied} is not, and the reading is told`, () => {
      const found = findingsOf(sheet, line(row.T_applied!));
      expect(rulesOf(found)).toEqual(['wrench-setting']);
      const told = Number(/the wrench must read ([\d.]+) /.exec(found[0]!)?.[1]);
      expect(Math.abs(told - Number(row.calc_T_wrench))).toBeLessThanOrEqual(0.06);
    });
  }

  test('turned right back it shortens the wrench: L − E (TM 1-1500-204-23-9)', () => {
    const sheet =
      'tool W1 "wrench" range 0..1000 ft·lbf accuracy 0.1 % length 12 in\nfastener nut M10 torque 40 ft·lbf';
    expect(findingsOf(sheet, 'torque nut to 40 ft·lbf adapter 4 in, 180 ° set 60 ft·lbf with W1')).toEqual(
      [],
    );
    expect(findingsOf(sheet, 'torque nut to 40 ft·lbf adapter 101.6 mm set 30 ft·lbf with W1')).toEqual([]);
    expect(
      rulesOf(findingsOf(sheet, 'torque nut to 40 ft·lbf adapter 12 in, 180 ° set 60 ft·lbf with W1')),
    ).toEqual(['wrench-setting']);
  });
});

describe('AC 43.13-1B, Table 7-1, tension nuts', () => {
  for (const row of readCheckValues('ac43_13_1b_table7_1.csv')) {
    const [size, least, most] = [row.size_tpi!, row.tension_nut_rec_min_inlb!, row.tension_nut_rec_max_inlb!];
    const series = row.series === 'fine' ? 'UNF' : 'UNC';
    const thread = `${/^\d+-/.test(size) && Number(size.split('-')[0]) > 1 ? `#${size}` : size} ${series}`;
    const sheet = `fastener nut[1..3] ${thread} class "grade 5" torque ${least}..${most} in·lbf ref "7-1"`;
    test(`${thread}: ${least} and ${most} in·lbf are inside, more is not`, () => {
      const inside = `torque nut[1 3] to ${least} in·lbf\ntorque nut[2] to ${most} in·lbf`;
      expect(findingsOf(sheet, inside)).toEqual([]);
      const over = findingsOf(sheet, `${inside}\ntorque nut[3] to ${Number(most) + 1} in·lbf`);
      expect(rulesOf(over)).toContain('torque-out-of-spec');
      expect(over.join('\n')).toContain(`1 in·lbf over ${least}..${most} in·lbf (ref 7-1)`);
    });
  }

  const nut =
    'tool W1 "wrench" range 30..200 in·lbf accuracy 1 %\nfastener nut 1/4-28 UNF torque 50..70 in·lbf drag 2..30 in·lbf';
  test('the drag is added: 60 and 6 in·lbf are 66 at the wrench (paragraph 7-40d)', () => {
    expect(findingsOf(nut, 'torque nut to 60 in·lbf drag 6 in·lbf set 66 in·lbf with W1')).toEqual([]);
    expect(findingsOf(nut, 'torque nut to 60 in·lbf drag 6 in·lbf set 60 in·lbf with W1')[0]).toContain(
      'the wrench must read 66 in·lbf',
    );
  });
  test('60 in·lbf lies in 50..70, 75 does not', () => {
    expect(findingsOf(nut, 'torque nut to 60 in·lbf')).toEqual([]);
    expect(rulesOf(findingsOf(nut, 'torque nut to 75 in·lbf'))).toContain('torque-out-of-spec');
  });
});

describe('yield', () => {
  const bolt = (thread: string, strength: string) =>
    `fastener bolt ${thread} class ${strength} torque 0.1..100000 N·m`;
  const yields = (thread: string, strength: string, torque: string) =>
    check(bolt(thread, strength), `torque bolt to ${torque}`)
      .findings.filter((one) => one.rule === 'exceeds-thread')
      .map((one) => one.severity);

  for (const row of readCheckValues('vdi2230_fine_table.csv')) {
    const [thread, strength, torque] = [row.thread!, row.class!, Number(row.MA_table_Nm)];
    const friction = Number(row.mu);
    if (friction > 0.12) continue;
    test(`VDI 2230:2001, ${thread} ${strength}, friction ${row.mu}: ${torque} N·m is 90 % of yield`, () => {
      expect(yields(thread, strength, `${torque} N·m`)).toEqual([]);
      if (friction < 0.12) return;
      expect(yields(thread, strength, `${(torque * 1.2).toFixed(1)} N·m`)).toHaveLength(1);
      expect(yields(thread, strength, `${(torque * 1.5).toFixed(1)} N·m`)).toEqual(['error']);
    });
  }

  for (const row of readCheckValues('iso898_1_loads.csv')) {
    if (row['proof_8.8_N'] === '' || row['ultimate_8.8_N'] === '') continue;
    for (const strength of ['8.8', '10.9', '12.9'])
      test(`ISO 898-1, ${row.size} ${strength}: three quarters of the proof load at K 0.20 is borne, the ultimate load not`, () => {
        const at = (load: number) => `${((0.2 * Number(row.size!.slice(1)) * load) / 1000).toFixed(2)} N·m`;
        // Three quarters of the proof load and a nut factor of 0.20: Shigley, sec. 8-8.
        expect(yields(row.size!, strength, at(0.75 * Number(row[`proof_${strength}_N`])))).toEqual([]);
        expect(yields(row.size!, strength, at(1.25 * Number(row[`ultimate_${strength}_N`])))).toEqual([
          'error',
        ]);
      });
  }

  test('Shigley 8-29: M20 class 8.8 at 476 N·m (90 % of proof, lubricated) is near yield and not surely past it', () => {
    expect(yields('M20', '8.8', '476 N·m')).not.toContain('error');
    expect(yields('M20', '8.8', '476 ft·lbf')).toEqual(['error']);
  });

  test('Wentzell ex. 6.1: 3/4-10 UNC of 85 000 psi proof at 3619.7 in·lbf is near yield and not surely past it', () => {
    expect(yields('3/4-10 UNC', '"grade 5"', '3619.7 in·lbf')).not.toContain('error');
    expect(yields('3/4-10 UNC', '"grade 5"', '3619.7 ft·lbf')).toEqual(['error']);
  });
});

describe('common practice', () => {
  const small = 'tool TW2 "1/4 click wrench" range 2..9 N·m accuracy 6 % length 180 mm\n';
  const m6 = 'fastener case-m6 M6 class 8.8 torque 10 ± 1 N·m (88 in·lbf)';
  test('24 N·m on M8 8.8 is ordinary, and is about 210 in·lbf', () => {
    const sheet = 'fastener case-m8 M8x1.25 class 8.8 torque 24 ± 2 N·m (212 in·lbf)';
    expect(findingsOf(sheet, 'torque case-m8 to 24 N·m')).toEqual([]);
    expect(findingsOf(sheet, 'torque case-m8 to 24 N·m (210 in·lbf)')).toEqual([]);
  });
  test('M6 at 88 ft·lbf for 88 in·lbf is caught, with the unit that was meant', () => {
    const found = findingsOf(m6, 'torque case-m6 to 88 ft·lbf');
    expect(rulesOf(found)).toEqual(
      expect.arrayContaining(['exceeds-thread', 'torque-out-of-spec', 'unit-slip']),
    );
    expect(found.join('\n')).toContain('88 in·lbf');
    expect(rulesOf(findingsOf(m6, 'torque case-m6 to 10 N·m (88 ft·lbf)'))).toEqual(['equivalent-disagrees']);
  });
  test('10 N·m is not set on a wrench of 2 to 9 N·m, unless an adapter brings it there', () => {
    expect(rulesOf(findingsOf(small + m6, 'torque case-m6 to 10 N·m with TW2'))).toEqual([
      'tool-out-of-range',
    ]);
    expect(findingsOf(small + m6, 'torque case-m6 to 10 N·m adapter 40 mm with TW2')).toEqual([]);
  });
  test('20 ± 1 N·m with a wrench of ± 4 % is met, 20 ± 0.5 N·m cannot be shown (ISO 6789 accuracy)', () => {
    const wrench = 'tool TW1 "click wrench" range 10..60 N·m accuracy 4 %\n';
    expect(findingsOf(`${wrench}fastener nut M8 torque 20 ± 1 N·m`, 'torque nut to 20 N·m with TW1')).toEqual(
      [],
    );
    expect(
      findingsOf(`${wrench}fastener nut M8 torque 20 ± 0.5 N·m`, 'torque nut to 20 N·m with TW1'),
    ).toEqual([expect.stringMatching(/^information\[torque-out-of-spec\] TW1 is good to ± 0\.80 N·m here/)]);
  });
});

describe('estimate of the preload', () => {
  const estimate = (line: string) => {
    const declaration = check(line, 'note None.').rebuild.scope.fasteners.get('bolt')!;
    return preloadEstimate(declaration);
  };
  const numbers = (text: string) => [...text.matchAll(/\d+(?:\.\d+)?/g)].map(Number);

  for (const row of readCheckValues('vdi2230_fine_table.csv').filter(({ mu }) => mu === '0.12'))
    test(`VDI 2230:2001, ${row.thread} ${row.class}: ${row.MA_table_Nm} N·m pulls up to ${row.FM_table_kN} kN at friction 0.12`, () => {
      const torque = row.MA_table_Nm;
      const text = estimate(
        `fastener bolt ${row.thread} class ${row.class} torque ${torque}..${torque} N·m`,
      )!;
      const [least, most] = numbers(text);
      // The bearing face of the table's heads is a little larger than the usual one.
      expect(Math.abs(most! / Number(row.FM_table_kN) - 1)).toBeLessThan(0.05);
      expect(least!).toBeLessThan(most!);
      expect(text).toMatch(/An estimate, not a torque specification: the manual decides\.$/);
    });

  for (const row of readCheckValues('iso898_1_loads.csv').filter((one) => one['proof_8.8_N'] !== ''))
    test(`ISO 898-1 table 5: proof load of ${row.size}`, () => {
      for (const strength of ['8.8', '10.9', '12.9']) {
        const text = estimate(`fastener bolt ${row.size} class ${strength} torque 20 N·m`)!;
        const proof = Number(/proof load of ([\d.]+) kN/.exec(text)?.[1]);
        const wanted = Number(row[`proof_${strength}_N`]) / 1000;
        expect(Math.abs(proof - wanted)).toBeLessThanOrEqual(wanted < 10 ? 0.051 : 0.51);
      }
    });

  test('a slippery thread pulls more; an angle, and an unknown thread, have no estimate', () => {
    const [oiled] = numbers(estimate('fastener bolt M8 class 8.8 torque 24 N·m lubricant oiled')!);
    const [moly] = numbers(estimate('fastener bolt M8 class 8.8 torque 24 N·m lubricant moly')!);
    expect(moly!).toBeGreaterThan(oiled!);
    expect(estimate('fastener bolt M8 class 8.8 torque 24 N·m angle 60 °')).toBeUndefined();
    expect(estimate('fastener bolt torque 24 N·m')).toBeUndefined();
  });
});
