/** A name declared twice. */
import { fileName } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { withArticle } from './wording.ts';

/** Reports the second declaration of a name; the first one stands. */
export const duplicateName = rule({
  id: 'duplicate-name',
  severity: 'error',
  title: 'name declared twice',
  subject: 'duplicate',
  *check({ declaration, first, use }, { path }) {
    const { name } = declaration;
    const here = { at: declaration.at, message: `${name} is declared here too` };
    const before = { at: first.at, message: `${name} is first declared here` };
    if (declaration.path === path)
      yield {
        at: declaration.at,
        message: `${name} is already ${withArticle(first.kind)}. Give one of the two another name.`,
        related: [before],
      };
    else if (first.path === path)
      yield {
        at: first.at,
        message: `${name} is already ${withArticle(declaration.kind)} in ${fileName(declaration.path)}, and this line, which counts before it, says something else. Leave it to that file, or give this one another name.`,
        related: [here],
      };
    else if (use !== undefined)
      yield {
        at: use.at,
        message: `${name} is declared in ${fileName(first.path)} and otherwise in ${fileName(declaration.path)}; the first counts. Take one of the two out, or give it another name.`,
        related: [before, here],
      };
  },
});
