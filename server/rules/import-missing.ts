/** A file that is used and cannot be read. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports every `use` whose file is not there. */
export const importMissing = rule({
  id: 'import-missing',
  severity: 'error',
  title: 'file that is used cannot be read',
  subject: 'rebuild',
  *check({ imports, path }) {
    for (const { declaration, status } of imports) {
      if (status !== 'missing') continue;
      const { block, statement, file } = declaration;
      yield {
        at: locate(path, block, statement.text ?? statement),
        message: `${file} cannot be read. The path counts from the folder of this file: mend it, or put the file there.`,
      };
    }
  },
});
