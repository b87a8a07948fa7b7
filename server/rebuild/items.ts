/** Items and places: what the brackets and the `@` of a target stand for, written out one by one. */
import type { PathNode, PlainSegment, SegmentNode, Span, TargetNode } from '../../grammar/index.ts';

/** More members than any machine has: a longer run is a slip of the pen and is cut here. */
const MOST_MEMBERS = 10_000;

function plainWords(segment: PlainSegment): string[] {
  if (segment.kind === 'word') return [segment.text];
  if (segment.kind === 'number') return [String(segment.value)];
  const words: string[] = [];
  for (let n = segment.from; n <= segment.to && words.length < MOST_MEMBERS; n++) words.push(String(n));
  return words;
}

function segmentWords(segment: SegmentNode): string[] {
  switch (segment.kind) {
    case 'set':
      return segment.members.flatMap(plainWords);
    case 'word':
    case 'number':
    case 'run':
      return plainWords(segment);
    default:
      return [];
  }
}

/** Every path that a path with runs and sets stands for: `(front rear)/top` is `front/top` and `rear/top`. */
export function expandPath(path: PathNode): string[] {
  let paths = [''];
  for (const segment of path.segments) {
    const words = segmentWords(segment);
    const longer: string[] = [];
    for (const before of paths) {
      for (const word of words) {
        if (longer.length >= MOST_MEMBERS) break;
        longer.push(before === '' ? word : `${before}/${word}`);
      }
    }
    paths = longer;
  }
  return paths;
}

/** The members that a declaration gives its name: `['']`, the thing itself, when it has no brackets. */
export function declaredItems(target: TargetNode): readonly string[] {
  if (target.items === undefined) return [''];
  return [...new Set(target.items.flatMap(expandPath))];
}

/** The places that a declaration asks for: none when it has no `@`. */
export function declaredPlaces(target: TargetNode): readonly string[] {
  return target.place === undefined ? [] : [...new Set(expandPath(target.place))];
}

/** Members in the order in which a declaration lists them, with what lies below a shorter path. */
export interface ItemSpace {
  readonly items: readonly string[];
  readonly index: ReadonlyMap<string, number>;
  /** For each shorter path, the members below it. */
  readonly below: ReadonlyMap<string, readonly string[]>;
}

/** Prepares the declared members for look-up. */
export function itemSpace(items: readonly string[]): ItemSpace {
  const index = new Map(items.map((item, i) => [item, i]));
  const below = new Map<string, string[]>();
  for (const item of items) {
    for (let slash = item.lastIndexOf('/'); slash > 0; slash = item.lastIndexOf('/', slash - 1)) {
      const prefix = item.slice(0, slash);
      const members = below.get(prefix);
      if (members === undefined) below.set(prefix, [item]);
      else members.push(item);
    }
  }
  return { items, index, below };
}

/** Members that lie together, in a circle or in rows of their own: those that differ in their last segment alone. */
export function laidTogether(items: readonly string[]): readonly (readonly string[])[] {
  const sets = new Map<string, string[]>();
  for (const item of items) {
    const above = item.slice(0, Math.max(0, item.lastIndexOf('/')));
    const set = sets.get(above);
    if (set === undefined) sets.set(above, [item]);
    else set.push(item);
  }
  return [...sets.values()];
}

export interface Selection {
  /** Declared members, in the order written; a member may come twice if it was written twice. */
  readonly items: readonly string[];
  /** `all`, a bare name or a shorter path: no order is claimed. */
  readonly ordered: 'as-written' | 'as-declared' | 'not-claimed';
  readonly unknown: readonly { readonly span: Span; readonly text: string }[];
}

/**
 * The declared members that a target names. `order` is what `[ordered]` stands for.
 * Paths that are not declared come back in `unknown`.
 */
export function selectItems(target: TargetNode, space: ItemSpace, order: readonly string[]): Selection {
  if (target.items === undefined) return { items: space.items, ordered: 'not-claimed', unknown: [] };
  const items: string[] = [];
  const unknown: { span: Span; text: string }[] = [];
  let ordered: Selection['ordered'] = 'as-written';
  for (const path of target.items) {
    const first = path.segments[0];
    if (first !== undefined && path.segments.length === 1 && first.kind === 'all') {
      items.push(...space.items);
      ordered = 'not-claimed';
      continue;
    }
    if (first !== undefined && path.segments.length === 1 && first.kind === 'ordered') {
      items.push(...order);
      if (target.items.length === 1) ordered = 'as-declared';
      continue;
    }
    for (const text of expandPath(path)) {
      if (space.index.has(text)) items.push(text);
      else {
        const members = space.below.get(text);
        if (members === undefined) unknown.push({ span: path, text });
        else {
          items.push(...members);
          ordered = 'not-claimed';
        }
      }
    }
  }
  return { items, ordered, unknown };
}

/** Places that a written place stands for: a shorter path means every declared place below it. */
export function selectPlaces(
  place: PathNode | undefined,
  places: ItemSpace,
): { readonly places: readonly string[]; readonly unknown: Selection['unknown'] } {
  if (place === undefined) return { places: [''], unknown: [] };
  const found: string[] = [];
  const unknown: { span: Span; text: string }[] = [];
  for (const text of expandPath(place)) {
    if (places.items.length === 0 || places.index.has(text)) found.push(text);
    else {
      const below = places.below.get(text);
      if (below === undefined) unknown.push({ span: place, text });
      else found.push(...below);
    }
  }
  return { places: found, unknown };
}

/**
 * Whether an item of one name goes with an item of another: they are the same, one is below the other, or one
 * of the two has no members (`bore[front]` is of `cylinder[front]`; `ring-gap[front/top]` of `piston[front]`).
 */
export function itemsMatch(a: string, b: string): boolean {
  return a === b || a === '' || b === '' || a.startsWith(`${b}/`) || b.startsWith(`${a}/`);
}

/** `name[item] @ place`, as a builder writes it. */
export function writeTarget(name: string, item: string, place = ''): string {
  return `${name}${item === '' ? '' : `[${item}]`}${place === '' ? '' : ` @ ${place}`}`;
}

/** `name[members]` for a sentence: `crank-seal[front and rear]`, `bung[1..4]`; the name alone for a thing without members. */
export function writeMembers(name: string, items: readonly string[]): string {
  return items.length === 0 || items[0] === '' ? name : `${name}[${listItems(items)}]`;
}

/** The same as a target of a line: `crank-seal[front rear]`. */
export function targetOfMembers(name: string, items: readonly string[]): string {
  if (items.length === 0 || items[0] === '') return name;
  const runs = listItems(items, items.length).replaceAll(', ', ' ').replace(' and ', ' ');
  return `${name}[${runs}]`;
}

/** Members for a sentence: `1, 2, 5 and 7`; runs of three and more whole numbers as `1..4`. */
export function listItems(items: readonly string[], most = 12): string {
  const parts: string[] = [];
  for (let i = 0; i < items.length; ) {
    let j = i;
    while (
      j + 1 < items.length &&
      /^\d+$/.test(items[j] ?? '') &&
      Number(items[j + 1]) === Number(items[j]) + 1
    )
      j++;
    if (j - i >= 2) {
      parts.push(`${items[i]}..${items[j]}`);
      i = j + 1;
    } else {
      parts.push(items[i] ?? '');
      i++;
    }
  }
  const shown =
    parts.length > most ? [...parts.slice(0, most - 1), `${parts.length - most + 1} more`] : parts;
  if (shown.length < 2) return shown.join('');
  return `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}
