/** What a rule reports: where, what, related places and the edits that would mend it. */

import type { Block, Span } from '../../grammar/index.ts';
import type { Rebuild } from './bind.ts';

export type Severity = 'error' | 'warning' | 'information' | 'hint';

/** A place in one of the files: a span within a block. */
export interface Location extends Span {
  readonly path: string;
  readonly block: Block;
}

export interface Fix {
  readonly title: string;
  readonly edits: readonly (Location & { readonly text: string })[];
  /** The fix cannot change a recorded fact: only such fixes are applied by `check --fix`. */
  readonly keepsFacts?: true;
}

export interface Related {
  readonly at: Location;
  readonly message: string;
}

/** A finding as a rule's check yields it; the runner adds the rule's id and its severity. */
export interface Report {
  readonly at: Location;
  readonly message: string;
  readonly related?: readonly Related[];
  readonly fixes?: readonly Fix[];
  /** For a rule with several severities, or one that depends on the state: whether work on it has begun. */
  readonly severity?: Severity;
  /** For a rule `by-state`: work on it has begun, so it is a warning while the log is open. */
  readonly touched?: boolean;
  /** Of a line that later ones may put right: whether they did, and nothing is to be told any more. */
  readonly mended?: (rebuild: Rebuild) => boolean;
}

export interface Finding extends Omit<Report, 'mended'> {
  readonly rule: string;
  readonly severity: Severity;
  /** The severity that it would have if the configuration did not lower it. */
  readonly lowered?: Severity;
  /** A release asks for it, whatever the configuration makes of its severity. */
  readonly due?: true;
}

/** The place of a node of a block's tree. */
export function locate(path: string, block: Block, span: Span): Location {
  return { path, block, start: span.start, end: span.end };
}
