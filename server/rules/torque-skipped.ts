/** Fasteners of a group that have no final torque. */
import { listItems, notTorqued } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports, by number, the fasteners of a group that is required or begun and not complete. */
export const torqueSkipped = rule({
  id: 'torque-skipped',
  severity: 'by-state',
  title: 'fasteners not torqued',
  subject: 'fastener-group',
  *check(group) {
    if (!group.touched && !group.required) return;
    const due = notTorqued(group);
    if (due.length === 0) return;
    const { declaration, members, name } = group;
    const last = group.entries.findLast((entry) => entry.kind === 'torque') ?? group.entries.at(-1);
    const numbers =
      declaration.space.items.length === 1
        ? 'not torqued'
        : `${listItems(due.map((member) => member.item))} of ${members.length} not torqued`;
    yield {
      at:
        last?.targets.find((target) => target.name === name) === undefined || last === undefined
          ? declaration.at
          : {
              path: last.path,
              block: last.block,
              start: last.targets[0]?.node.start ?? 0,
              end: last.targets[0]?.node.end ?? 0,
            },
      message: `${name}: ${numbers}${declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`}.`,
      touched: group.touched,
      related: [{ at: declaration.at, message: `${name} is declared here` }],
    };
  },
});
