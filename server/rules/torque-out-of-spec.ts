/** A final torque outside the range of its group. */
import { formatAmount, formatQuantity, formatSpread, standing } from '../quantities/index.ts';
import { clauseAt, listItems, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports torques over the range, and last torques that are neither a stage nor the final value. */
export const torqueOutOfSpec = rule({
  id: 'torque-out-of-spec',
  severity: 'error',
  title: 'torque outside its range',
  subject: 'fastener-group',
  *check({ name, declaration, members, accepted }, { scope }) {
    const wanted = declaration.torque;
    if (wanted === undefined) return;
    const concession = accepted.findLast((entry) =>
      entry.by.some((person) => scope.people.get(person.text)?.inspector === true),
    );
    const byEntry = new Map<object, string[]>();
    for (const member of members) {
      for (const tightening of member.history) {
        const { torque, entry, stage } = tightening;
        if (torque === undefined) continue;
        const where = standing(wanted, torque);
        const isLast = member.tightenings.at(-1) === tightening;
        // Too much stretches the bolt whatever follows; too little matters when nothing follows.
        if (where.where !== 'above' && !(where.where === 'below' && isLast && stage === undefined)) continue;
        const items = byEntry.get(entry);
        if (items !== undefined) {
          items.push(member.item);
          continue;
        }
        byEntry.set(entry, [member.item]);
      }
    }
    for (const member of members) {
      for (const { torque, entry } of member.history) {
        const items = byEntry.get(entry);
        if (torque === undefined || items === undefined) continue;
        byEntry.delete(entry);
        const where = standing(wanted, torque);
        if (where.where !== 'above' && where.where !== 'below') continue;
        const miss = formatAmount(
          where.by,
          wanted.unit,
          wanted.decimals + (torque.unit === wanted.unit ? torque.decimals : 1),
        );
        const ref = declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`;
        const remedy =
          where.where === 'above'
            ? ' An overtightened fastener is stretched: look at it before it is used again.'
            : '';
        const who = items.length === 1 && items[0] === '' ? name : `${name}[${listItems(items)}]`;
        yield {
          at: clauseAt(entry, 'to') ?? locate(entry.path, entry.block, entry.statement),
          message: `${who} was torqued to ${formatQuantity(torque)}: ${miss} ${where.where === 'above' ? 'over' : 'under'} ${formatSpread(wanted)}${ref}.${concession === undefined ? remedy : ` Accepted by ${concession.by.map((person) => person.text).join(', ')}.`}`,
          ...(concession === undefined ? {} : { severity: 'information' as const }),
          related: [{ at: declaration.at, message: 'the torque stands here' }],
        };
      }
    }
  },
});
