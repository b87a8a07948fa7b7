/** A number with its noun, as the documents print it. */

/** `1 error`, `2 errors`; for nouns with a plain `s`. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
