/** Fasteners of a group that have no final torque. */
import { formatSpread } from '../quantities/index.ts';
import { listItems, locate, notTorqued } from '../rebuild/index.ts';
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
    const items = due.map((member) => member.item);
    const numbers =
      members.length === 1
        ? 'not torqued'
        : due.length === members.length
          ? `none of ${members.length} torqued`
          : `${due.length === 1 ? 'number ' : ''}${listItems(items)} of ${members.length} not torqued`;
    // What was torqued, but to something else, is not said to be untouched.
    const { torque, angle } = declaration;
    const wanted =
      torque !== undefined &&
      due.some(({ tightenings }) => tightenings.some((one) => one.torque !== undefined))
        ? ` to ${formatSpread(torque)}${angle === undefined ? '' : ` and turned ${formatSpread(angle)}`}`
        : '';
    const target = last?.targets.find((one) => one.name === name);
    yield {
      at:
        last === undefined || target === undefined
          ? declaration.at
          : locate(last.path, last.block, target.node),
      message: `${name}: ${numbers}${wanted}${declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`}.`,
      touched: group.touched,
      related: [{ at: declaration.at, message: `${name} is declared here` }],
    };
  },
});
