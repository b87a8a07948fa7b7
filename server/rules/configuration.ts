/** A `witnessmark.json` that cannot be followed. */
import { rule } from './rule.ts';

/** Reports what the configuration says wrongly; its reader has the words. */
export const configuration = rule({
  id: 'configuration',
  severity: 'error',
  title: 'configuration not understood',
  subject: 'fault',
  check: () => [],
});
