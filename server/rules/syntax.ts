/** A line that does not parse. */
import { rule } from './rule.ts';

/** Reports what the parser could not read; the parser has the words. */
export const syntax = rule({
  id: 'syntax',
  severity: 'error',
  title: 'line not understood',
  subject: 'fault',
  check: () => [],
});
