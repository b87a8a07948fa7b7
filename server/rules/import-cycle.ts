/** Files that use one another in a loop. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** A path as the file's own folder sees it. */
function fromFolder(path: string, folder: string): string {
  return path.startsWith(folder) ? path.slice(folder.length) : path;
}

/** Reports a `use` that leads back to its own file. */
export const importCycle = rule({
  id: 'import-cycle',
  severity: 'error',
  title: 'files that use one another',
  subject: 'rebuild',
  *check({ imports, path }) {
    const folder = path.slice(0, path.lastIndexOf('/') + 1);
    for (const { declaration, loop } of imports) {
      if (loop === undefined) continue;
      yield {
        at: locate(path, declaration.block, declaration.statement.text ?? declaration.statement),
        message: `This file uses itself: ${loop.map((one) => fromFolder(one, folder)).join(' → ')}. Remove one of these lines.`,
      };
    }
  },
});
