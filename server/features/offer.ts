/** What completion hands out: an offer, and how its text is written. */

export type OfferKind =
  | 'statement'
  | 'clause'
  | 'target'
  | 'member'
  | 'place'
  | 'tool'
  | 'person'
  | 'sealant'
  | 'unit'
  | 'value'
  | 'word'
  | 'file'
  | 'template';

/** Something that `describe` can say more about. */
export interface Subject {
  readonly kind: 'declared' | 'tool' | 'person' | 'sealant' | 'statement' | 'clause';
  /** For a clause, `statement clause`. */
  readonly name: string;
}

export interface Offer {
  readonly label: string;
  readonly kind: OfferKind;
  /** One line: why it is offered here. */
  readonly detail?: string | undefined;
  /** What is written instead of the range; with `snippet`, its `$` and `}` are places to fill. */
  readonly insert: string;
  readonly snippet?: true;
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
  /** Looked for by this text; the label where it is absent. */
  readonly filter?: string;
  readonly about?: Subject;
  /** What comes next is worth offering at once. */
  readonly again?: true;
  /** It begins its line without an indent, whatever stands before it. */
  readonly outdent?: true;
  /** Smaller comes first. */
  readonly rank: number;
}

/** An offer without its range, which is that of the word being written. */
export type Idea = Omit<Offer, 'start' | 'end' | 'rank' | 'insert'> & {
  readonly insert?: string;
  readonly rank?: number;
};

/** Text that stands in a snippet as it is. */
export function plain(text: string): string {
  return text.replace(/[\\$}]/g, '\\$&');
}

/** A place to fill in, number `n`, with what stands there at first. */
export function slot(n: number, text: string): string {
  return `\${${n}:${plain(text)}}`;
}

/** The text of a snippet without its places to fill: `${1:?}` is `?`, `$0` nothing. */
export function withoutPlaces(snippet: string): string {
  return snippet.replace(/\$\{\d+:((?:\\.|[^}\\])*)\}|\$\{\d+\}|\$\d+/g, '$1').replace(/\\([\\$}])/g, '$1');
}
