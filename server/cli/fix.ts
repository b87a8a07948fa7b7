/** `check --fix`: applies the fixes that cannot change a recorded fact, and only those. */
import { writeFileSync } from 'node:fs';
import { fixAll } from '../features/index.ts';
import type { Workspace } from '../workspace/index.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

/** A file before and after its fixes. */
export interface Fixed {
  readonly path: string;
  readonly before: string;
  readonly after: string;
}

/** One fix may show the next; a text that never ends to be mended is left as it is after so many rounds. */
const MOST_ROUNDS = 10;

/** Fixes the files in the workspace. A round that would leave more errors than it found is not taken. */
export function fixFiles(workspace: Workspace, paths: readonly string[]): readonly Fixed[] {
  const fixed: Fixed[] = [];
  for (const path of paths) {
    const before = workspace.file(path)?.text;
    if (before === undefined) continue;
    let after = before;
    for (let round = 0; round < MOST_ROUNDS; round++) {
      const checked = workspace.check(path);
      const edits = checked === undefined ? [] : fixAll(checked);
      if (edits.length === 0) break;
      const errors = errorsIn(workspace, path);
      let text = after;
      for (const { start, end, text: put } of [...edits].reverse())
        text = text.slice(0, start) + put + text.slice(end);
      workspace.set(path, text);
      if (errorsIn(workspace, path) > errors) {
        workspace.set(path, after);
        break;
      }
      after = text;
    }
    if (after !== before) fixed.push({ path, before, after });
  }
  return fixed;
}

function errorsIn(workspace: Workspace, path: string): number {
  return (workspace.check(path)?.findings ?? []).filter(({ severity }) => severity === 'error').length;
}

/** Writes what was fixed, and says so on standard error. */
export function writeFixed(fixed: readonly Fixed[]): void {
  for (const { path, after } of fixed) {
    try {
      writeFileSync(path, after);
    } catch (error) {
      throw new Trouble(`${path}: ${whyUnreadable(error)}.`);
    }
    process.stderr.write(`witnessmark: fixed ${path}.\n`);
  }
}

/** What would be fixed, as a patch. */
export async function patchOf(fixed: readonly Fixed[]): Promise<string> {
  const { createTwoFilesPatch } = await import('diff');
  return fixed
    .map(({ path, before, after }) => createTwoFilesPatch(path, path, before, after, 'as written', 'fixed'))
    .join('');
}
