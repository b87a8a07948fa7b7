// Runs the tests for Stryker inside its own process: loaded once, then each mutant costs only the tests that reach it.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';
import { pathToFileURL } from 'node:url';
import { format } from 'node:util';
import { Script } from 'node:vm';
import { build } from 'esbuild';
import { glob } from 'tinyglobby';
import { expect } from 'vitest';

/** The folders whose tests judge a mutant of a folder; quantities know nothing of calculations. */
const JUDGES = {
  quantities: ['quantities', 'calculations'],
  calculations: ['calculations'],
  rules: ['rules'],
};
const judgesOf = (mutated) => JUDGES[/server\/([a-z]+)\//.exec(mutated)?.[1]] ?? [];
const folderOf = (file) => file.split('/')[1];
const folders = [...new Set(Object.values(JUDGES).flat())];
const require = createRequire(import.meta.url);
/** A mutant that only another program would notice counts as survived: to start one for each mutant takes too long. */
const withoutPrograms = { ...require('node:child_process'), spawnSync: () => ({ status: null }) };
/** Half-written pages are only to be survived without a crash, by far the slowest way to notice a mutant. */
const LEFT_OUT = ['tests/rules/half-written.test.ts'];
const stryker = () => {
  globalThis.__stryker__ ??= {};
  return globalThis.__stryker__;
};

/** All test files and what they test as one script, which needs no disk to be loaded anew. */
async function bundle() {
  const root = process.cwd();
  const files = await glob(`tests/{${folders}}/**/*.test.ts`, { cwd: root, ignore: LEFT_OUT });
  const result = await build({
    stdin: {
      contents: files
        .sort()
        .map((file) => `if (vitest.begin(${JSON.stringify(file)})) require('./${file}');`)
        .join('\n'),
      resolveDir: root,
    },
    bundle: true,
    write: false,
    platform: 'node',
    format: 'cjs',
    packages: 'external',
    logLevel: 'silent',
    plugins: [
      {
        name: 'where each file stands',
        setup({ onLoad }) {
          onLoad({ filter: /\.ts$/ }, ({ path }) => {
            if (path.includes('node_modules')) return undefined;
            const contents = readFileSync(path, 'utf8')
              .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href))
              .replaceAll('import.meta.dirname', JSON.stringify(dirname(path)))
              .replaceAll('import.meta.filename', JSON.stringify(path))
              .replaceAll('import.meta.main', 'false');
            return { contents, loader: 'ts' };
          });
        },
      },
    ],
  });
  return new Script(`(function (require, module, exports, vitest) {${result.outputFiles[0].text}\n})`, {
    filename: 'tests.cjs',
  });
}

/** Loads the script, which declares the tests of some folders as vitest would have them declared. */
function load(script, judges) {
  const tests = [];
  let file = '';
  const within = [];
  const named = new Map();
  const nameOf = (name, row) => {
    const places = name.match(/%[sdifjo]/g)?.length ?? 0;
    return format(name, ...(Array.isArray(row) ? row : [row]).slice(0, places));
  };
  const test = (name, run) => {
    // A snapshot is vitest's own; it holds the generated tables, which are not mutated.
    if (String(run).includes('toMatchFileSnapshot')) return;
    const id = `${file}: ${[...within, name].join(' > ')}`;
    const same = (named.get(id) ?? 0) + 1;
    named.set(id, same);
    tests.push({ id: same === 1 ? id : `${id} (${same})`, name: id, file, run });
  };
  const describe = (name, declare) => {
    within.push(name);
    declare();
    within.pop();
  };
  const each = (one) => (rows) => (name, run) => {
    for (const row of rows) one(nameOf(name, row), () => run(...(Array.isArray(row) ? row : [row])));
  };
  test.each = each(test);
  describe.each = each(describe);
  test.skipIf = (skip) => (skip ? () => {} : test);
  describe.skipIf = (skip) => (skip ? () => {} : describe);
  const vitest = { test, it: test, describe, expect };
  const given = new Map([
    ['vitest', vitest],
    ['node:child_process', withoutPrograms],
  ]);
  const requires = (name) => given.get(name) ?? require(name);
  script.runInThisContext()(
    requires,
    { exports: {} },
    {},
    {
      begin: (name) => {
        file = name;
        return judges.includes(folderOf(name));
      },
    },
  );
  return tests;
}

/** The rule whose page a test is about; undefined for one that looks at all rules, or at none. */
function ruleOf(test) {
  return /^tests\/rules\/(?:pages|related)\.test\.ts: ([a-z-]+)(?: >|:)/.exec(test.id)?.[1];
}

/**
 * The tests that can tell that a mutant of the file is one, the likeliest first. The page of another rule shows only
 * what that rule finds, so a mutant of one rule is left to its own page and to what looks at all of them.
 */
function judging(tests, mutated) {
  const [, folder, name] = /server\/([a-z]+)\/(.*)\.ts$/.exec(mutated) ?? [];
  const isRule = folder === 'rules' && tests.some((test) => ruleOf(test) === name);
  const isOwn = (test) => test.file === `tests/${folder}/${name}.test.ts` || ruleOf(test) === name;
  const rank = (test) => (isOwn(test) ? -1 : judgesOf(mutated).indexOf(folderOf(test.file)));
  return tests
    .filter((test) => {
      const rule = ruleOf(test);
      return !isRule || rule === undefined || rule === name || rule === 'release-incomplete';
    })
    .toSorted((a, b) => rank(a) - rank(b));
}

function createRunner() {
  let script;
  return {
    capabilities: () => ({ reloadEnvironment: true }),
    async init() {
      script = await bundle();
    },
    async dryRun({ files }) {
      const tests = load(script, [...new Set(files.flatMap(judgesOf))]);
      const results = [];
      for (const { id, name, file, run } of tests) {
        const started = performance.now();
        stryker().currentTestId = id;
        let failure;
        try {
          await run();
        } catch (error) {
          failure = error;
        }
        stryker().currentTestId = undefined;
        results.push({
          id,
          name,
          fileName: file,
          timeSpentMs: performance.now() - started,
          ...(failure === undefined ? { status: 0 } : { status: 1, failureMessage: String(failure.message) }),
        });
      }
      return { status: 'complete', tests: results, mutantCoverage: stryker().mutantCoverage };
    },
    async mutantRun({ testFilter, hitLimit, activeMutant, mutantActivation }) {
      const ns = stryker();
      Object.assign(ns, { hitCount: 0, hitLimit, activeMutant: undefined });
      let ran = 0;
      let id = 'loading';
      const endless = () =>
        ns.hitCount > (hitLimit ?? Infinity) ? { status: 'timeout', reason: 'endless' } : undefined;
      try {
        // Loaded anew each time: what a mutant left in a table that is filled on first use must not judge the next.
        if (mutantActivation === 'static') ns.activeMutant = activeMutant.id;
        const tests = load(script, judgesOf(activeMutant.fileName));
        ns.activeMutant = activeMutant.id;
        const wanted = testFilter === undefined ? undefined : new Set(testFilter);
        for (const test of judging(tests, activeMutant.fileName)) {
          if (wanted !== undefined && !wanted.has(test.id)) continue;
          id = test.id;
          ran++;
          await test.run();
        }
        return endless() ?? { status: 'survived', nrOfTests: ran };
      } catch (error) {
        return (
          endless() ?? {
            status: 'killed',
            killedBy: [id],
            failureMessage: String(error?.message ?? error),
            nrOfTests: ran,
          }
        );
      } finally {
        ns.activeMutant = undefined;
      }
    },
  };
}

export const strykerPlugins = [
  { kind: 'TestRunner', name: 'together', factory: Object.assign(createRunner, { inject: [] }) },
];
