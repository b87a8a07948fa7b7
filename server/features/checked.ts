/** What a feature is given: one file with its rebuild and its findings. */
import type { SourceFile } from '../../grammar/index.ts';
import type { UnitSystem } from '../quantities/index.ts';
import type { Entry, Finding, Rebuild, Step } from '../rebuild/index.ts';

export interface CheckedFile {
  readonly path: string;
  readonly file: SourceFile;
  readonly rebuild: Rebuild;
  readonly findings: readonly Finding[];
  /** The system of units that the team reads in, if `witnessmark.json` says so. */
  readonly units?: UnitSystem | undefined;
}

/** The step that a line at an offset belongs to; undefined before the first and after a signature. */
export function stepAt({ rebuild, file }: CheckedFile, offset: number): Step | undefined {
  for (let i = file.blocks.length - 1; i >= 0; i--) {
    const block = file.blocks[i];
    if (block === undefined || block.start >= offset) continue;
    const kind = block.statement?.kind;
    if (kind === 'sign' || kind === 'release') return undefined;
    const bound = rebuild.bound[i];
    if (bound !== undefined && kind === 'step' && !('kind' in bound)) return bound;
  }
  return undefined;
}

/** The entry of the block that holds an offset. */
export function entryAt({ rebuild, file }: CheckedFile, offset: number): Entry | undefined {
  const index = file.blocks.findLastIndex((block) => block.start <= offset);
  const bound = rebuild.bound[index];
  return bound !== undefined && 'kind' in bound ? bound : undefined;
}
