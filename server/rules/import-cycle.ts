/** Files that use one another in a loop. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports a `use` that leads back to its own file. */
export const importCycle = rule({
  id: 'import-cycle',
  severity: 'error',
  title: 'files that use one another',
  subject: 'rebuild',
  *check({ imports, path }) {
    for (const { declaration, loop } of imports) {
      if (loop === undefined) continue;
      yield {
        at: locate(path, declaration.block, declaration.statement.text ?? declaration.statement),
        message: `This file uses itself: ${loop.join(' → ')}. Remove one of these lines.`,
      };
    }
  },
});
