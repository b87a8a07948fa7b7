/** `check --watch`: checks again whenever a log, table, register or configuration changes, until it is stopped. */
import { type FSWatcher, statSync, watch } from 'node:fs';
import { dirname, resolve } from 'node:path';

const SETTLED = 120;

/** Calls `work` now and after every change below the paths; resolves never, or when `work` throws. */
export async function checkAgain(paths: readonly string[], work: () => Promise<void>): Promise<void> {
  const named = paths.length === 0 ? ['.'] : paths;
  const folders = new Set(named.map((path) => (isFolder(path) ? resolve(path) : dirname(resolve(path)))));
  let changed: (() => void) | undefined;
  let waiting: NodeJS.Timeout | undefined;
  const watchers: FSWatcher[] = [...folders].map((folder) =>
    watch(folder, { recursive: true }, (_, name) => {
      if (name === null || !/(?:\.(?:rebuild|limits|bench)|witnessmark\.json)$/.test(name)) return;
      clearTimeout(waiting);
      waiting = setTimeout(() => changed?.(), SETTLED);
    }),
  );
  try {
    for (;;) {
      const next = new Promise<void>((resolveNext) => {
        changed = resolveNext;
      });
      if (process.stdout.isTTY) process.stdout.write('\u001b[2J\u001b[H');
      await work();
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
