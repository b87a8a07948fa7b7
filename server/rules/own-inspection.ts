/** An inspector who signs for work that the log records as the inspector's own. */
import type { StatementKind } from '../../grammar/index.ts';
import { type Entry, locate, type PersonDeclaration, type Rebuild } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** What is work on the machine; an inspection, a note or a photograph is none. */
const work: readonly StatementKind[] = [
  'remove',
  'fit',
  'apply',
  'finger-tight',
  'loosen',
  'measure',
  'torque',
  'run',
];

/** Reports a release, and a signature of somebody who is only an inspector, over work of one's own. */
export const ownInspection = rule({
  id: 'own-inspection',
  severity: 'information',
  title: 'the inspector did the work',
  subject: 'rebuild',
  *check(rebuild) {
    const { byKind, scope, path } = rebuild;
    for (const closing of [...(byKind.get('sign') ?? []), ...(byKind.get('release') ?? [])]) {
      const name = closing.statement.name;
      const person = name === undefined ? undefined : scope.people.get(name.text);
      // A builder signs for the work that the builder did; that is what a signature is for.
      if (name === undefined || person?.inspector !== true) continue;
      if (closing.kind === 'sign' && person.builder) continue;
      const lists = work.map((kind) => byKind.get(kind) ?? []);
      const own = lists.map((list) => workOf(name.text, list));
      const all = lists.reduce((count, list) => count + upTo(list, closing), 0);
      const many = own.reduce((count, list) => count + upTo(list, closing), 0);
      if (many === 0) continue;
      const [first] = own.flatMap((list) => list.slice(0, 1)).sort((one, other) => one.index - other.index);
      const share = many === all ? `all ${many}` : `${many} of the ${all}`;
      const alone = !othersLooked(rebuild, closing, person);
      yield {
        at: locate(path, closing.block, name),
        message: `${name.text} ${closing.kind === 'release' ? 'releases' : 'signs as inspector for'} work of ${name.text}'s own: ${all === 1 ? 'its one entry' : `${share} entries`} of work above ${many === 1 ? 'is' : 'are'} in that name.${alone ? ' By the log nobody else has looked.' : ''}`,
        related:
          first === undefined
            ? []
            : [{ at: locate(path, first.block, first.statement), message: 'the first of them' }],
      };
    }
  },
});

/** Entries of a list by the people who did them: an edit leaves most lists the same. */
const byPerson = new WeakMap<readonly Entry[], ReadonlyMap<string, readonly Entry[]>>();

function workOf(person: string, list: readonly Entry[]): readonly Entry[] {
  let people = byPerson.get(list);
  if (people === undefined) {
    const sorted = new Map<string, Entry[]>();
    for (const entry of list)
      for (const { text } of entry.by) {
        const own = sorted.get(text);
        if (own === undefined) sorted.set(text, [entry]);
        else if (own.at(-1) !== entry) own.push(entry);
      }
    people = sorted;
    byPerson.set(list, people);
  }
  return people.get(person) ?? [];
}

/** How many entries of a list, which is in the order of the log, stand above a line. */
function upTo(list: readonly Entry[], line: Entry): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle]?.index ?? 0) < line.index) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Whether an inspection or a signature above a line is by somebody else. */
function othersLooked({ byKind }: Rebuild, closing: Entry, person: PersonDeclaration): boolean {
  const others = (entry: Entry) =>
    entry.kind === 'inspect'
      ? entry.by.some(({ text }) => text !== person.name)
      : entry.statement.name !== undefined && entry.statement.name.text !== person.name;
  return (['inspect', 'sign', 'release'] as const)
    .flatMap((kind) => byKind.get(kind) ?? [])
    .some((entry) => entry.index < closing.index && others(entry));
}
