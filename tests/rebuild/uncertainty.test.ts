/** Uncertainty through expressions against differences worked out by hand, and missing readings against trial. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Instance, rangeForMissing, workedUncertainty } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

function derived(declarations: string, entries: string) {
  const workspace = createWorkspace();
  workspace.set('log.rebuild', `log "Check"\n${declarations}\nstep "Measure" 2026-05-02 14:00\n${entries}\n`);
  const { rebuild, findings } = workspace.check('log.rebuild')!;
  const whole = rebuild.characteristics.find(({ name }) => name === 'whole')!;
  return { whole, instance: whole.instances[0] as Instance, findings };
}

const names = ['a', 'b', 'c', 'd'] as const;
type Values = Readonly<Record<(typeof names)[number], number>>;

/** Expressions that end in a length, each with the same in this language. */
const expressions: readonly (readonly [string, (of: Values) => number])[] = [
  ['a - b', ({ a, b }) => a - b],
  ['a + b * 2 - c', ({ a, b, c }) => a + b * 2 - c],
  ['a * b / c', ({ a, b, c }) => (a * b) / c],
  ['a / (b / c)', ({ a, b, c }) => a / (b / c)],
  ['(a + b) * (c - d) / (a + d)', ({ a, b, c, d }) => ((a + b) * (c - d)) / (a + d)],
  ['mean(a, b, c) - min(a, d)', ({ a, b, c, d }) => (a + b + c) / 3 - Math.min(a, d)],
  ['max(a * 2, b) - range(c, d)', ({ a, b, c, d }) => Math.max(a * 2, b) - Math.abs(c - d)],
];

/** Sizes that are well apart, so that a small step does not change which is the largest. */
const someValues = fc
  .uniqueArray(fc.integer({ min: 11, max: 60 }), { minLength: 4, maxLength: 4 })
  .map(([a = 0, b = 0, c = 0, d = 0]): Values => ({ a, b, c, d }))
  .filter(({ a, b, c, d }) => Math.abs(a * 2 - b) > 1 && c !== d && a !== d);
const someUncertainties = fc
  .array(fc.integer({ min: 1, max: 200 }), { minLength: 4, maxLength: 4 })
  .map(([a = 0, b = 0, c = 0, d = 0]): Values => ({ a: a / 1e4, b: b / 1e4, c: c / 1e4, d: d / 1e4 }));

/** What each input adds for one standard uncertainty: a central difference, independent of the tool's own algebra. */
function effects(of: (values: Values) => number, at: Values, u: Values): number[] {
  const step = 1e-5;
  return names.map(
    (name) =>
      ((of({ ...at, [name]: at[name] + step }) - of({ ...at, [name]: at[name] - step })) / (2 * step)) *
      u[name],
  );
}

const limits = `${names.map((name) => `limit ${name} 0..1000 mm`).join('\n')}\n`;
const used = (expression: string) => names.filter((name) => new RegExp(`\\b${name}\\b`).test(expression));

describe('the law of propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2)', () => {
  it.each(expressions)('%s: the sum of squares over tools of their own', (expression, of) => {
    fc.assert(
      fc.property(someValues, someUncertainties, (at, u) => {
        const tools = names
          .map((name) => `tool T-${name} "gauge" range 0..1000 mm uncertainty ${2 * u[name]} mm`)
          .join('\n');
        const { whole, instance } = derived(
          `${tools}\n${limits}limit whole = ${expression} <= 1000 mm`,
          used(expression)
            .map((name) => `measure ${name} = ${at[name]} mm with T-${name}`)
            .join('\n'),
        );
        const wanted = Math.hypot(...effects(of, at, u));
        expect(workedUncertainty(whole, instance).high! / wanted).toBeCloseTo(1, 5);
      }),
      { numRuns: 25 },
    );
  });
  it.each(expressions)('%s: the plain sum over one tool whose own part is nothing', (expression, of) => {
    fc.assert(
      fc.property(someValues, (at) => {
        const same = { a: 0.001, b: 0.001, c: 0.001, d: 0.001 };
        const { whole, instance } = derived(
          `tool T1 "gauge" range 0..1000 mm resolution 0.000000001 mm uncertainty 0.002 mm\n${limits}limit whole = ${expression} <= 1000 mm`,
          used(expression)
            .map((name) => `measure ${name} = ${at[name]} mm with T1`)
            .join('\n'),
        );
        const wanted = Math.abs(effects(of, at, same).reduce((sum, one) => sum + one, 0));
        expect(Math.abs(workedUncertainty(whole, instance).high! - wanted)).toBeLessThan(1e-8);
      }),
      { numRuns: 25 },
    );
  });
  it('is not known while one tool states none', () => {
    const { whole, instance } = derived(
      `tool T1 "gauge" range 0..100 mm uncertainty 0.002 mm\ntool T2 "rule" range 0..100 mm resolution 0.5 mm\n${limits}limit whole = a - b <= 1000 mm`,
      'measure a = 10 mm with T1\nmeasure b = 5 mm with T2',
    );
    expect(workedUncertainty(whole, instance)).toEqual({ low: undefined, high: undefined });
  });
});

describe('what a missing reading may be', () => {
  const room = [1, 200] as const;
  it.each(expressions.slice(0, 5))('%s: met inside the range and missed outside', (expression, of) => {
    fc.assert(
      fc.property(someValues, fc.constantFrom('b', 'c'), (at, unknown) => {
        if (!used(expression).includes(unknown)) return;
        const lines = `${limits}limit whole = ${expression} ${room[0]}..${room[1]} mm`;
        const { whole, instance } = derived(
          lines,
          used(expression)
            .filter((name) => name !== unknown)
            .map((name) => `measure ${name} = ${at[name]} mm`)
            .join('\n'),
        );
        const range = rangeForMissing(whole, instance);
        if (range === undefined) {
          // Where it cannot be turned round nothing is claimed.
          expect(expression).toMatch(/\//);
          return;
        }
        const met = (x: number) => {
          const value = of({ ...at, [unknown]: x });
          return value >= room[0] - 1e-6 && value <= room[1] + 1e-6;
        };
        const width = 1 + Math.abs((range.high ?? 0) - (range.low ?? 0));
        if (range.low !== undefined && range.high !== undefined && range.low <= range.high) {
          expect([met(range.low), met((range.low + range.high) / 2), met(range.high)]).toEqual([
            true,
            true,
            true,
          ]);
        }
        if (range.low !== undefined) expect(met(range.low - width / 1000)).toBe(false);
        if (range.high !== undefined) expect(met(range.high + width / 1000)).toBe(false);
      }),
      { numRuns: 40 },
    );
  });
});
