/** A locking nut that turns too easily, or too hard, before it seats. */
import { clauseNode } from '../../grammar/index.ts';
import {
  convertQuantity,
  formatAmount,
  formatQuantity,
  formatSpread,
  standing,
} from '../quantities/index.ts';
import { dragOf, locate, writeMembers } from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Reports recorded prevailing torques outside the range of their group. */
export const dragOutOfRange = rule({
  id: 'drag-out-of-range',
  severity: 'error',
  title: 'prevailing torque outside its range',
  subject: 'entry',
  kinds: ['torque'],
  check(entry) {
    const target = entry.targets[0];
    const declaration = target?.declaration;
    const drag = dragOf(entry);
    if (target === undefined || declaration?.kind !== 'fastener') return nothing;
    if (declaration.drag === undefined || drag === undefined) return nothing;
    const where = standing(declaration.drag, drag);
    if (where.where !== 'above' && where.where !== 'below') return nothing;
    const { unit, decimals } = declaration.drag;
    const miss = formatAmount(where.by, unit, Math.max(decimals, drag.unit === unit ? drag.decimals : 1));
    const range = formatSpread(declaration.drag);
    const inUnit = drag.unit === unit ? undefined : convertQuantity(drag, unit);
    const felt = `${formatQuantity(drag)}${inUnit === undefined ? '' : ` (${formatQuantity(inUnit)})`}`;
    const remedy =
      where.where === 'below'
        ? 'It no longer holds by itself: fit a new one.'
        : 'Find out what binds (a damaged or dirty thread, the wrong nut) before it is torqued.';
    return [
      {
        at: locate(entry.path, entry.block, clauseNode(entry.statement, 'drag') ?? entry.statement),
        message: `${writeMembers(target.name, target.items)} turned with ${felt}: ${miss} ${where.where === 'below' ? 'under' : 'over'} ${range}${refOf(declaration)}. ${remedy}`,
        related: [{ at: declaration.at, message: 'the drag stands here' }],
      },
    ];
  },
});
