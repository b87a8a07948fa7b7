/** Fasteners run down by hand and never torqued. */
import { type Entry, listItems, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports members that were run down finger-tight and have had no torque since. */
export const leftFingerTight = rule({
  id: 'left-finger-tight',
  severity: 'by-state',
  title: 'still only finger-tight',
  subject: 'fastener-group',
  *check({ name, declaration, members }) {
    const byEntry = new Map<Entry, string[]>();
    for (const { fingerTight, tightenings, item } of members) {
      if (fingerTight === undefined || tightenings.length > 0) continue;
      const items = byEntry.get(fingerTight);
      if (items === undefined) byEntry.set(fingerTight, [item]);
      else items.push(item);
    }
    for (const [entry, items] of byEntry) {
      const who = items[0] === '' ? name : `${name}[${listItems(items)}]`;
      yield {
        at: locate(entry.path, entry.block, entry.targets[0]?.node ?? entry.statement),
        message: `${who} ${items.length === 1 ? 'is' : 'are'} only finger-tight: torque before release.`,
        touched: true,
        related: [{ at: declaration.at, message: 'the torque stands here' }],
      };
    }
  },
});
