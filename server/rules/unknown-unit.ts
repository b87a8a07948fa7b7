/** Word after a number that is no unit. */
import { rule } from './rule.ts';

/** Reports what the parser found; the parser has the words and the fixes. */
export const unknownUnit = rule({
  id: 'unknown-unit',
  severity: 'error',
  title: 'word after a number that is no unit',
  subject: 'fault',
  check: () => [],
});
