/** Date that can be read two ways. */
import { rule } from './rule.ts';

/** Reports what the parser found; the parser has the words and the fixes. */
export const ambiguousDate = rule({
  id: 'ambiguous-date',
  severity: 'error',
  title: 'date that can be read two ways',
  subject: 'fault',
  check: () => [],
});
