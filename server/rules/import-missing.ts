/** A file that is used and cannot be read. */
import { fileName, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { nearestNames } from './unknown-name.ts';

/** Reports every `use` whose file is not there. */
export const importMissing = rule({
  id: 'import-missing',
  severity: 'error',
  title: 'file that is used cannot be read',
  subject: 'rebuild',
  *check({ imports, path }) {
    for (const { declaration, status, nearby } of imports) {
      if (status !== 'missing') continue;
      const { block, statement, file } = declaration;
      const at = locate(path, block, statement.text ?? statement);
      const name = fileName(file.replaceAll('\\', '/'));
      const meant = nearestNames(name, nearby).map(
        (one) => `${file.slice(0, file.length - name.length)}${one}`,
      );
      const remedy =
        meant.length === 0
          ? 'The path counts from the folder of this file: mend it, or put the file there.'
          : `Did you mean ${meant.join(' or ')}?`;
      yield {
        at,
        fixes: meant.map((one) => ({ title: `Write "${one}"`, edits: [{ ...at, text: `"${one}"` }] })),
        message:
          file.trim() === ''
            ? 'The quotes are empty: write the file between them.'
            : `${file} cannot be read. ${remedy}`,
      };
    }
  },
});
