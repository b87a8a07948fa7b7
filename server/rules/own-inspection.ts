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
      const before = work
        .flatMap((kind) => byKind.get(kind) ?? [])
        .filter((one) => one.index < closing.index);
      const own = before.filter((entry) => entry.by.some(({ text }) => text === name.text));
      if (own.length === 0) continue;
      const [first] = own.toSorted((a, b) => a.index - b.index);
      const share =
        own.length === before.length ? `all ${own.length}` : `${own.length} of the ${before.length}`;
      const alone = !othersLooked(rebuild, closing, person);
      yield {
        at: locate(path, closing.block, name),
        message: `${name.text} ${closing.kind === 'release' ? 'releases' : 'signs as inspector for'} work of ${name.text}'s own: ${own.length === 1 && before.length === 1 ? 'its one entry' : `${share} entries`} of work above ${own.length === 1 ? 'is' : 'are'} in that name.${alone ? ' By the log nobody else has looked.' : ''}`,
        related:
          first === undefined
            ? []
            : [{ at: locate(path, first.block, first.statement), message: 'the first of them' }],
      };
    }
  },
});

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
