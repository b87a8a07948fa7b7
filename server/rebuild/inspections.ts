/** Inspections: what was looked at, how it came out, and whether that still stands. */
import { clauseValue } from '../../grammar/index.ts';
import type { InspectionDeclaration } from './declarations.ts';
import { type Entry, isByInspector } from './entries.ts';
import { type Cut, cutsSince, type History } from './rests-on.ts';
import type { Scope } from './scope.ts';

/** One `inspect` line. */
export interface InspectionRecord {
  readonly entry: Entry;
  /** `open`: its outcome is still `?`. */
  readonly verdict: 'pass' | 'fail' | 'open';
  /** Undefined while it stands; a later line takes the place of an earlier one without making history of it. */
  readonly history: History | undefined;
  /** The line that made it history. */
  readonly because: Entry | undefined;
  /** Work on the same thing by others or by the same people: lines of its step, and on what it is `of` or `before`. */
  readonly work: readonly Entry[];
}

export interface InspectionHistory {
  readonly subject: 'inspection';
  /** Its name, or the words in quotes of one that nothing declares. */
  readonly name: string;
  /** The same as its lines are found under: words in quotes with their quotes. */
  readonly key: string;
  readonly declaration: InspectionDeclaration | undefined;
  readonly records: readonly InspectionRecord[];
  /** Where it stands at the end of the log. `due-again`: what it is `of` was replaced, reworked or opened since. */
  readonly state: 'not-done' | 'to-fill-in' | 'passed' | 'failed' | 'due-again';
  /** The line that gives that state. */
  readonly last: InspectionRecord | undefined;
  /** An inspector's concession for how it came out last. */
  readonly accepted: Entry | undefined;
  /** The log must account for it. */
  readonly required: boolean;
  /** The line that fitted or closed what it is `of`, or else `before`: the log has touched it. */
  readonly touched: Entry | undefined;
  readonly inputs: readonly unknown[];
}

export interface InspectionInputs {
  readonly key: string;
  readonly declaration: InspectionDeclaration | undefined;
  readonly entries: readonly Entry[];
  /** Entries that fit, remove or loosen what it is `of`, in the order of the log. */
  readonly events: readonly Entry[];
  readonly openings: readonly Entry[];
  /** The lines that closed or fitted what it is `of` or `before`, as it stands at the end. */
  readonly closings: readonly Entry[];
  /** The one of them that fitted or closed what it is `of`, or what it is `before` if it is of nothing. */
  readonly touched: Entry | undefined;
  /** For each of `entries`, the lines of work in its step. */
  readonly workInStep: (entry: Entry) => readonly Entry[];
  readonly required: boolean;
  readonly scope: Scope;
}

/** Under which key the lines of an inspection are found: its name, or its words in quotes. */
export function inspectionKey(entry: Entry): string | undefined {
  const subject = entry.statement.subject;
  return subject === undefined ? undefined : subject.quoted ? `"${subject.text}"` : subject.text;
}

/** Builds an inspection's history. */
export function buildInspection(from: InspectionInputs, inputs: readonly unknown[]): InspectionHistory {
  const { declaration, scope } = from;
  const of = declaration?.of;
  const cuts = of === undefined ? [] : cutsSince(of, '', from.events, from.openings, scope);
  const records = from.entries
    .map((entry) => recordOf(entry, cuts, from))
    .filter((record) => record !== undefined);
  const last = records.at(-1);
  return {
    subject: 'inspection',
    name: declaration?.name ?? from.key.slice(1, -1),
    key: from.key,
    declaration,
    records,
    state: stateOf(last),
    last,
    accepted: from.entries.findLast(
      (entry) =>
        entry.kind === 'accept' &&
        last !== undefined &&
        entry.index > last.entry.index &&
        isByInspector(entry, scope.people),
    ),
    required: from.required,
    touched: from.touched,
    inputs,
  };
}

function recordOf(
  entry: Entry,
  cuts: readonly Cut[],
  { declaration, events, closings, workInStep }: InspectionInputs,
): InspectionRecord | undefined {
  const word = clauseValue(entry.statement, 'verdict')?.text;
  if (word === undefined) return undefined;
  const verdict = word === 'pass' || word === 'fail' ? word : 'open';
  const cut = verdict === 'open' ? undefined : cuts.find((one) => !one.onlyAsFound && one.at > entry.index);
  const needed = declaration?.needs === 'inspector';
  return {
    entry,
    verdict,
    history: cut?.history,
    because: cut?.because,
    work: needed
      ? [...new Set([...workInStep(entry), ...events.filter((one) => one.index < entry.index), ...closings])]
      : [],
  };
}

function stateOf(last: InspectionRecord | undefined): InspectionHistory['state'] {
  if (last === undefined) return 'not-done';
  if (last.verdict === 'open') return 'to-fill-in';
  if (last.history !== undefined) return 'due-again';
  return last.verdict === 'pass' ? 'passed' : 'failed';
}
