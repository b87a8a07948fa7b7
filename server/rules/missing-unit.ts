/** Number without a unit. */
import { rule } from './rule.ts';

/** Reports what the parser found; the parser has the words and the fixes. */
export const missingUnit = rule({
  id: 'missing-unit',
  severity: 'error',
  title: 'number without a unit',
  subject: 'fault',
  check: () => [],
});
