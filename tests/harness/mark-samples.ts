/**
 * Marks the released samples anew, as their people would have, after one or a file that it uses has changed.
 *
 * `node tests/harness/mark-samples.ts` writes it; a test holds it to what this gives. A log of a real machine is never
 * marked again like this: its marks are evidence.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { applyMarkEdits, markEdits } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const samples = join(import.meta.dirname, '../../samples');

/** The samples that are released and marked. */
export const markedSamples = ['tern-460/0117-second-rebuild.rebuild', 'pump-gearbox/no-4.rebuild'].map(
  (path) => join(samples, path),
);

/** The sample with a pin on each file that it uses and a mark on each signature. */
export function markAnew(path: string): string {
  let marked = readFileSync(path, 'utf8').replaceAll(/^((?:use|sign|release) .*?) mark [0-9a-f]+$/gm, '$1');
  const workspace = createWorkspace();
  for (;;) {
    workspace.set('log.rebuild', marked);
    for (const used of workspace.wanted())
      workspace.set(used, readFileSync(join(dirname(path), used), 'utf8'));
    const checked = workspace.check('log.rebuild');
    const closing = checked?.rebuild.marks.unmarked[0];
    if (checked === undefined || closing === undefined) return marked;
    const plan = markEdits(checked.rebuild, { closing });
    if (!('edits' in plan)) throw new Error(plan.message);
    marked = applyMarkEdits(marked, plan.edits);
  }
}

if (import.meta.main) for (const path of markedSamples) writeFileSync(path, markAnew(path));
