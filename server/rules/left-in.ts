/** Temporary parts that are still in. */
import { locate, membersByEntry, targetOfMembers, writeMembers } from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';

/** Reports parts declared `temporary` that went in and did not come out. */
export const leftIn = rule({
  id: 'left-in',
  severity: 'by-state',
  title: 'temporary part still in place',
  subject: 'rebuild',
  *check(rebuild) {
    for (const { name, declaration, members } of rebuild.parts) {
      if (!declaration.temporary) continue;
      for (const [fitting, group] of membersByEntry(members, (member) => member.fitted)) {
        const items = group.map((member) => member.item);
        const target = fitting.targets.find((one) => one.name === name)?.node ?? fitting.statement;
        const removal = `remove ${targetOfMembers(name, items)}`;
        const below = lastEntry(rebuild);
        const text = declaration.text === undefined ? '' : ` (${declaration.text})`;
        yield {
          at: locate(fitting.path, fitting.block, target),
          message: `${writeMembers(name, items)}${text} ${items.length === 1 ? 'is' : 'are'} temporary and still in: take ${items.length === 1 ? 'it' : 'them'} out before release.`,
          touched: true,
          related: [{ at: declaration.at, message: 'it is declared `temporary` here' }],
          fixes:
            below === undefined
              ? []
              : [{ title: `Write that it came out: \`${removal}\``, edits: [lineBelow(below, removal)] }],
        };
      }
    }
  },
});
