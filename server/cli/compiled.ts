/**
 * Runs the bundles beside this one from the code that they were compiled to when they were built: for a log or two
 * compiling takes longer than checking. Node's own compile cache holds what a bundle compiles as it is loaded, this also
 * what is compiled as it is used. It is of one version of Node on one kind of processor: with another the bundles are
 * loaded as any are.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { constants, Script } from 'node:vm';

type Exports = Record<string, unknown>;

const scripts = new Map<string, Script>();
const modules = new Map<string, { exports: Exports }>();

/** Where the compiled form of a bundle is kept. */
function compiledPath(file: string): string {
  return `${file}.${process.version}-${process.arch}.compiled`;
}

/** Whether a bundle was compiled for this Node. */
export function isCompiled(file: string): boolean {
  return existsSync(compiledPath(file));
}

/** A bundle as a function of what a module is given; its `cachedDataRejected` is false when it was compiled before. */
export function scriptOf(file: string): Script {
  const source = readFileSync(file, 'utf8');
  return new Script(`(function(exports,require,module,__filename,__dirname){${source}\n})`, {
    filename: file,
    importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
    ...(isCompiled(file) ? { cachedData: readFileSync(compiledPath(file)) } : {}),
  });
}

/** Runs a bundle, and those beside it that it requires, once each; gives its exports. */
export function load(file: string): Exports {
  const known = modules.get(file);
  if (known !== undefined) return known.exports;
  const module = { exports: {} };
  modules.set(file, module);
  const script = scriptOf(file);
  scripts.set(file, script);
  const others = createRequire(file);
  const require = (id: string): unknown =>
    /^\.\/\w+\.cjs$/.test(id) ? load(join(dirname(file), id)) : others(id);
  const run = script.runInThisContext() as (...names: readonly unknown[]) => void;
  run.call(module.exports, module.exports, Object.assign(require, others), module, file, dirname(file));
  return module.exports;
}

/** Keeps the compiled form of each bundle that ran and has none yet: with all that was used so far. */
export function keepCompiled(): void {
  for (const [file, script] of scripts)
    if (!isCompiled(file)) writeFileSync(compiledPath(file), script.createCachedData());
}
