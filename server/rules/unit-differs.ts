/** A value in another unit of the right kind than its limit. */

import { torqueTo } from '../../grammar/index.ts';
import {
  convertQuantity,
  formatQuantity,
  type Quantity,
  sameKind,
  withinPercent,
} from '../quantities/index.ts';
import { type Location, locate, type Report } from '../rebuild/index.ts';
import { rule } from './rule.ts';

function differs(quantity: Quantity, wanted: string, at: Location): Report | undefined {
  if (quantity.unit === wanted || !sameKind(quantity.unit, wanted)) return undefined;
  const converted = convertQuantity(quantity, wanted);
  if (converted === undefined) return undefined;
  const text = `${formatQuantity(converted)} (${formatQuantity(quantity)})`;
  return {
    at,
    message: `${formatQuantity(quantity)} is ${formatQuantity(converted)}; the limit is in ${wanted === 'in' ? 'inches' : wanted}.`,
    fixes: [{ title: `Write ${text}`, edits: [{ ...at, text }] }],
  };
}

/** Hints at readings and torques in another unit than their limit is written in. */
export const unitDiffers = rule({
  id: 'unit-differs',
  severity: 'hint',
  title: 'not the unit of the limit',
  subject: 'entry',
  kinds: ['measure', 'torque'],
  check(entry, { scope }) {
    const reports: Report[] = [];
    for (const [i, reading] of entry.readings.entries()) {
      // One value for several members stands once in the line.
      if (reading.node === entry.readings[i - 1]?.node) continue;
      if (
        reading.node.kind !== 'exact' ||
        reading.high === undefined ||
        reading.node.value.equivalent !== undefined
      )
        continue;
      if (reading.node.value.unit === undefined) continue;
      const declaration = scope.limits.get(reading.name)?.find((one) => one.space.index.has(reading.item));
      const unit = (declaration?.limit ?? declaration?.wear)?.unit;
      const report = unit === undefined ? undefined : differs(reading.high, unit, reading.at);
      if (report !== undefined) reports.push(report);
    }
    const declaration = entry.targets[0]?.declaration;
    const node = torqueTo(entry.statement);
    if (entry.torque === undefined || node === undefined || node.equivalent !== undefined) return reports;
    if (declaration?.kind !== 'fastener' || declaration.torque === undefined) return reports;
    // A stage may be in another unit than the final torque.
    const { torque } = entry;
    if (declaration.stages.some((stage) => stage.unit === torque.unit && withinPercent(torque, stage, 5)))
      return reports;
    const report = differs(torque, declaration.torque.unit, locate(entry.path, entry.block, node));
    if (report !== undefined) reports.push(report);
    return reports;
  },
});
