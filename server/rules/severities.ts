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
export function allowedSeverities({
  severity,
  subject,
}: Pick<Rule, 'severity' | 'subject'>): readonly (Severity | 'off')[] {
  if (subject === 'fault') return ['error'];
  if (severity === 'error' || severity === 'by-state' || severity === 'varies')
    return ['error', 'warning', 'information'];
  return [...severities, 'off'];
}

/** Whether a severity is milder than another. */
export function isMilder(severity: Severity, than: Severity): boolean {
  return severities.indexOf(severity) > severities.indexOf(than);
}
