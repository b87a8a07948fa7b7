/** Measures the core in this process: parsing, binding, rules and the whole check, in lines a second; heap. */
import { parse } from '../../grammar/index.ts';
import { bind, buildScope, declarationBlocks, declarationsOf } from '../../server/rebuild/index.ts';
import { runRules } from '../../server/rules/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { generateLog, limitsText } from './generate.ts';

/** Median milliseconds of several runs, after one that does not count. */
function time(work: () => unknown, runs: number): number {
  work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[runs >> 1] ?? Number.NaN;
}

const rows: object[] = [];
for (const lines of [1_000, 10_000, 100_000]) {
  const text = generateLog(lines, 1);
  const runs = lines > 10_000 ? 3 : 7;
  const file = parse(text);
  const own = declarationsOf('a.rebuild', declarationBlocks(file));
  const limits = declarationsOf('tern.limits', declarationBlocks(parse(limitsText)));
  const scope = buildScope([own, limits]);
  const rebuild = bind(file, own, { scope, imports: [] });
  const check = () => {
    const workspace = createWorkspace();
    workspace.set('tern.limits', limitsText);
    workspace.set('a.rebuild', text);
    return [workspace, workspace.check('a.rebuild')?.findings.length] as const;
  };
  const rate = (ms: number) => Math.round((lines / ms) * 1000);
  const row = {
    lines,
    parse: rate(time(() => parse(text), runs)),
    bind: rate(time(() => bind(file, own, { scope, imports: [] }), runs)),
    rules: rate(time(() => runRules(rebuild), runs)),
    check: rate(time(check, runs)),
  };
  globalThis.gc?.();
  const before = process.memoryUsage().heapUsed;
  const kept = check();
  globalThis.gc?.();
  const heapMb = Number(((process.memoryUsage().heapUsed - before) / 2 ** 20).toFixed(1));
  rows.push({ ...row, findings: kept[1], heapMb });
}
console.log(JSON.stringify(rows));
