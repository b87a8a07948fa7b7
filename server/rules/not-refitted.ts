/** Parts that came out and never went back. */
import {
  concessionForPart,
  isScrapped,
  locate,
  membersByEntry,
  type PartMember,
  targetOfMembers,
  writeMembers,
} from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';

/** Reports parts that are out, and scrapped ones of a covered assembly in whose place nothing went. */
export const notRefitted = rule({
  id: 'not-refitted',
  severity: 'by-state',
  title: 'taken out, and not put back',
  subject: 'rebuild',
  *check(rebuild) {
    for (const part of rebuild.parts) {
      const { name, declaration, members, required } = part;
      if (declaration.temporary) continue;
      const isAccepted = (member: PartMember) =>
        concessionForPart(part, member, rebuild.scope.people) !== undefined;
      const due = members.filter(
        (member) =>
          (member.state === 'out' || (member.state === 'scrapped' && required)) && !isAccepted(member),
      );
      for (const [removal, group] of membersByEntry(due, (member) => member.removed)) {
        const items = group.map((member) => member.item);
        const who = writeMembers(name, items);
        const one = items.length === 1;
        const scrapped = isScrapped(removal);
        const fitting = `fit ${targetOfMembers(name, items)} ${scrapped || declaration.once ? 'new' : 'reused'}`;
        const below = lastEntry(rebuild);
        const fixes =
          below === undefined
            ? []
            : [{ title: `Write that it went in: \`${fitting}\``, edits: [lineBelow(below, fitting)] }];
        const target = removal.targets.find((one) => one.name === name)?.node ?? removal.statement;
        yield {
          at: locate(removal.path, removal.block, target),
          message: scrapped
            ? `${who} ${one ? 'was' : 'were'} scrapped and nothing has gone in instead: fit ${one ? 'a new one' : 'new ones'}.`
            : `${who} came out and ${one ? 'has' : 'have'} not gone back: fit ${one ? 'it' : 'them'}, or write \`scrap\` where it came out.`,
          touched: true,
          related: [{ at: declaration.at, message: `${name} is declared here` }],
          fixes: scrapped
            ? fixes
            : [
                ...fixes,
                {
                  title: 'Write that it was scrapped: `scrap`',
                  edits: [
                    {
                      ...locate(removal.path, removal.block, { start: target.end, end: target.end }),
                      text: ' scrap',
                    },
                  ],
                },
              ],
        };
      }
    }
  },
});
