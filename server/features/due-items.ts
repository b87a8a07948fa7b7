/** What a release would still ask of a log: its open items, by the rule that asks, each with its place. */
import type { Finding, Location, Severity, State } from '../rebuild/index.ts';
import { rules, stillDue } from '../rules/index.ts';

export interface DueItem {
  readonly message: string;
  readonly severity: Severity;
  readonly at: Location;
}

/** Items that one rule asks for. */
export interface DueGroup {
  readonly rule: string;
  readonly title: string;
  /** In the order of the file. */
  readonly items: readonly DueItem[];
}

export interface LogState {
  /** Null for a table of limits and a register. */
  readonly state: State | null;
  readonly counts: Readonly<Record<Severity, number>>;
  /** In the order of the rules; empty when nothing is due. */
  readonly due: readonly DueGroup[];
}

const byState = rules.filter((rule) => rule.severity === 'by-state');

/** The state of a file, how many findings of each severity it has, and what is still due. */
export function logStateOf({
  state,
  findings,
}: {
  readonly state: State | null;
  readonly findings: readonly Finding[];
}): LogState {
  const counts = { error: 0, warning: 0, information: 0, hint: 0 };
  for (const { severity } of findings) counts[severity]++;
  const asked = stillDue(findings);
  const due = byState.map(({ id, title }) => ({
    rule: id,
    title,
    items: asked
      .filter((finding) => finding.rule === id)
      .map(({ message, severity, at }) => ({ message, severity, at }))
      .sort((a, b) => a.at.block.start + a.at.start - (b.at.block.start + b.at.start)),
  }));
  return { state, counts, due: due.filter((group) => group.items.length > 0) };
}
