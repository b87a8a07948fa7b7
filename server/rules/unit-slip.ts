/** A value that misses its limit and would meet it in another unit, or with the point elsewhere. */

import { torqueTo } from '../../grammar/index.ts';
import { formatQuantity, likelySlips, type Quantity, type Spread } from '../quantities/index.ts';
import { type Fix, type Location, locate, type Report } from '../rebuild/index.ts';
import { rule } from './rule.ts';

function slipOf(quantity: Quantity, spread: Spread, at: Location, where: string): Report | undefined {
  const slip = likelySlips(quantity, spread)[0];
  if (slip === undefined) return undefined;
  const fix: Fix = { title: `Write ${slip.text}`, edits: [{ ...at, text: slip.text }] };
  return {
    at,
    message: `${formatQuantity(quantity)} misses ${where}, and ${slip.text} would meet it: ${slip.slip === 'unit' ? 'was the unit' : 'was the decimal point'} a slip of the pen?`,
    fixes: [fix],
  };
}

/** Reports readings and torques that one other unit, or a moved point, would bring inside. */
export const unitSlip = rule({
  id: 'unit-slip',
  severity: 'error',
  title: 'probably the wrong unit',
  subject: 'entry',
  *check(entry, { scope }) {
    for (const reading of entry.readings) {
      if (reading.node.kind !== 'exact' || reading.high === undefined) continue;
      const declaration = scope.limits.get(reading.name)?.find((one) => one.space.index.has(reading.item));
      const spread = declaration?.wear ?? declaration?.limit;
      if (declaration === undefined || spread === undefined || declaration.grade !== undefined) continue;
      const report = slipOf(reading.high, spread, reading.at, 'its limit');
      if (report !== undefined)
        yield { ...report, related: [{ at: declaration.at, message: 'the limit stands here' }] };
    }
    const declaration = entry.targets[0]?.declaration;
    const node = torqueTo(entry.statement);
    if (
      entry.torque === undefined ||
      node === undefined ||
      declaration?.kind !== 'fastener' ||
      declaration.torque === undefined
    )
      return;
    // A value of an earlier stage is no slip.
    if (
      declaration.stages.some(
        (stage) => stage.unit === entry.torque?.unit && stage.value === entry.torque.value,
      )
    )
      return;
    const at = locate(entry.path, entry.block, {
      start: node.start,
      end: node.equivalent === undefined ? node.end : (node.unit?.end ?? node.end),
    });
    const report = slipOf(entry.torque, declaration.torque, at, 'the torque of its group');
    if (report !== undefined)
      yield { ...report, related: [{ at: declaration.at, message: 'the torque stands here' }] };
  },
});
