/** `check --watch`: checks again whenever a log, table, register or configuration changes, until it is stopped. */
import { type FSWatcher, statSync, watch } from 'node:fs';
import { dirname, resolve, sep } from 'node:path';

const SETTLED = 120;

/**
 * Calls `work` now and after every change below the paths, and beside the files that `work` says it read; resolves
 * never, or when `work` throws.
 */
export async function checkAgain(
  paths: readonly string[],
  work: () => Promise<Iterable<string>>,
): Promise<void> {
  let changed: (() => void) | undefined;
  let waiting: NodeJS.Timeout | undefined;
  const watchers: FSWatcher[] = [];
  const watched = { alone: new Set<string>(), withAllBelow: new Set<string>() };
  const follow = (folder: string, recursive: boolean) => {
    const isBelow = [...watched.withAllBelow].some((one) => folder === one || folder.startsWith(one + sep));
    if (isBelow || (!recursive && watched.alone.has(folder))) return;
    watched[recursive ? 'withAllBelow' : 'alone'].add(folder);
    watchers.push(
      watch(folder, { recursive }, (_, name) => {
        if (name === null || !/(?:\.(?:rebuild|limits|bench)|witnessmark\.json)$/.test(name)) return;
        clearTimeout(waiting);
        waiting = setTimeout(() => changed?.(), SETTLED);
      }),
    );
  };
  for (const path of paths.length === 0 ? ['.'] : paths)
    if (isFolder(path)) follow(resolve(path), true);
    else follow(dirname(resolve(path)), false);
  try {
    for (;;) {
      const next = new Promise<void>((resolveNext) => {
        changed = resolveNext;
      });
      if (process.stdout.isTTY) process.stdout.write('\u001b[2J\u001b[H');
      for (const file of await work()) follow(dirname(resolve(file)), false);
      process.stderr.write('witnessmark: waiting for a change; Ctrl+C ends.\n');
      await next;
    }
  } finally {
    for (const one of watchers) one.close();
  }
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
}
