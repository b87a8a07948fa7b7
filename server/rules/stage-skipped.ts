/** A stage reached without the one before, or one that the table does not have. */
import { clauseNode } from '../../grammar/index.ts';
import { formatQuantity } from '../quantities/index.ts';
import { type Entry, listItems, locate, meetsStage, stagesBeforeFinal } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { doneAgain, stands } from './standing.ts';
import { refOf } from './wording.ts';

/**
 * Reports members that reached a stage without the one before, and stages begun before all had the previous; and a
 * `stage` that says what neither the table nor the torque beside it does.
 */
export const stageSkipped = rule({
  id: 'stage-skipped',
  severity: 'error',
  title: 'stage left out',
  subject: 'fastener-group',
  kinds: ['torque'],
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
  also: {
    *entry(entry) {
      const { statement, torque, targets, path, block } = entry;
      const clause = clauseNode(statement, 'stage');
      if (clause?.value === undefined) return;
      const said = clause.value.value;
      for (const { name, declaration } of targets) {
        if (declaration?.kind !== 'fastener') continue;
        const before = stagesBeforeFinal(declaration);
        const count = before.length + 1;
        const stage = before[said - 1];
        const isMet = stage === undefined || torque === undefined || meetsStage(torque, stage);
        if (said >= 1 && said <= count && isMet) continue;
        const message = isMet
          ? `${name} has ${count === 1 ? 'one torque and no stages' : `${count} stages`}${refOf(declaration)}: there is no stage ${said}. Without it the stage follows from the value.`
          : `Stage ${said} of ${name} is ${formatQuantity(stage)}${refOf(declaration)}, and this line says ${formatQuantity(torque)}.`;
        yield {
          at: locate(path, block, clause),
          message,
          related: [{ at: declaration.at, message: 'the stages stand here' }],
          mended: doneAgain(entry),
        };
      }
    },
  },
});
