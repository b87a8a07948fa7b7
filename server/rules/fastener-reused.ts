/** A fastener that may be torqued once only, torqued again. */
import { formatQuantity } from '../quantities/index.ts';
import { type Entry, locate, type Reuse, targetOfMembers, writeMembers } from '../rebuild/index.ts';
import { lineAbove } from './insertion.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Reports `once` fasteners that were tight, came loose and were torqued again without `fit … new`. */
export const fastenerReused = rule({
  id: 'fastener-reused',
  severity: 'error',
  title: 'fastener used again that may be torqued once only',
  subject: 'fastener-group',
  *check({ name, declaration, reused }) {
    const byEntry = new Map<Entry, Reuse[]>();
    for (const one of reused) {
      const list = byEntry.get(one.tightening.entry);
      if (list === undefined) byEntry.set(one.tightening.entry, [one]);
      else list.push(one);
    }
    for (const [entry, reuses] of byEntry) {
      const first = reuses[0];
      if (first === undefined) continue;
      const items = reuses.map((one) => one.tightening.item);
      const { undone, before } = first;
      const verb = undone?.kind === 'remove' ? 'removed' : 'loosened';
      const was = [
        before === undefined
          ? 'was tight in the machine'
          : `was torqued${before.torque === undefined ? '' : ` to ${formatQuantity(before.torque)}`}`,
        undone === undefined ? ' in an earlier log' : ` and ${verb}`,
      ].join('');
      const checked = undone === undefined ? ' If it was only checked, write `retorque`.' : '';
      const line = `fit ${targetOfMembers(name, items)} new`;
      yield {
        at: locate(entry.path, entry.block, entry.targets[0]?.node ?? entry.statement),
        message: `${writeMembers(name, items)} ${was}, and is torqued again: it may be torqued once only${refOf(declaration)}. Fit a new one; if this is one, say so: \`${line}\`.${checked}`,
        related: [
          { at: declaration.at, message: '`once` stands here' },
          ...[before, undone]
            .filter((one) => one !== undefined)
            .map((one) => ({
              at: locate(one.path, one.block, one.statement),
              message: `it was ${one === undone ? verb : 'torqued'} here`,
            })),
        ],
        // For a builder who fitted new ones and did not say so.
        fixes: [{ title: `Write \`${line}\` above`, edits: [lineAbove(entry, [line])] }],
      };
    }
  },
});
