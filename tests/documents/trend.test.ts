/** Wear over hours through whole logs, against certified straight lines and by what it refuses. */
import { describe, expect, test } from 'vitest';
import { type Trend, trendsHtml, trendsOf, trendsText } from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';

const limits = `limits "Tern 460"
limit bore[front] 67.500..67.520 mm wear <= 67.560 mm of cylinder
limit crank-runout 0..2000 mm
part cylinder[front] "cylinder"
`;

interface Log {
  readonly hours: number | string;
  readonly body: string;
  readonly serial?: string;
}

function trends(logs: readonly Log[], table = limits): readonly Trend[] {
  const workspace = createWorkspace();
  workspace.set('t.limits', table);
  for (const [i, { hours, body, serial = '0117' }] of logs.entries())
    workspace.set(
      `${i}.rebuild`,
      `log "overhaul ${i}"\nuse "t.limits"\nmachine tern-460 serial "${serial}" hours ${hours} h\nstep "Work" 2026-05-03\n${body}\n`,
    );
  return trendsOf(logs.map((_, i) => workspace.check(`${i}.rebuild`)!));
}

const bore = (value: string, as = '') => `  measure bore[front] = ${value} mm${as}`;

describe('a straight line', () => {
  test('NIST StRD Norris: certified slope, intercept, residual deviation and R²', () => {
    const rows = readCheckValues('nist_strd_norris.csv');
    expect(rows.length).toBeGreaterThan(30);
    const logs = rows.map((row) => {
      return { hours: row.x!, body: `  measure crank-runout = ${row.y} mm` };
    });
    const trend = trends(logs).find((one) => one.target === 'crank-runout');
    expect(trend?.lives[0]).toHaveLength(rows.length);
    expect(trend?.line?.slope).toBeCloseTo(1.00211681802045, 11);
    expect(trend?.line?.intercept).toBeCloseTo(-0.262323073774029, 9);
    expect(trend?.line?.residual).toBeCloseTo(0.884796396144373, 9);
    expect(trend?.line?.rSquared).toBeCloseTo(0.999993745883712, 11);
  });

  test('Walpole, by GTC: slope, intercept and the correlation', () => {
    const logs = readCheckValues('line_fit_walpole_gtc.csv').map(({ x, y }) => ({
      hours: x!,
      body: `  measure crank-runout = ${y} mm`,
    }));
    const trend = trends(logs).find((one) => one.target === 'crank-runout');
    expect(trend?.lives[0]).toHaveLength(33);
    expect(trend?.line?.slope).toBeCloseTo(0.903643210579323, 11);
    expect(trend?.line?.intercept).toBeCloseTo(3.82963319758869, 10);
    // That of the two coefficients is given; for 31 degrees of freedom the residual deviation follows from u of the slope.
    expect(trend?.line?.rSquared).toBeCloseTo(
      1 / (1 + (31 * 0.050118973559182 ** 2) / 0.903643210579323 ** 2),
      9,
    );
  });

  test('readings on a line: when the wear limit is reached', () => {
    const [trend] = trends([
      { hours: 0, body: bore('67.510') },
      { hours: 100, body: bore('67.520') },
      { hours: 200, body: bore('67.530') },
      { hours: 300, body: bore('67.540') },
    ]);
    expect(trend?.projection?.limit).toBe(67.56);
    expect(trend?.projection?.hours).toBeCloseTo(500, 6);
    expect(trendsText([trend!])).toContain('+0.0100 mm in 100 h; reaches 67.560 mm at about 500 h');
  });

  test('what is worked out stands at the hours of its readings, not at those after a run', () => {
    const table = `limits "Tern 460"
limit bore 67.500..67.520 mm
limit skirt 67.425..67.440 mm
limit clearance = bore - skirt 0.060..0.120 mm wear <= 0.150 mm
`;
    const body = '  measure bore = 67.510 mm\n  run 20 h\n  measure skirt = 67.430 mm\n  run 30 h';
    const trend = trends([{ hours: 100, body }], table).find((one) => one.target === 'clearance');
    expect(trend?.lives.flat().map(({ hours }) => hours)).toEqual([120]);
  });

  test('scatter widens the interval', () => {
    const [trend] = trends([
      { hours: 0, body: bore('67.511') },
      { hours: 100, body: bore('67.519') },
      { hours: 200, body: bore('67.531') },
      { hours: 300, body: bore('67.539') },
    ]);
    const { interval, hours } = trend!.projection!;
    expect(interval!.lower).toBeLessThan(hours);
    expect(interval!.upper).toBeGreaterThan(hours);
  });
});

describe('refuses to foretell', () => {
  test('from two readings', () => {
    const [trend] = trends([
      { hours: 0, body: bore('67.510') },
      { hours: 100, body: bore('67.520') },
    ]);
    expect(trend?.projection).toBeNull();
    expect(trend?.refused).toMatch(/^not enough readings: 2 of the part/);
  });

  test('from readings that scatter more than they change', () => {
    const [trend] = trends([
      { hours: 0, body: bore('67.515') },
      { hours: 100, body: bore('67.511') },
      { hours: 200, body: bore('67.516') },
    ]);
    expect(trend?.projection).toBeNull();
    expect(trend?.refused).toContain('scatter too much');
  });

  test('where there is no limit on the side it goes to', () => {
    const [trend] = trends([
      { hours: 0, body: bore('67.518') },
      { hours: 100, body: bore('67.514') },
      { hours: 200, body: bore('67.510') },
    ]);
    expect(trend?.refused).toContain('it shrinks, and there is no limit on that side');
  });
});

test('a new or honed part begins a new life: what was found belongs to the old one', () => {
  const [trend] = trends([
    { hours: 0, body: bore('67.510') },
    { hours: 100, body: bore('67.530') },
    {
      hours: 200,
      body: `${bore('67.550', ' as found')}\n  remove cylinder[front]\n  fit cylinder[front] reworked because "honed"\n${bore('67.515')}`,
    },
    { hours: 300, body: bore('67.525') },
  ]);
  expect(trend?.lives.map((life) => life.map(({ hours, value, as }) => [hours, value, as]))).toEqual([
    [
      [0, 67.51, 'left'],
      [100, 67.53, 'left'],
      [200, 67.55, 'found'],
    ],
    [
      [200, 67.515, 'left'],
      [300, 67.525, 'left'],
    ],
  ]);
});

describe('a wheel that was replaced', () => {
  const table = `limits "Winch"
limit tooth[1 2] 6.20..6.28 mm wear >= 5.90 mm of wheel
limit spread = range(tooth[all]) <= 0.06 mm wear <= 0.12 mm
part wheel "wheel"
`;
  const teeth = (one: string, two: string) =>
    `  measure tooth[1] = ${one} mm\n  measure tooth[2] = ${two} mm\n`;
  const renewal = `  remove wheel\n${teeth('5.95', '6.05')}  fit wheel\n  remove wheel scrap\n  fit wheel new\n`;
  const valuesOf = (logs: readonly Log[], target: string) => {
    const trend = trends(logs, table).find((one) => one.target === target)!;
    return { lives: trend.lives.map((life) => life.map(({ value }) => value)), refused: trend.refused };
  };
  const logs = [
    { hours: 0, body: teeth('6.22', '6.23') },
    { hours: 100, body: teeth('6.10', '6.15') },
    { hours: 200, body: renewal + teeth('6.23', '6.24') },
    { hours: 300, body: teeth('6.20', '6.22') },
  ];

  test('keeps what was read of it in the log that replaced it, and what is worked out begins anew too', () => {
    expect(valuesOf(logs, 'tooth[1]').lives).toEqual([
      [6.22, 6.1, 5.95],
      [6.23, 6.2],
    ]);
    const spread = valuesOf(logs, 'spread');
    expect(spread.lives.map((life) => life.length)).toEqual([2, 2]);
    expect(spread.refused).toMatch(/^not enough readings: 2 of the part that is in now/);
  });

  test('foretells nothing of the one that is in now before it was read', () => {
    const unread = [
      ...logs.slice(0, 2),
      { hours: 150, body: teeth('6.04', '6.05') },
      { hours: 200, body: renewal },
    ];
    expect(valuesOf(unread, 'tooth[1]').refused).toMatch(
      /^not enough readings: 0 of the part that is in now/,
    );
  });
});

test('a limit that the line has come past was reached', () => {
  const [trend] = trends([
    { hours: 0, body: bore('67.511') },
    { hours: 100, body: bore('67.549') },
    { hours: 200, body: bore('67.591') },
  ]);
  expect(trendsText([trend!])).toContain('reached 67.560 mm at about 12');
});

test('inches and millimetres meet in the unit of the limit; runs count; machines are kept apart', () => {
  const found = trends([
    { hours: 10, body: '  run 60 min "in"\n  measure bore[front] = 2.6583 in' },
    { hours: 20, body: bore('67.530') },
    { hours: 20, body: bore('67.500'), serial: '0122' },
  ]);
  expect(found.map((one) => one.machine)).toEqual(['tern-460 no. 0117', 'tern-460 no. 0122']);
  expect(found[0]?.lives[0]?.map(({ hours }) => hours)).toEqual([11, 20]);
  expect(found[0]?.lives[0]?.[0]?.value).toBeCloseTo(67.52082, 5);
});

test('the line is drawn through its readings, whatever the limit is that it comes to', () => {
  const svg = trendsHtml(
    trends(
      [10, 12, 13, 15].map((value, i) => ({ hours: i * 100, body: `  measure shim = 1.${value} mm` })),
      'limits "Tern 460"\nlimit shim 1.00..1.30 mm\n',
    ),
  );
  const circles = [...svg.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)"/g)].map((one) =>
    one.slice(1).map(Number),
  );
  const [x1, y1, x2, y2] = /<path d="M([\d.-]+) ([\d.-]+)L([\d.-]+) ([\d.-]+)" stroke="var\(--wm-ink\)"/
    .exec(svg)!
    .slice(1)
    .map(Number) as [number, number, number, number];
  expect(circles).toHaveLength(4);
  for (const [x, y] of circles as [number, number][])
    expect(Math.abs(y1 + ((x - x1) / (x2 - x1)) * (y2 - y1) - y)).toBeLessThan(4);
  // 0.016 mm in 100 h by least squares over 0, 100, 200, 300 h.
  expect(svg).toContain('+0.016 mm in 100 h');
});

test('the page has a drawing with the same words beside it, no script, and nothing from the net', () => {
  const page = trendsHtml(
    trends([
      { hours: 0, body: bore('67.511') },
      { hours: 100, body: bore('67.519') },
      { hours: 200, body: bore('67.531') },
    ]),
  );
  expect(page).toContain('role="img"');
  expect(page).toMatch(/<title>bore\[front\], wear limit &lt;= 67\.560 mm/);
  expect(page).not.toContain('<script');
  expect(page).not.toMatch(/(?:src|href)=/);
  // The middle of the last label stands on its tick: half of it must find room.
  const labels = [...page.matchAll(/<text x="([\d.]+)" y="\d+" text-anchor="middle">([^<]+)/g)];
  const [, width] = /viewBox="0 0 (\d+)/.exec(page)!;
  expect(labels.length).toBeGreaterThan(1);
  for (const [, x, text] of labels) expect(Number(x) + 4 * text!.length).toBeLessThan(Number(width));
});

test('readings keep the digits they were written with, and a limit without a wear limit is drawn too', () => {
  const table = 'limits "Tern 460"\nlimit timing 1.8..2.0 mm\n';
  const found = trends(
    [
      { hours: 10, body: '  measure timing = 1.92 mm' },
      { hours: 60, body: '  measure timing = 1.94 mm' },
    ],
    table,
  );
  const text = trendsText(found);
  expect(text).toContain('1.92 |o');
  expect(text).toMatch(/^ +2\.00 \|-{10,}/m);
  expect(trendsHtml(found).match(/stroke-dasharray/g)).toHaveLength(2);
});

test('logs whose tables are in different units meet in the unit of the newest', () => {
  const workspace = createWorkspace();
  const logOf = (name: string, hours: number, value: string) =>
    `log "x"\nuse "${name}.limits"\nmachine tern-460 serial "1" hours ${hours} h\nstep "Work" 2026-05-03\n  measure bore = ${value}\n`;
  workspace.set('inch.limits', 'limits "old"\nlimit bore 2.6575..2.6583 in wear <= 2.6598 in\n');
  workspace.set('mm.limits', 'limits "new"\nlimit bore 67.500..67.520 mm wear <= 67.560 mm\n');
  workspace.set('a.rebuild', logOf('inch', 10, '2.6580 in'));
  workspace.set('b.rebuild', logOf('mm', 60, '67.520 mm'));
  const [trend] = trendsOf(['a', 'b'].map((name) => workspace.check(`${name}.rebuild`)!));
  expect(trend?.unit).toBe('mm');
  // 2.6580 × 25.4 = 67.5132; an inch is 25.4 mm exactly (NIST SP 811).
  expect(trend?.lives[0]?.map(({ value }) => value.toFixed(4))).toEqual(['67.5132', '67.5200']);
});

test('readings on one line give no band whose ends are the same', () => {
  const logs = ['67.510', '67.520', '67.530', '67.540'].map((value, i) => ({
    hours: i * 100,
    body: bore(value),
  }));
  const text = trendsText(trends(logs));
  expect(text).toMatch(/reaches 67\.560 mm at about 500 h$/m);
});
