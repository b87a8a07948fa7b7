/**
 * Published tables through a log, row by row: what a table of limits or a line with an equivalent comes to when it is
 * checked as a user's is. The figures are in tests/checkvalues/, with their sources; the functions have tests of their own.
 */
import { describe, expect, it, test } from 'vitest';
import { preloadEstimate } from '../../server/features/preload-estimate.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

function checkLog(lines: readonly string[]) {
  const workspace = createWorkspace();
  workspace.set('log.rebuild', `log "Check"\n${lines.join('\n')}\n`);
  return workspace.check('log.rebuild')!;
}
const said = (lines: readonly string[]) =>
  checkLog(lines).findings.map(({ rule, message }) => `${rule}: ${message}`);
const rulesOf = (lines: readonly string[]) => checkLog(lines).findings.map(({ rule }) => rule);

describe('ISO 286-1, every width and every deviation to 500 mm, as a class on a limit', () => {
  /** Sizes just over and at the end of a step, in mm; up to 1 mm the widest grades are not defined. */
  const sizesOf = (over: string, upTo: string) => [Math.max(1.1, Number(over) + 0.1), Number(upTo)];
  const step = 'step "Measure" 2026-05-02 14:00';

  /** The limit, and readings at a place in micrometres from the size. */
  function judge(size: number, isoClass: string, micrometres: readonly number[]): readonly boolean[] {
    const names = micrometres.map((_, i) => `n${i}`);
    const { findings } = checkLog([
      ...names.map((name) => `limit ${name} ${size} ${isoClass} mm`),
      step,
      ...names.map((name, i) => `measure ${name} = ${(size + micrometres[i]! / 1000).toFixed(5)} mm`),
    ]);
    expect(findings.filter(({ rule }) => rule !== 'out-of-limits')).toEqual([]);
    const outside = new Set(findings.map(({ message }) => message.split(' ')[0]));
    return names.map((name) => !outside.has(name));
  }

  const grades = readCheckValues('iso286_it_grades.csv');
  it('has the rows of the standard', () => expect(grades.length).toBeGreaterThan(200));
  test.each([...new Set(grades.map((row) => row.grade!))])('%s: H is 0 to the width', (grade) => {
    for (const row of grades.filter((one) => one.grade === grade)) {
      const width = Number(row.table_um);
      for (const size of sizesOf(row.over_mm!, row.up_to_incl_mm!)) {
        const isoClass = `H${grade.slice(2)}`;
        expect([size, isoClass, ...judge(size, isoClass, [-0.05, 0, width, width + 0.05])]).toEqual([
          size,
          isoClass,
          false,
          true,
          true,
          false,
        ]);
      }
    }
  });

  const deviations = readCheckValues('iso286_fundamental_deviations.csv');
  test.each([...new Set(deviations.map((row) => `${row.letter} ${row.kind}`))])(
    'shafts %s: the end next to the size',
    (which) => {
      const [letter = '', kind] = which.replace('(other IT)', '').replace('(IT4-IT7)', '').split(' ');
      // k has a deviation of its own in the grades 4 to 7.
      const grade = which.includes('other') ? 9 : 6;
      for (const row of deviations.filter((one) => which.startsWith(`${one.letter} `))) {
        const end = Number(row.table_um);
        const size = Number(row.up_to_incl_mm);
        const sides = kind === 'es' ? [end, end + 0.05] : [end, end - 0.05];
        expect([size, ...judge(size, `${letter}${grade}`, sides)]).toEqual([size, true, false]);
      }
    },
  );
});

describe('NIST SP 811, Appendix B.8, as equivalents in parentheses', () => {
  /** Rows that are a unit of this language, with what a limit in it may be of. */
  const units: Readonly<Record<string, string>> = {
    inch: 'in',
    foot: 'ft',
    'thou (mil, 0.001 in)': 'thou',
    'pound-force': 'lbf',
    'ounce-force': 'ozf',
    'kilogram-force': 'kgf',
    'lbf.ft (torque)': 'ft·lbf',
    'lbf.in (torque)': 'in·lbf',
    'ozf.in (torque)': 'in·ozf',
    'kgf.m': 'kgf·m',
    'kgf.cm': 'kgf·cm',
    psi: 'psi',
    bar: 'bar',
    'inHg (conventional)': 'inHg',
    'inH2O (conventional)': 'inH2O',
    'mmHg (conventional)': 'mmHg',
    'pound (mass)': 'lb',
    'ounce (mass)': 'oz',
    'US fluid ounce': 'fl_oz',
    'US gallon': 'gal',
    'cubic inch': 'in³',
  };
  const targets: Readonly<Record<string, string>> = { 'N.m': 'N·m', cm3: 'cm³' };
  const rows = readCheckValues('units_sp811.csv').filter((row) => units[row.from!] !== undefined);
  it('has a row for each', () => expect(rows).toHaveLength(Object.keys(units).length));
  test.each(rows.map((row) => [row.from!, row] as const))('1000 %s', (_, row) => {
    const [from, to] = [units[row.from!]!, targets[row.to!] ?? row.to!];
    const factor = Number(row.exact) * 1000;
    // Five digits: the next one in the last place is another value.
    const decimals = Math.max(0, 4 - Math.floor(Math.log10(factor)));
    const right = factor.toFixed(decimals);
    const wrong = (Number(right) * 1.001).toFixed(decimals);
    const line = (equivalent: string) => [
      `limit x 0..2000.0 ${from}`,
      'step "M" 2026-05-02 14:00',
      `measure x = 1000.0 ${from} (${equivalent} ${to})`,
    ];
    expect(rulesOf(line(right))).toEqual([]);
    expect(rulesOf(line(wrong))).toEqual(['equivalent-disagrees']);
  });
});

describe('ASME B1.1 stress areas, by the proof load of a grade 5 screw (SAE J429: 85 000 psi to 1 in; from memory)', () => {
  const rows = readCheckValues('unified_stress_areas.csv').filter(
    (row) => Number(row.d_in) >= 0.25 && Number(row.d_in) <= 1,
  );
  it('has rows', () => expect(rows.length).toBeGreaterThan(10));
  test.each(rows.map((row) => [`${row.thread} ${row.series}`, Number(row.At_in2)] as const))(
    '%s',
    (thread, area) => {
      const { rebuild } = checkLog([`fastener bolt ${thread} class "grade 5" torque 10 ft·lbf`]);
      const text = preloadEstimate(rebuild.scope.fasteners.get('bolt')!)!;
      const proof = Number(/proof load of ([\d.]+) kN/.exec(text)![1]);
      const wanted = (area * 85_000 * 4.4482216152605) / 1000;
      expect(Math.abs(proof - wanted)).toBeLessThan(wanted < 10 ? 0.06 : 0.6);
    },
  );
});

describe('AC 43.13-1B, Table 7-1, shear nuts', () => {
  const rows = readCheckValues('ac43_13_1b_table7_1.csv').filter(
    (row) => row.shear_nut_rec_min_inlb !== '' && row.shear_nut_rec_max_inlb !== '',
  );
  it('has rows', () => expect(rows.length).toBeGreaterThan(10));
  test.each(
    rows.map((row) => [
      `${row.size_tpi} ${row.series}`,
      row.shear_nut_rec_min_inlb!,
      row.shear_nut_rec_max_inlb!,
    ]),
  )('%s: %s to %s in·lbf', (size, least, most) => {
    const [thread = '', series] = size.split(' ');
    const number = /^\d+-/.test(thread) && Number(thread.split('-')[0]) > 1 ? `#${thread}` : thread;
    const sheet = `fastener nut[1 2] ${number} ${series === 'fine' ? 'UNF' : 'UNC'} torque ${least}..${most} in·lbf`;
    const step = 'step "T" 2026-05-02 14:00';
    const torque = (first: string, second: string) =>
      rulesOf([sheet, step, `torque nut[1] to ${first} in·lbf`, `torque nut[2] to ${second} in·lbf`]);
    expect(torque(least, most)).toEqual([]);
    expect(torque(least, String(Number(most) + 1))).toContain('torque-out-of-spec');
    expect(torque(String(Number(least) - 1), most)).toContain('torque-out-of-spec');
  });
});

describe('bolt pull of several bolts, averaged in the log (Shigley, tables 8-13 and 8-14)', () => {
  const rows = readCheckValues('torque_preload_examples.csv').filter(
    ({ id }) => id === 'TP1' || id === 'TP15',
  );
  test.each(rows.map((row) => [row.id!, row] as const))('%s', (_, row) => {
    const values = row.inputs!.split(': ')[1]!.split(' ');
    const mean = Number(row.calc);
    const lines = (upper: number) => [
      `limit pull[1..${values.length}] 0..100 kN`,
      `limit average = mean(pull[all]) <= ${upper.toFixed(3)} kN`,
      'step "M" 2026-05-02 14:00',
      ...values.map((value, i) => `measure pull[${i + 1}] = ${value} kN`),
    ];
    expect(said(lines(mean + 0.0051))).toEqual([]);
    expect(rulesOf(lines(mean - 0.0051))).toEqual(['out-of-limits']);
    expect(Number(mean.toFixed(1))).toBeCloseTo(Number(row.book), 0);
  });
});

describe('RFC 3339, 5.8: times of steps with an offset', () => {
  const rows = new Map(readCheckValues('datetime_examples.csv').map((row) => [row.input!, row]));
  const steps = (first: string, second: string) =>
    rulesOf([`step "One" ${first}`, 'note a', `step "Two" ${second}`, 'note b']);
  test('1996-12-19T16:39:57-08:00 is 00:39:57Z on the 20th', () => {
    const [local, instant] = ['1996-12-19T16:39:57-08:00', rows.get('1996-12-19T16:39:57-08:00')!.expected!];
    expect(instant).toBe('1996-12-20T00:39:57Z');
    expect([steps(local, instant), steps(instant, local)]).toEqual([[], []]);
    expect(steps(local, '1996-12-20T00:39:56Z')).toEqual(['time-backwards']);
  });
  test('a leap second is a time', () =>
    expect(steps('1990-12-31T23:59:60Z', '1991-01-01T00:00:00Z')).toEqual([]));
  test('24 h of cure over a change of the clocks are 24 h and not a day', () => {
    const row = rows.get('2024-03-10T01:30:00-08:00 + PT24H')!;
    expect(row.expected).toBe('2024-03-11T09:30:00Z');
    const cured = (at: string) =>
      rulesOf([
        'sealant rtv "RTV" cure 24 h open 10 min torque cured',
        'fastener m8[1 2] M8 torque 24 N·m',
        'joint j sealant rtv fasteners m8',
        'step "Close" 2024-03-10T01:20:00-08:00',
        'apply rtv to j at 2024-03-10T01:30:00-08:00',
        'finger-tight m8[all] at 2024-03-10T01:35:00-08:00',
        `step "Torque" ${at}`,
        `torque m8[all] to 24 N·m at ${at}`,
      ]);
    expect(cured('2024-03-11T02:30:00-07:00')).toEqual([]);
    // The same time of the clock on the next day: an hour short.
    expect(cured('2024-03-11T01:30:00-07:00')).toEqual(['torque-before-cure']);
  });
});

describe('worked figures, in a log (the arithmetic of tests/checkvalues/; sources beside each)', () => {
  const measured = (limits: readonly string[], readings: readonly string[]) =>
    said([...limits, 'step "M" 2026-05-02 14:00', ...readings]);

  test('a compression ratio of 823.70 and 100.00 cm³ is 9.237 (worked examples on the web)', () => {
    const ratio = (most: string) =>
      measured(
        [
          'limit swept 800..850 cm³',
          'limit clearance 90..110 cm³',
          `limit ratio = (swept + clearance) / clearance <= ${most} count`,
        ],
        ['measure swept = 823.70 cm³', 'measure clearance = 100.00 cm³'],
      );
    expect(ratio('9.237')).toEqual([]);
    expect(ratio('9.236')).toEqual([
      'out-of-limits: ratio is 9.237 count: 0.001 count over the limit of 9.236 count.',
    ]);
  });

  test('a squish of 0.20 and 0.80 mm is 1.00 mm, of 0.008 in and 0.8 mm 1.0032 mm (worked out)', () => {
    const squish = (deck: string, most: string) =>
      measured(
        ['limit deck 0..1 mm', 'limit gasket 0..1 mm', `limit squish = deck + gasket <= ${most} mm`],
        [`measure deck = ${deck}`, 'measure gasket = 0.80 mm'],
      ).filter((one) => !one.startsWith('unit-differs'));
    expect(squish('0.20 mm', '1.00')).toEqual([]);
    expect(squish('0.008 in', '1.0032')).toEqual([]);
    expect(squish('0.008 in', '1.0031')).toEqual([
      'out-of-limits: squish is 1.0032 mm: 0.0001 mm over the limit of 1.0031 mm.',
    ]);
  });

  // 128 US fluid ounces are a gallon, 1000 mL a litre: 50:1, 40:1, 32:1 and 25:1.
  test.each([
    ['20.00', '2.560'],
    ['25.00', '3.200'],
    ['31.25', '4.000'],
    ['40.00', '5.120'],
  ])('%s mL of oil to the litre are %s fl oz to the gallon', (metric, american) => {
    const line = (ounces: string) =>
      rulesOf([
        'limit oil 0..100 mL/L',
        'step "M" 2026-05-02 14:00',
        `measure oil = ${metric} mL/L (${ounces} fl_oz/gal)`,
      ]);
    expect(line(american)).toEqual([]);
    expect(line((Number(american) + 0.01).toFixed(3))).toEqual(['equivalent-disagrees']);
  });

  test.each([
    ['212 °F', '100 °C', '101 °C'],
    ['-40 °F', '-40 °C', '-41 °C'],
    ['68.0 °F', '293.15 K', '293.5 K'],
    // A tolerance is a difference: 18 °F of it are 10 K, whatever the temperature (NIST SP 811: 5/9).
    ['80 ± 18 °F', '26.7 ± 10.0 °C', '26.7 ± 7.8 °C'],
  ])('%s is %s, not %s', (value, right, wrong) => {
    const line = (equivalent: string) => rulesOf([`limit oil-temp ${value} (${equivalent})`]);
    const told = (equivalent: string) => line(equivalent).filter((rule) => rule !== 'missing-reading');
    expect(told(right)).toEqual([]);
    expect(told(wrong)).toEqual(['equivalent-disagrees']);
  });

  test('29.92 inHg are 101.3207 kPa, and 14.5037738 psi 100 kPa (worked out from the exact factors)', () => {
    const line = (value: string, equivalent: string) =>
      rulesOf([
        'limit air 0..200 kPa',
        'step "M" 2026-05-02 14:00',
        `measure air = ${equivalent} kPa (${value})`,
      ]);
    expect(line('29.9200 inHg', '101.3207')).toEqual([]);
    expect(line('29.9200 inHg', '101.3217')).toEqual(['equivalent-disagrees']);
    expect(line('14.5037738 psi', '100.0000000')).toEqual([]);
    expect(line('14.5037738 psi', '100.0000010')).toEqual(['equivalent-disagrees']);
  });

  test('oil first, 1:32, is no mixture: 32:1 was meant', () => {
    expect(measured(['limit mixture 32:1'], ['measure mixture = 1:32'])[0]).toMatch(
      /^syntax: A mixture is written/,
    );
    expect(measured(['limit mixture 32:1'], ['measure mixture = 32:1'])).toEqual([]);
  });
});
