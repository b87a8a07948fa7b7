/** The requests of our own that the extension asks besides the protocol's: names and shapes, for both sides. */
import type { Severity, State } from '../rebuild/index.ts';

export interface DocumentParams {
  readonly uri: string;
}

/** A stretch of a document, as the protocol writes it. */
export interface RangeOf {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** `witnessmark/logState`: the state of a log and what is still due; null for a document that is not known. */
export const logStateMethod = 'witnessmark/logState';
export interface LogStateResult {
  readonly state: State | null;
  readonly counts: Readonly<Record<Severity, number>>;
  readonly due: readonly {
    readonly rule: string;
    readonly title: string;
    readonly items: readonly {
      readonly message: string;
      readonly severity: Severity;
      readonly uri: string;
      readonly range: RangeOf;
    }[];
  }[];
}

/** `witnessmark/worksheet`: a blank log for the table of limits at `uri`, which it uses by the name `as`. */
export const worksheetMethod = 'witnessmark/worksheet';
/** `witnessmark/benchCard`: the same as a page to print, with boxes to write in. */
export const benchCardMethod = 'witnessmark/benchCard';
export interface WorksheetParams extends DocumentParams {
  readonly as: string;
}

/** HTML for a view, without scripts. */
export interface ViewResult {
  readonly uri: string;
  /** Rows that come from a line of the document at `uri` carry it, from 1, as `data-line`. */
  readonly body: string;
  /** CSS for it. */
  readonly style: string;
}

/** `witnessmark/reportBody`: the report of a log for a view beside it; null for a document that is no log. */
export const reportBodyMethod = 'witnessmark/reportBody';

/** `witnessmark/reportPage`: the report as a whole HTML page; null for a document that is no log. */
export const reportPageMethod = 'witnessmark/reportPage';

/** `witnessmark/compare`: the log at `uri` against another log, or against an earlier text of itself. */
export const compareMethod = 'witnessmark/compare';
export interface CompareParams extends DocumentParams {
  readonly old: { readonly uri: string; readonly text?: string; readonly title?: string };
}

/** `witnessmark/trend`: wear over hours of the machine that the log is of; null where it does not say. */
export const trendMethod = 'witnessmark/trend';

/** `witnessmark/due`: what comes due by all logs and registers of the folders, today. */
export const dueMethod = 'witnessmark/due';

/**
 * `witnessmark/facts`: the facts of all logs of the folders, a JSON object a line, with their paths from the folder
 * `root`; null where there is no log.
 */
export const factsMethod = 'witnessmark/facts';
export interface FactsParams {
  readonly root?: string;
}

/** `witnessmark/mark`: pins what the log uses and marks its last signature that has no mark. */
export const markMethod = 'witnessmark/mark';
export type MarkResult =
  | { readonly edit: object; readonly mark: string; readonly unpinned: readonly string[] }
  | { readonly refused: string };

/**
 * `witnessmark/given`: `files` that the server cannot read for itself, with their texts; null for one that is gone. The
 * option `files` of `initialize` holds those that are there from the start.
 */
export const givenMethod = 'witnessmark/given';
export interface GivenFile {
  readonly uri: string;
  readonly text: string | null;
}
