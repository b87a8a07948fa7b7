/** A name declared twice. */
import { rule } from './rule.ts';
import { withArticle } from './wording.ts';

/** Reports the second declaration of a name; the first one stands. */
export const duplicateName = rule({
  id: 'duplicate-name',
  severity: 'error',
  title: 'name declared twice',
  subject: 'duplicate',
  *check({ declaration, first }) {
    const elsewhere = first.path === declaration.path ? '' : ` in ${first.path}`;
    yield {
      at: declaration.at,
      message: `${declaration.name} is already ${withArticle(first.kind)}${elsewhere}. Give one of the two another name.`,
      related: [{ at: first.at, message: `${first.name} is first declared here` }],
    };
  },
});
