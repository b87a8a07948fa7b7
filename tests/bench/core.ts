/**
 * Measures the core in this process: parsing, binding, rules and the whole check, in lines a second; heap. Lines that
 * were read before are not parsed again, so each run but that of `again` has a text with lines of its own.
 */
import { parse } from '../../grammar/index.ts';
import { bind, buildScope, declarationBlocks, declarationsOf } from '../../server/rebuild/index.ts';
import { runRules } from '../../server/rules/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { generateLog, limitsText, withoutRepeats } from './generate.ts';

/** Median milliseconds of several runs, after one that does not count. */
function time(work: (run: number) => unknown, runs: number): number {
  work(0);
  const times: number[] = [];
  for (let i = 1; i <= runs; i++) {
    const start = performance.now();
    work(i);
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[runs >> 1] ?? Number.NaN;
}

const rows: object[] = [];
for (const lines of [1_000, 10_000, 100_000]) {
  const text = generateLog(lines, 1);
  const runs = lines > 10_000 ? 3 : 7;
  const texts = Array.from({ length: 2 * (runs + 1) }, (_, i) => withoutRepeats(text, `${lines} ${i}`));
  const file = parse(text);
  const own = declarationsOf('a.rebuild', declarationBlocks(file));
  const limits = declarationsOf('tern.limits', declarationBlocks(parse(limitsText)));
  const scope = buildScope([own, limits]);
  const rebuild = bind(file, own, { scope, imports: [] });
  const check = (run: number) => {
    const workspace = createWorkspace();
    workspace.set('tern.limits', limitsText);
    workspace.set('a.rebuild', texts[runs + 1 + run] ?? '');
    return [workspace, workspace.check('a.rebuild')?.findings.length] as const;
  };
  const rate = (ms: number) => Math.round((lines / ms) * 1000);
  const row = {
    lines,
    parse: rate(time((run) => parse(texts[run] ?? ''), runs)),
    again: rate(time(() => parse(text), runs)),
    bind: rate(time(() => bind(file, own, { scope, imports: [] }), runs)),
    rules: rate(time(() => runRules(rebuild), runs)),
    check: rate(time(check, runs)),
  };
  globalThis.gc?.();
  const before = process.memoryUsage().heapUsed;
  const kept = check(0);
  globalThis.gc?.();
  const heapMb = Number(((process.memoryUsage().heapUsed - before) / 2 ** 20).toFixed(1));
  rows.push({ ...row, findings: kept[1], heapMb });
}
console.log(JSON.stringify(rows));
