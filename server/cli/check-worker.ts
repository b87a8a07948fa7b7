/** One thread of `check`: checks the files that it is sent, and sends back what it found as plain data. */
import { parentPort } from 'node:worker_threads';
import { createFileChecker } from './check-files.ts';
import type { Unreadable } from './files.ts';
import type { LocatedFile } from './formats/located.ts';
import { Trouble } from './trouble.ts';

/** Files that follow one another. */
export interface Share {
  readonly first: number;
  readonly paths: readonly string[];
}

export interface CheckedShare {
  readonly first: number;
  readonly results: readonly (LocatedFile | Unreadable)[];
  /** What is wrong with the configurations that this thread has met so far. */
  readonly configurations: readonly LocatedFile[];
}

/** A share that could not be checked, and why, in one sentence. */
export interface TroubledShare {
  readonly trouble: string;
}

const checker = createFileChecker(true);

parentPort?.on('message', (share: Share) => parentPort?.postMessage(checkShare(share)));

function checkShare({ first, paths }: Share): CheckedShare | TroubledShare {
  try {
    return { first, results: paths.map(checker.check), configurations: checker.configurations() };
  } catch (error) {
    // Its class does not cross threads.
    if (error instanceof Trouble) return { trouble: error.message };
    throw error;
  }
}
