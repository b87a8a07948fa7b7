/** Every rule, in the order of the documentation. Adding a rule is its file, its page and one line here. */

import { duplicateName } from './duplicate-name.ts';
import { misplaced } from './misplaced.ts';
import type { Rule } from './rule.ts';
import { prepareRules } from './run.ts';
import { syntax } from './syntax.ts';
import { torqueSkipped } from './torque-skipped.ts';

export type { Rule, RuleSeverity, Subjects } from './rule.ts';
export type { Run, SeverityOverrides } from './run.ts';

export const rules = [
  // Reading the text
  syntax,
  duplicateName,
  misplaced,
  // Torque
  torqueSkipped,
] as unknown as readonly Rule[];

/** Checks a rebuild by every rule; `previous` is the run before the last edit of the same file. */
export const runRules = prepareRules(rules);
