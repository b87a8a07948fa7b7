/** What a rule is: one plain value with its metadata and its check. */
import type { Block, StatementKind, StatementNode, SyntaxFault } from '../../grammar/index.ts';
import type {
  Characteristic,
  Declaration,
  Duplicate,
  Entry,
  FastenerGroup,
  Finding,
  InspectionHistory,
  JointHistory,
  PartHistory,
  Prerequisite,
  Rebuild,
  Report,
  Scope,
  Severity,
  Step,
} from '../rebuild/index.ts';

/** What a rule may look at besides its subject. Only what cannot change without a new scope, so results are kept. */
export interface Surroundings {
  readonly scope: Scope;
  /** The file that is checked. */
  readonly path: string;
  /** How many standard uncertainties a value must keep from its limit to be sure of its side. */
  readonly guard: number;
}

/** What a rule looks at, one at a time. The finer the subject, the less an edit re-checks. */
export interface Subjects {
  /** A place in the text that does not parse. The parser has worded it, so such a rule's check is not run. */
  fault: SyntaxFault;
  /** A statement with a parenthesis (an equivalent), by itself and as the entry that it is; kept as long as both are. */
  statement: {
    readonly block: Block;
    readonly statement: StatementNode;
    readonly entry: Entry | undefined;
  };
  /** A line of a step, with its step, tool, people and readings. */
  entry: Entry;
  /** A declaration of the file itself. */
  declaration: Declaration;
  /** A name declared twice, the second time in the file itself. */
  duplicate: Duplicate;
  characteristic: Characteristic;
  'fastener-group': FastenerGroup;
  part: PartHistory;
  joint: JointHistory;
  inspection: InspectionHistory;
  prerequisite: Prerequisite;
  /** The whole file; run again after every edit, so it must be quick. */
  rebuild: Rebuild;
  /** The release, with the findings of the rules `by-state` that are now errors; run last. */
  release: { readonly release: Entry; readonly due: readonly Finding[] };
}

/**
 * `by-state`: information while the log is open, a warning once work on it has begun (`touched`), an error at the
 * release; a report that states its own severity keeps it. `varies`: each report states its own.
 */
export type RuleSeverity = Severity | 'by-state' | 'varies';

export interface Rule<K extends keyof Subjects = keyof Subjects> {
  readonly id: string;
  readonly title: string;
  readonly severity: RuleSeverity;
  /** The worst severity of its reports, where that is not `severity`, nor an error by the state or by what varies. */
  readonly worst?: Severity;
  readonly subject: K;
  /** Of entries: the kinds of statement that it looks at; all when not given. */
  readonly kinds?: readonly StatementKind[];
  readonly check: Check<K>;
  /** Checks of other subjects that the rule looks at too. */
  readonly also?: { readonly [Other in keyof Subjects]?: Check<Other> };
}

type Check<K extends keyof Subjects> = (subject: Subjects[K], surroundings: Surroundings) => Iterable<Report>;

/** What a rule reports of nearly everything; it is quicker than to ask a generator for nothing. */
export const nothing: readonly Report[] = [];

/** What is reported of the steps of a log, kept for as long as their list is the same: an edit of an entry leaves it so. */
export function ofSteps(
  check: (step: Step) => Iterable<Report>,
): (steps: readonly Step[]) => readonly Report[] {
  const kept = new WeakMap<readonly Step[], readonly Report[]>();
  return (steps) => {
    let reports = kept.get(steps);
    if (reports === undefined) {
      reports = steps.flatMap((step) => [...check(step)]);
      kept.set(steps, reports);
    }
    return reports;
  };
}

/** Declares a rule; its file is named after its id, and its page stands beside it. */
export function rule<K extends keyof Subjects>(declared: Rule<K>): Rule<K> {
  return declared;
}
