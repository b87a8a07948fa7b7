/** Options that take one of a few words. */
import { closest, distance } from 'fastest-levenshtein';
import { Trouble } from './trouble.ts';

/** What the table has for the value of an option; throws `Trouble` that names all words, and the one that is near. */
export function chosen<T>(option: string, value: string, table: Readonly<Record<string, T>>): T {
  const found = Object.hasOwn(table, value) ? table[value] : undefined;
  if (found === undefined) throw new Trouble(wrongChoice(option, value, Object.keys(table)));
  return found;
}

/** The value of an option, when it is one of the words; throws `Trouble` as `chosen` does. */
export function oneOf<T extends string>(option: string, value: string, words: readonly T[]): T {
  const found = words.find((word) => word === value);
  if (found === undefined) throw new Trouble(wrongChoice(option, value, words));
  return found;
}

function wrongChoice(option: string, value: string, words: readonly string[]): string {
  const last = words.at(-1) ?? '';
  const listed = words.length === 1 ? last : `${words.slice(0, -1).join(', ')} or ${last}`;
  return `${option} takes ${listed}, not ${value}.${didYouMean(value, words)}`;
}

/** ` Did you mean text?` when one of the words is near enough to be meant; else nothing. */
export function didYouMean(word: string, words: readonly string[]): string {
  const nearest = closest(word, words);
  const letters = (text: string) => [...text].sort().join('');
  const isNear =
    distance(word, nearest) <= Math.max(1, nearest.length / 3) || letters(word) === letters(nearest);
  return isNear ? ` Did you mean ${nearest}?` : '';
}
