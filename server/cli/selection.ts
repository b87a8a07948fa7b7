/** Which of the files a run of `check` takes: one share of them, or those that changed since a revision. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import type { Workspace } from '../workspace/index.ts';
import { shownPath } from './files.ts';
import { Trouble } from './trouble.ts';

/** Reads `2/8`; throws `Trouble` for anything else. */
export function shardOf(value: string): (path: string) => boolean {
  const [, which, of] = /^(\d+)\/(\d+)$/.exec(value) ?? [];
  const [index, count] = [Number(which), Number(of)];
  if (which === undefined || index < 1 || index > count)
    throw new Trouble(`--shard takes a share and how many there are, as 2/8, not ${value}.`);
  // By the path's digest, so that a file stays in its share whatever comes beside it.
  return (path) => createHash('sha256').update(path).digest().readUInt32BE(0) % count === index - 1;
}

/**
 * The files that changed since a revision of git, on disk or in commits, and those that use one that did. Throws
 * `Trouble` when git does not know the revision, or this is no repository.
 */
export function changedSince(revision: string, workspace: Workspace): (path: string) => boolean {
  const lines = (...words: readonly string[]) => {
    const { status, stdout, stderr, error } = spawnSync('git', words, {
      encoding: 'utf8',
      maxBuffer: 1 << 28,
    });
    if (error !== undefined) throw new Trouble('--changed-since asks git, which is not installed here.');
    if (status !== 0)
      throw new Trouble(
        `git knows no changes since ${revision}: ${
          stderr
            .trim()
            .split('\n')[0]
            ?.replace(/^(fatal|error): /, '') ?? ''
        }.`,
      );
    return stdout.split('\0').filter((line) => line !== '');
  };
  const changed = new Set(
    [
      ...lines('diff', '--name-only', '--relative', '--no-renames', '-z', '--end-of-options', revision, '--'),
      ...lines('ls-files', '--others', '--exclude-standard', '-z'),
    ].map(shownPath),
  );
  const reached = new Set([...changed].flatMap((path) => workspace.dependents(path)));
  return (path) => reached.has(path);
}
