/**
 * What a team may make of a rule's severity. What may be an error can be lowered as far as information, so that it is
 * always shown; what the tool could not read stays an error, since nothing on such a line is checked.
 */
import type { Severity } from '../rebuild/index.ts';
import type { Rule } from './rule.ts';

/** Severities that the configuration sets for a rule; `off` drops its findings. */
export type SeverityOverrides = ReadonlyMap<string, Severity | 'off'>;

/** The severities, the worst first. */
export const severities: readonly Severity[] = ['error', 'warning', 'information', 'hint'];

/** The severities that a rule can be set to. */
export function allowedSeverities(
  rule: Pick<Rule, 'severity' | 'subject' | 'worst'>,
): readonly (Severity | 'off')[] {
  if (rule.subject === 'fault') return ['error'];
  return worstOf(rule) === 'error' ? ['error', 'warning', 'information'] : [...severities, 'off'];
}

/** The worst severity that a finding of a rule has of itself. */
export function worstOf({ severity, worst }: Pick<Rule, 'severity' | 'worst'>): Severity {
  return worst ?? (severity === 'by-state' || severity === 'varies' ? 'error' : severity);
}

/** Whether a severity is milder than another. */
export function isMilder(severity: Severity, than: Severity): boolean {
  return severities.indexOf(severity) > severities.indexOf(than);
}
