/** Inspections that a second person must do, done by somebody else. */
import { clauseAt, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { andList, refOf } from './wording.ts';

/** Reports inspections that ask for an inspector, done by nobody registered as one or by who did the work. */
export const needsInspector = rule({
  id: 'needs-inspector',
  severity: 'error',
  title: 'no inspector looked',
  subject: 'inspection',
  *check({ name, declaration, last }, { scope }) {
    if (declaration?.needs !== 'inspector' || last === undefined) return;
    if (last.verdict === 'open' || last.history !== undefined) return;
    const { entry, work } = last;
    const people = entry.by.map(({ text }) => scope.people.get(text)).filter((one) => one !== undefined);
    if (people.length < entry.by.length) return;
    const asked = { at: declaration.at, message: 'an inspector is asked for here' };
    const at =
      clauseAt(entry, 'by') ?? locate(entry.path, entry.block, entry.statement.subject ?? entry.statement);
    const inspectors = people.filter((person) => person.inspector);
    if (inspectors.length === 0) {
      const who = andList(people.map((person) => `${person.name} (${person.text})`));
      yield {
        at,
        message: `${name} needs an inspector${refOf(declaration)}, and ${who === '' ? 'nobody is named: add `by`.' : `${who} ${people.length === 1 ? 'is' : 'are'} not registered as one. Have an inspector look.`}`,
        related: [
          asked,
          ...people.map((person) => ({ at: person.at, message: `${person.name} is registered here` })),
        ],
      };
      return;
    }
    const workOf = (who: string) => work.find((one) => one.by.some((person) => person.text === who));
    const own = inspectors.flatMap((person) => {
      const line = workOf(person.name);
      return line === undefined ? [] : [{ person, line }];
    });
    if (own.length < inspectors.length) return;
    const who = andList(own.map(({ person }) => `${person.name} (${person.text})`));
    yield {
      at,
      message: `${name} needs a second person${refOf(declaration)}, and ${who} also did the work. Have another inspector look.`,
      related: [
        asked,
        ...own.map(({ line }) => ({
          at: locate(line.path, line.block, line.statement),
          message: 'this is work by the same person',
        })),
      ],
    };
  },
});
