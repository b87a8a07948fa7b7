/** Decimal comma. */
import { rule } from './rule.ts';

/** Reports what the parser found; the parser has the words and the fixes. */
export const decimalComma = rule({
  id: 'decimal-comma',
  severity: 'error',
  title: 'decimal comma',
  subject: 'fault',
  check: () => [],
});
