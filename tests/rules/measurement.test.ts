/**
 * Measurement from the log to the finding: published examples written as a table of limits and a log, checked as a
 * user's are. Each source stands beside its check; the figures are in tests/checkvalues/.
 */
import { describe, expect, it, test } from 'vitest';
import {
  rangeForMissing,
  readingUncertainty,
  workedUncertainty,
  writeMissingRange,
} from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

function check(limits: string, entries: string) {
  const workspace = createWorkspace();
  workspace.set('sheet.limits', `limits "Sheet"\n${limits}\n`);
  workspace.set(
    'log.rebuild',
    `log "Check"\nuse "sheet.limits"\nstep "Measure" 2026-05-02 14:00\n${entries}\n`,
  );
  return workspace.check('log.rebuild')!;
}

/** What the log's findings say, by rule; `missing-reading` aside unless it is asked for. */
function findingsOf(limits: string, entries: string): string[] {
  return check(limits, entries)
    .findings.filter(({ rule }) => rule !== 'missing-reading')
    .map(({ rule, message }) => `${rule}: ${message}`);
}

/** What is found in the table of limits itself. */
function tableFindings(limits: string): string[] {
  const workspace = createWorkspace();
  workspace.set('sheet.limits', `limits "Sheet"\n${limits}\n`);
  return workspace.check('sheet.limits')!.findings.map(({ rule, message }) => `${rule}: ${message}`);
}

const rulesOf = (findings: readonly string[]) => findings.map((one) => one.split(':')[0]);

describe('total indicator reading (TM 5-3810-305-23, TM 10-3930-664-24)', () => {
  const dial = 'limit dial @ (a b c d) -0.010..0.010 in ref "5"';
  const readings = `measure dial in in
    | a | 0      |
    | b | 0.003  |
    | c | -0.002 |
    | d | 0.003  |`;
  it('of 0, +.003, -.002, +.003 is .005 in', () => {
    expect(findingsOf(`${dial}\nlimit runout = range(dial) <= 0.005 in TIR`, readings)).toEqual([]);
    expect(findingsOf(`${dial}\nlimit runout = range(dial) <= 0.004 in TIR`, readings)).toEqual([
      'out-of-limits: runout is 0.005 in: 0.001 in over the limit of 0.004 in.',
    ]);
  });
  it('a bend is half of it (TM 10-3930-653-14&P)', () => {
    expect(findingsOf(`${dial}\nlimit bend = range(dial) / 2 <= 0.0025 in`, readings)).toEqual([]);
    expect(findingsOf(`${dial}\nlimit bend = range(dial) / 2 <= 0.0024 in`, readings)).toHaveLength(1);
  });
});

describe('out-of-round and taper of three levels (worked out from the definitions)', () => {
  const bore = 'limit bore @ (top middle bottom)/(x y) 65.000..65.020 mm';
  const readings = `measure bore in mm
    |        | x      | y      |
    | top    | 65.002 | 65.006 |
    | middle | 65.004 | 65.005 |
    | bottom | 65.012 | 65.010 |`;
  it('0.004 mm and 0.010 mm', () => {
    expect(
      findingsOf(
        `${bore}\nlimit oval = out-of-round(bore) <= 0.004 mm\nlimit cone = taper(bore) <= 0.010 mm`,
        readings,
      ),
    ).toEqual([]);
    expect(
      findingsOf(
        `${bore}\nlimit oval = out-of-round(bore) <= 0.003 mm\nlimit cone = taper(bore) <= 0.009 mm`,
        readings,
      ),
    ).toEqual([
      'out-of-limits: oval is 0.004 mm: 0.001 mm over the limit of 0.003 mm.',
      'out-of-limits: cone is 0.010 mm: 0.001 mm over the limit of 0.009 mm.',
    ]);
  });
});

/**
 * The end gauge of JCGM 100:2008, H.1: l = lS + d − lS (δα θ + αS δθ), as in tests/checkvalues/gum_h1.csv. Each input is
 * a reading with a tool whose U is twice its standard uncertainty; the comparator's three parts go together.
 */
describe('the end gauge of JCGM 100:2008, H.1', () => {
  const comparator = 2 * Math.hypot(5.8, 3.9, 6.7);
  const tools = `tool LS "standard" range 0..100 mm uncertainty 0.000050 mm
tool CO "comparator" range -0.01..0.01 mm uncertainty ${(comparator * 1e-6).toFixed(9)} mm
tool DA "difference of expansion" range -1..1 count uncertainty ${((2 * 1e-6) / Math.sqrt(3)).toFixed(12)} count
tool TH "mean temperature" range -10..10 count uncertainty 0.4 count
tool DT "difference of temperature" range -1..1 count uncertainty ${((2 * 0.05) / Math.sqrt(3)).toFixed(9)} count`;
  const parts = `limit standard 50.0..50.1 mm
limit comparison -0.001..0.001 mm
limit delta-alpha -1..1 count
limit theta -1..1 count
limit delta-theta -1..1 count`;
  const limit = (upper: string) =>
    `${tools}\n${parts}\nlimit gauge = standard + comparison - standard * (delta-alpha * theta + 0.0000115 * delta-theta) ${upper}`;
  const entries = `measure standard = 50.000623 mm with LS
  measure comparison = 0.000215 mm with CO
  measure delta-alpha = 0 count with DA
  measure theta = -0.1 count with TH
  measure delta-theta = 0 count with DT`;

  it('is 50.000838 mm with a standard uncertainty of 32 nm', () => {
    const { rebuild } = check(limit('<= 50.001 mm'), entries);
    const gauge = rebuild.characteristics.find(({ name }) => name === 'gauge')!;
    const [instance] = gauge.instances;
    expect(instance!.worked!.value!.high * 1e9).toBeCloseTo(50_000_838, 3);
    const { high } = workedUncertainty(gauge, instance!);
    // The sum of gum_h1.csv: u_c = 31.66 nm, given as 32 nm.
    expect(high! * 1e6).toBeCloseTo(31.664, 2);
  });
  it('so a limit is proved to be met from 1.65 × 31.66 = 52.2 nm on', () => {
    expect(rulesOf(findingsOf(limit('<= 50.000890 mm'), entries))).toEqual(['too-close-to-call']);
    expect(findingsOf(limit('<= 50.000891 mm'), entries)).toEqual([]);
    expect(findingsOf(limit('<= 50.000890 mm'), entries)[0]).toContain('give or take 0.000063 mm');
  });
});

describe('ISO 14253-1 (secondary text): limits 30.000 to 30.013 mm, guard 0.002 mm', () => {
  // A guard of 0.002 mm is 1.65 u, and U is 2 u.
  const limits = `tool MM1 "micrometer" range 25..50 mm uncertainty ${((2 * 0.002) / 1.65).toFixed(12)} mm
limit pin 30.000..30.013 mm`;
  const found = (value: string) =>
    rulesOf(findingsOf(limits, `measure pin = ${value} mm with MM1`)).filter(
      (id) => id !== 'tool-too-coarse',
    );
  test.each([
    ['30.001', ['too-close-to-call']],
    ['30.003', []],
    ['30.002', []],
    ['30.012', ['too-close-to-call']],
    ['30.015', ['out-of-limits', 'too-close-to-call']],
    ['30.016', ['out-of-limits']],
  ])('%s mm: %j', (value, expected) => {
    expect(found(value)).toEqual(expected);
  });
});

test('the guard can be set: with 2 u what 1.65 u proves is open', () => {
  const found = (guard?: number) => {
    const workspace = createWorkspace(guard === undefined ? {} : { guard });
    workspace.set(
      'log.rebuild',
      'log "Check"\ntool MM1 "micrometer" range 25..50 mm uncertainty 0.002 mm\nlimit pin 30.000..30.013 mm\nstep "Measure" 2026-05-02 14:00\nmeasure pin = 30.0018 mm with MM1\n',
    );
    return workspace.check('log.rebuild')!.findings.some(({ rule }) => rule === 'too-close-to-call');
  };
  expect([found(), found(2), found(0)]).toEqual([false, true, false]);
});

describe('40 CFR 1065.602 (tests/checkvalues/cfr40_1065_602_examples.csv)', () => {
  const printed = new Map(readCheckValues('cfr40_1065_602_examples.csv').map((row) => [row.quantity, row]));
  it('the mean', () => {
    const { inputs, printed: mean } = printed.get('mean')!;
    expect([inputs, mean]).toEqual(['10.60 11.91 11.09', '11.20']);
    const limit = (upper: string) =>
      `limit sample[1..3] 0..20 g\nlimit average = mean(sample[all]) <= ${upper} g`;
    const entries = inputs!
      .split(' ')
      .map((value, i) => `measure sample[${i + 1}] = ${value} g`)
      .join('\n');
    expect(findingsOf(limit('11.20'), entries)).toEqual([]);
    expect(findingsOf(limit('11.19'), entries)).toEqual([
      'out-of-limits: average is 11.20 g: 0.01 g over the limit of 11.19 g.',
    ]);
  });
  it('the accuracy, the mean less the reference', () => {
    const { inputs, printed: accuracy } = printed.get('accuracy |mean-ref|')!;
    const [readings = '', reference = ''] = inputs!.split(' ref ');
    const limits = (upper: string) =>
      `limit speed[1..3] 1700..1900 rpm\nlimit off = mean(speed[all]) - ${reference} rpm <= ${upper} rpm`;
    const entries = readings
      .split(' ')
      .map((value, i) => `measure speed[${i + 1}] = ${value} rpm`)
      .join('\n');
    // Printed to a tenth; 2.8 exactly.
    expect(findingsOf(limits(accuracy!), entries)).toEqual([]);
    expect(findingsOf(limits('2.7'), entries)).toEqual([
      `out-of-limits: off is ${accuracy} rpm: 0.1 rpm over the limit of 2.7 rpm.`,
    ]);
  });
});

describe('ISO 286 classes in a table of limits (tests/checkvalues/iso286_limits_check_rows.csv)', () => {
  const rows = readCheckValues('iso286_limits_check_rows.csv').map((row, i) => ({
    name: `size-${i + 1}`,
    size: Number(row.size_mm),
    isoClass: row.class!,
    upper: Number(row.upper_um),
    lower: Number(row.lower_um),
  }));
  const limits = rows.map(({ name, size, isoClass }) => `limit ${name} ${size} ${isoClass} mm`).join('\n');
  const measured = (of: (row: (typeof rows)[number]) => number) =>
    rows.map((row) => `  measure ${row.name} = ${(row.size + of(row) / 1000).toFixed(4)} mm`).join('\n');

  it('has rows to check', () => expect(rows.length).toBeGreaterThan(40));
  it('both ends belong to the limit', () => {
    expect(tableFindings(limits)).toEqual([]);
    expect(
      findingsOf(
        limits,
        measured(({ upper }) => upper),
      ),
    ).toEqual([]);
    expect(
      findingsOf(
        limits,
        measured(({ lower }) => lower),
      ),
    ).toEqual([]);
  });
  it('a tenth of a micrometre past either end does not', () => {
    const over = findingsOf(
      limits,
      measured(({ upper }) => upper + 0.1),
    );
    const under = findingsOf(
      limits,
      measured(({ lower }) => lower - 0.1),
    );
    expect(rulesOf(over)).toEqual(rows.map(() => 'out-of-limits'));
    expect(rulesOf(under)).toEqual(rows.map(() => 'out-of-limits'));
    expect(over.every((one) => one.includes('0.0001 mm over the limit of'))).toBe(true);
    expect(under.every((one) => one.includes('0.0001 mm under the limit of'))).toBe(true);
  });
  it.each(['20 t6', '13 v6', '17 y6', '501 H7', '0 H7', '20 j6'])(
    '%s mm is refused and judges nothing',
    (size) => {
      expect(rulesOf(tableFindings(`limit bush ${size} mm`))).toEqual(['syntax']);
      expect(findingsOf(`limit bush ${size} mm`, 'measure bush = 20.000 mm')).toEqual([]);
    },
  );
});

/** tests/checkvalues/textbook_fit_examples.csv: hole and shaft, and the clearances that they leave. */
describe('fits in a table of limits', () => {
  const clearanceOf = (hole: string, shaft: string, clearance: string) =>
    tableFindings(
      `limit hole ${hole} mm\nlimit shaft ${shaft} mm\nlimit clearance = hole - shaft ${clearance} mm`,
    );
  const examples = [
    ['FT1', '37.50..37.52', '37.45..37.47', '0.03', '0.07'],
    ['FT3', '30 +0.020/-0', '30 -0.005/-0.018', '0.005', '0.038'],
    ['FT4', '25.000..25.006', '24.986..24.990', '0.010', '0.020'],
    ['FT5', '100.000..100.005', '99.994..99.998', '0.002', '0.011'],
    ['FT7', '50 H8', '50 g7', '0.009', '0.073'],
    ['FT8', '30 +0.025/-0', '30 +0.011/-0.005', '-0.011', '0.030'],
    ['FT9', '20 H7', '20 s6', '-0.048', '-0.014'],
    ['FT10', '50 H7', '50 s6', '-0.059', '-0.018'],
  ] as const;
  it.each(examples)('%s: %s and %s leave %s to %s mm', (_, hole, shaft, least, greatest) => {
    expect(clearanceOf(hole, shaft, `${least}..${greatest}`)).toEqual([]);
    const [finding] = clearanceOf(hole, shaft, `${(Number(least) + 0.001).toFixed(3)}..${greatest}`);
    expect(finding).toMatch(/^limits-inconsistent: .*: 0\.001 mm under\./);
    const [other] = clearanceOf(hole, shaft, `${least}..${(Number(greatest) - 0.001).toFixed(3)}`);
    expect(other).toMatch(/^limits-inconsistent: .*: 0\.001 mm over\./);
  });
});

describe('temperature (ISO 1; Swyt, NIST J. Res. 99(1):31)', () => {
  const limits = `tool MM1 "micrometer" range 75..110 mm material steel
limit rod 99.980..100.005 mm material aluminium`;
  it('100 mm of aluminium read with steel at 30 °C is 0.0116 mm too long', () => {
    const [finding] = findingsOf(limits, 'measure rod = 100.0120 mm with MM1 temp 30 °C').filter((one) =>
      one.startsWith('temperature'),
    );
    // 100.0120 × (23.1 − 11.5) × 10⁻⁶ × 10 = 0.01160.
    expect(finding).toContain('at 20 °C it is 100.00040 mm, 0.012 mm less. That is inside its limit');
  });
  it('86 °F is the same temperature; 68 °F is 20 °C and needs no correction', () => {
    const at = (temperature: string) =>
      rulesOf(findingsOf(limits, `measure rod = 100.0120 mm with MM1 temp ${temperature}`));
    expect(at('86 °F')).toContain('temperature-matters');
    expect(at('68 °F')).toEqual(['out-of-limits']);
    expect(at('293.15 K')).toEqual(['out-of-limits']);
  });
});

/**
 * What the temperature adds to the uncertainty (tests/checkvalues/gum_h1.csv, 50.000623 mm): there δα is known within
 * 1e-6 and δθ within 0.05 °C, each evenly spread, at θ = 19.9 °C and αS = 11.5e-6.
 */
describe('the temperature of the end gauge of JCGM 100:2008, H.1', () => {
  const rows = new Map(readCheckValues('gum_h1.csv').map((row) => [row.input, Number(row.contribution_nm)]));
  const ofGauge = rows.get('l_S (standard length)')!;
  const ofAlpha = rows.get('delta_alpha 1/C')!;
  const ofTheta = rows.get('delta_theta C')!;
  const uncertaintyAt = (temperature: string, material: string) => {
    const { rebuild } = check(
      `tool LS "standard" range 0..100 mm uncertainty 0.000050 mm material steel\nlimit gauge 50.0..50.1 mm material ${material}`,
      `measure gauge = 50.000623 mm with LS temp ${temperature}`,
    );
    const [instance] = rebuild.characteristics[0]!.instances;
    return readingUncertainty(instance!.standing[0]!, instance!).high! * 1e6;
  };
  it('steel on steel: the two alloys may differ, each within 1e-6', () => {
    expect([ofGauge, ofAlpha, ofTheta]).toEqual([25, 2.88679, 16.599]);
    expect(uncertaintyAt('19.9 °C', 'steel')).toBeCloseTo(Math.hypot(ofGauge, ofAlpha, ofAlpha), 3);
    expect(uncertaintyAt('20.0 °C', 'steel')).toBe(ofGauge);
  });
  it('a thermometer read to a tenth moves aluminium on steel by 11.6 where the gauge has 11.5', () => {
    const thermometer = (ofTheta * 11.6) / 11.5;
    expect(uncertaintyAt('20.0 °C', 'aluminium')).toBeCloseTo(Math.hypot(ofGauge, thermometer), 1);
    // 68.0 °F is read to a tenth of a degree Fahrenheit.
    expect(uncertaintyAt('68.0 °F', 'aluminium')).toBeCloseTo(Math.hypot(ofGauge, thermometer / 1.8), 1);
  });
  it('is part of what is given or taken, and of the doubt at a limit', () => {
    const tables = `tool MM1 "micrometer" range 75..110 mm uncertainty 0.0010 mm material steel
limit rod 99.980..100.005 mm material aluminium`;
    const warm = findingsOf(tables, 'measure rod = 100.0120 mm with MM1 temp 30 °C').join('\n');
    // 2 √(0.0005² + (100 · 10 · 1.8e-6 ⁄ √3)² + (100 · 11.6e-6 · 0.5 ⁄ √3)²) = 0.00241.
    expect(warm).toContain('at 20 °C it is 100.00040 mm, give or take 0.0024 mm');
    const near = (temperature: string) =>
      findingsOf(tables, `measure rod = 100.0042 mm with MM1 temp ${temperature}`).filter((one) =>
        one.startsWith('too-close'),
      );
    expect(near('20.0 °C')).toHaveLength(1);
    expect(near('20.0 °C')[0]).toContain('give or take 0.001 mm (U of MM1):');
    expect(near('21 °C')[0]).toContain('give or take 0.0012 mm (U of MM1, and what 21 °C may do)');
  });
  it('cancels where part, tool and thermometer are shared', () => {
    const { rebuild } = check(
      `tool BG1 "bore gauge" range 50..100 mm resolution 0.000000001 mm uncertainty 0.002 mm
limit bore @ (top bottom) 67.500..67.520 mm material aluminium
limit cone = range(bore) <= 0.03 mm`,
      'measure bore @ top = 67.512 mm with BG1 temp 38 °C\nmeasure bore @ bottom = 67.510 mm with BG1 temp 38 °C',
    );
    const cone = rebuild.characteristics.find(({ name }) => name === 'cone')!;
    // One lies on its own line, so its thermometer was read twice.
    const thermometer = (67.51 * 11.6e-6 * 0.5) / Math.sqrt(3);
    expect(workedUncertainty(cone, cone.instances[0]!).high!).toBeCloseTo(thermometer * Math.SQRT2, 6);
  });
});

test('20 ± 1 mm with a tool of ± 0.8 mm: ratio 1.25, under 2 to 1 (ANSI/NCSL Z540.3, by ASQ)', () => {
  const [finding] = findingsOf(
    'tool SR1 "rule" range 0..300 mm uncertainty 0.8 mm\nlimit gap 20 ± 1 mm',
    'measure gap = 20.0 mm with SR1',
  );
  expect(finding).toMatch(/^tool-too-coarse: .*1\.2 to 1/);
});

describe('the grade that is fitted', () => {
  const limits = `part cylinder[front rear] "cylinder"
part piston[front rear] "piston"
limit bore[front rear] 67.500..67.520 mm of cylinder
limit bore[front rear] 67.750..67.770 mm of cylinder for cylinder os1
limit piston-skirt[front rear] 67.425..67.440 mm of piston
limit piston-skirt[front rear] 67.675..67.690 mm of piston for piston os1
limit clearance[front rear] = bore - piston-skirt 0.060..0.120 mm`;
  it('decides by which limit a reading is judged, member by member', () => {
    const bored = 'measure bore[front rear] = 67.762 mm';
    expect(rulesOf(findingsOf(limits, bored))).toEqual(['out-of-limits', 'out-of-limits']);
    const fitted = findingsOf(
      limits,
      `remove cylinder[front]\n${bored}\nfit cylinder[front] reworked grade os1`,
    );
    expect(fitted).toEqual(['out-of-limits: bore[rear] is 67.762 mm: 0.242 mm over the limit of 67.520 mm.']);
    const both = `remove cylinder[front rear]\n${bored}\nfit cylinder[front rear] reworked grade "os1"`;
    expect(findingsOf(limits, both)).toEqual([]);
  });
  it('is that of the last fitting', () => {
    const readings = `fit cylinder[front] new grade os1
measure bore[front] = 67.762 mm
remove cylinder[front] scrap
fit cylinder[front] new
measure bore[front] = 67.762 mm`;
    expect(rulesOf(findingsOf(limits, readings))).toEqual(['out-of-limits']);
  });
  it('what is worked out follows: a standard piston in a first oversize bore', () => {
    const readings = `fit cylinder[rear] reworked grade os1
fit piston[rear] new
measure bore[rear] = 67.762 mm
measure piston-skirt[rear] = 67.432 mm`;
    expect(findingsOf(limits, readings)).toEqual([
      'out-of-limits: clearance[rear] is 0.330 mm: 0.210 mm over the limit of 0.120 mm.',
    ]);
  });
});

describe('words and qualifiers', () => {
  const limits = `limit main-jet[front rear] "165" "168" ref "6.2"
limit timing[front rear] 1.9 ± 0.1 mm BTDC ref "7.1"`;
  it('of a reading are those of the limit, in a table too', () => {
    const table = `measure main-jet
| front | "165" |
| rear  | "168" |
measure timing in mm BTDC
| front | 1.92 |
| rear  | 1.88 |`;
    expect(findingsOf(limits, table)).toEqual([]);
  });
  it('or are reported', () => {
    expect(
      findingsOf(limits, 'measure main-jet[front] = "160"\nmeasure timing[front] = 1.92 mm ABDC'),
    ).toEqual([
      'out-of-limits: main-jet[front] is "160": the limit allows "165" or "168" (ref 6.2).',
      'unit-mismatch: timing[front] is 1.92 mm ABDC, and its limit is BTDC (ref 7.1).',
    ]);
  });
});

describe('the reading that is still missing', () => {
  const missing = (limits: string, entries: string) =>
    check(limits, entries)
      .findings.filter(({ rule, message }) => rule === 'missing-reading' && message.startsWith('For '))
      .map(({ message }) => message);
  const parts = 'limit a 0..100 mm\nlimit b 0..100 mm\nlimit c[1..3] 0..100 mm';
  const cases: readonly (readonly [expression: string, limit: string, entries: string, may: string])[] = [
    ['a - b', '0.10..0.20 mm', 'measure a = 10.00 mm', 'b may be 9.80..9.90 mm'],
    ['a - b', '0.10..0.20 mm', 'measure b = 10.00 mm', 'a may be 10.10..10.20 mm'],
    ['a - b', '<= 0.20 mm', 'measure b = 10.00 mm', 'a may be at most 10.20 mm'],
    // 10.00..10.05 was read: the worst of both ends counts.
    ['a - b', '0.10..0.20 mm', 'measure b = 10.00..10.05 mm', 'a may be 10.15..10.20 mm'],
    [
      'a - b',
      '0.10..0.12 mm',
      'measure b = 10.00..10.05 mm',
      'no a will do: the other readings already rule it out',
    ],
    ['2 * a + b', '10.00..12.00 mm', 'measure b = 4.00 mm', 'a may be 3.00..4.00 mm'],
    ['b - a / 2', '1.00..2.00 mm', 'measure b = 4.00 mm', 'a may be 4.00..6.00 mm'],
    ['b / a', '2..4', 'measure b = 8.00 mm', 'a may be 2.00..4.00 mm'],
    ['mean(c)', '1.00..2.00 mm', 'measure c[1 2] = 1.50 mm', 'c[3] may be 0.00..3.00 mm'],
    ['range(c)', '<= 0.20 mm', 'measure c[1] = 1.50 mm\nmeasure c[2] = 1.60 mm', 'c[3] may be 1.40..1.70 mm'],
    [
      'max(c)',
      '1.55..1.70 mm',
      'measure c[1] = 1.50 mm\nmeasure c[2] = 1.60 mm',
      'c[3] may be at most 1.70 mm',
    ],
    ['max(a, b)', '1.55..1.70 mm', 'measure b = 1.50 mm', 'a may be 1.55..1.70 mm'],
  ];
  it.each(cases)('%s %s after %s: %s', (expression, limit, entries, may) => {
    const unit = limit.endsWith('mm') ? '' : ' count';
    expect(missing(`${parts}\nlimit whole = ${expression} ${limit}${unit}`, entries)).toEqual([
      `For whole one reading is missing yet: ${may}.`,
    ]);
  });
  it('names the sizes of the table that fit, that may fit, or none', () => {
    const sizes = `part piston "piston"
limit bore 60..70 mm
limit skirt 67.425..67.440 mm of piston
limit skirt 67.675..67.690 mm of piston for piston os1
limit skirt 67.925..67.940 mm of piston for piston os2`;
    const toldAt = (bore: string, limit = '0.060..0.120 mm') =>
      missing(`${sizes}\nlimit clearance = bore - skirt ${limit}`, `measure bore = ${bore} mm`);
    expect(toldAt('67.762')).toEqual([
      'For clearance one reading is missing yet: skirt may be 67.642..67.702 mm; of the sizes in the table os1 (67.675..67.690 mm) fits.',
    ]);
    expect(toldAt('67.800')).toEqual([
      'For clearance one reading is missing yet: skirt may be 67.680..67.740 mm; of the sizes in the table os1 (67.675..67.690 mm) may fit, by what is measured.',
    ]);
    expect(toldAt('67.600')).toEqual([
      'For clearance one reading is missing yet: skirt may be 67.480..67.540 mm; no size in the table reaches that.',
    ]);
    expect(toldAt('68.000', '>= 0.060 mm')[0]).toContain(
      'skirt may be at most 67.940 mm; of the sizes in the table',
    );
    const single = 'limit a 10.00..10.10 mm\nlimit shim 0.50..1.20 mm\nlimit play = a - shim 0.05..0.15 mm';
    expect(missing(single, 'measure a = 10.05 mm')).toEqual([
      'For play one reading is missing yet: shim may be 9.90..10.00 mm, which its own limit of 0.50..1.20 mm does not reach.',
    ]);
  });
  it('is not guessed at while two are missing', () => {
    expect(missing(`${parts}\nlimit whole = a + b + c[1] 1..2 mm`, 'measure a = 1 mm')).toEqual([]);
  });
  it('of a bore: by its section for out-of-round, by its direction for taper', () => {
    const bore = 'limit bore @ (top bottom)/(x y) 67.500..67.520 mm';
    const readings = `measure bore in mm
    |        | x      | y      |
    | top    | 67.510 | 67.506 |
    | bottom | 67.512 |        |`;
    const may = (limit: string) => {
      const { rebuild } = check(`${bore}\nlimit form = ${limit}`, readings);
      const form = rebuild.characteristics.find(({ name }) => name === 'form')!;
      return writeMissingRange(rangeForMissing(form, form.instances[0]!)!);
    };
    expect(may('out-of-round(bore) <= 0.010 mm')).toBe('bore @ bottom/y may be 67.502..67.522 mm');
    expect(may('taper(bore) <= 0.010 mm')).toBe('bore @ bottom/y may be 67.496..67.516 mm');
    // Beside three places that were read there is nothing to choose, so the log is not told.
    expect(missing(`${bore}\nlimit form = taper(bore) <= 0.010 mm`, readings)).toEqual([]);
  });
});
