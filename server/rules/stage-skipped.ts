/** A stage reached without the one before. */
import { formatQuantity } from '../quantities/index.ts';
import { type Entry, listItems, locate, stagesBeforeFinal } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { stands } from './standing.ts';

/** Reports members that reached a stage without the one before, and stages begun before all had the previous. */
export const stageSkipped = rule({
  id: 'stage-skipped',
  severity: 'error',
  title: 'stage left out',
  subject: 'fastener-group',
  *check({ name, declaration, members, skipped }) {
    const stages = stagesBeforeFinal(declaration);
    const told = new Set<Entry>();
    for (const { tightening, missed, without } of skipped) {
      const { entry: line } = tightening;
      const done = new Set(line.targets.flatMap((target) => (target.name === name ? target.items : [])));
      // Whatever was loosened since and begun anew is no matter any more.
      if (!members.some((member) => done.has(member.item) && stands(member, line))) continue;
      const { entry } = tightening;
      if (told.has(entry)) continue;
      told.add(entry);
      const stage = stages[missed - 1];
      const ref = declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`;
      const value = stage === undefined ? '' : `, ${formatQuantity(stage)}`;
      yield {
        at: locate(entry.path, entry.block, entry.targets[0]?.node ?? entry.statement),
        message: `${name}: this stage began before ${listItems(without)} had stage ${missed}${value}${ref}. ${declaration.once ? 'Fit new ones' : 'Loosen them all'} and begin again with the first stage.`,
        related: [{ at: declaration.at, message: 'the stages stand here' }],
      };
    }
  },
});
