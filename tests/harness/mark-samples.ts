/**
 * Marks the released sample anew, as its people would have, after it or a file that it uses has changed.
 *
 * `node tests/harness/mark-samples.ts` writes it; a test holds it to what this gives. A log of a real machine is never
 * marked again like this: its marks are evidence.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { applyMarkEdits, markEdits } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const folder = join(import.meta.dirname, '../../samples/tern-460');

/** The sample that shows marks. */
export const markedSample = join(folder, '0117-second-rebuild.rebuild');

/** The sample with a pin on each file that it uses and a mark on each signature. */
export function markAnew(text: string): string {
  let marked = text.replaceAll(/^((?:use|sign|release) .*?) mark [0-9a-f]+$/gm, '$1');
  const workspace = createWorkspace();
  for (;;) {
    workspace.set('log.rebuild', marked);
    for (const path of workspace.wanted()) workspace.set(path, readFileSync(join(folder, path), 'utf8'));
    const checked = workspace.check('log.rebuild');
    const closing = checked?.rebuild.marks.unmarked[0];
    if (checked === undefined || closing === undefined) return marked;
    const plan = markEdits(checked.rebuild, { closing });
    if (!('edits' in plan)) throw new Error(plan.message);
    marked = applyMarkEdits(marked, plan.edits);
  }
}

if (import.meta.main) writeFileSync(markedSample, markAnew(readFileSync(markedSample, 'utf8')));
