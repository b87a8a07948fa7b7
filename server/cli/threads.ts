/** Shares the work of `check` out to threads, each with a workspace of its own, when there is much of it. */
import { statSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { CheckedShare, Share, TroubledShare } from './check-worker.ts';
import type { Unreadable } from './files.ts';
import type { LocatedFile } from './formats/located.ts';
import { Trouble } from './trouble.ts';

/** Below this a thread costs more than it saves: about 100 000 lines. */
const MUCH = 5_000_000;
/** With fewer cores than this a second thread has little to run on. */
const FEWEST_CORES = 4;
/** More threads than this wait for the one that writes what they found. */
const MOST = 8;
/** So many shares a thread: a long log at the end keeps only one of them waiting. */
const SHARES = 8;

/** On how many threads the files are best checked when nobody says: one, unless there are cores and work for more. */
export function threadsFor(paths: readonly string[]): number {
  const cores = availableParallelism();
  if (cores < FEWEST_CORES || paths.length < 2) return 1;
  let bytes = 0;
  for (const path of paths) bytes += statSync(path, { throwIfNoEntry: false })?.size ?? 0;
  return bytes < MUCH ? 1 : Math.min(cores - 1, MOST, paths.length);
}

/** What several threads found, in the order of the paths, and what is wrong with their configurations. */
export async function checkInThreads(
  paths: readonly string[],
  threads: number,
  tell: (done: number) => void,
): Promise<Pick<CheckedShare, 'results' | 'configurations'>> {
  const size = Math.max(1, Math.ceil(paths.length / (threads * SHARES)));
  const shares: Share[] = [];
  for (let first = 0; first < paths.length; first += size)
    shares.push({ first, paths: paths.slice(first, first + size) });
  const checked = await checkShares(shares, threads, tell);
  const results: (LocatedFile | Unreadable)[] = [];
  const configurations = new Map<string, LocatedFile>();
  for (const share of checked.sort((a, b) => a.first - b.first)) {
    results.push(...share.results);
    for (const one of share.configurations)
      if (!configurations.has(one.path)) configurations.set(one.path, one);
  }
  return { results, configurations: [...configurations.values()] };
}

/** Every thread takes the next share as soon as it is done with one. */
async function checkShares(
  shares: readonly Share[],
  threads: number,
  tell: (done: number) => void,
): Promise<CheckedShare[]> {
  const checked: CheckedShare[] = [];
  const waiting = shares.values();
  let done = 0;
  const workers = Array.from(
    { length: Math.min(threads, shares.length) },
    () => new Worker(join(__dirname, 'check-worker.cjs')),
  );
  const untilNoneWaits = (worker: Worker) =>
    new Promise<void>((resolve, reject) => {
      const sendNext = () => {
        const { value: share } = waiting.next();
        if (share === undefined) resolve();
        else worker.postMessage(share);
      };
      worker.on('message', (share: CheckedShare | TroubledShare) => {
        if ('trouble' in share) return reject(new Trouble(share.trouble));
        checked.push(share);
        done += share.results.length;
        tell(done);
        sendNext();
      });
      worker.on('error', reject);
      sendNext();
    });
  try {
    await Promise.all(workers.map(untilNoneWaits));
  } finally {
    for (const worker of workers) void worker.terminate();
  }
  return checked;
}
