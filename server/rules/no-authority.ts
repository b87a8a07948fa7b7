/** A concession or a release by somebody who is not registered as an inspector. */
import { clauseAt, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports concessions and releases by people without the inspector's role; unknown names are reported as such. */
export const noAuthority = rule({
  id: 'no-authority',
  severity: 'error',
  title: 'by somebody who is no inspector',
  subject: 'entry',
  kinds: ['accept', 'release'],
  *check(entry, { scope }) {
    const { path, block, statement } = entry;
    const names =
      entry.kind === 'release' ? (statement.name === undefined ? [] : [statement.name]) : entry.by;
    const people = names.map((name) => scope.people.get(name.text)).filter((person) => person !== undefined);
    if (people.length < names.length || people.some((person) => person.inspector)) return;
    const who = people.map((person) => `${person.name} (${person.text})`).join(', ');
    const what = entry.kind === 'release' ? 'release the machine' : 'accept what is past its limit';
    yield {
      at: clauseAt(entry, 'by') ?? locate(path, block, statement.name ?? statement.keyword),
      message: `${who === '' ? 'Nobody is named who' : `${who} is not registered as an inspector, and only an inspector`} may ${what}.`,
      related: people.map((person) => ({ at: person.at, message: `${person.name} is registered here` })),
    };
  },
});
