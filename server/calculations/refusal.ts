// What a calculation returns instead of a number when it cannot be done.

/** A calculation that was not done: a tag for programs and one sentence for people. */
export interface Refusal<Reason extends string = string> {
  readonly refused: Reason;
  readonly explanation: string;
}

/** Builds a refusal. */
export function refuse<Reason extends string>(refused: Reason, explanation: string): Refusal<Reason> {
  return { refused, explanation };
}

/** Whether a result is a refusal; the other arm of the result then stands without further tests. */
export function isRefusal<Result>(result: Result): result is Extract<Result, Refusal> {
  return typeof result === 'object' && result !== null && 'refused' in result;
}
