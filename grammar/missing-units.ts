/** Which quantities need a unit of their own, and the fault where one is missing. */
import type { ClauseName, FixedName } from './statements.ts';
import { missingUnit } from './syntax-errors.ts';
import type { QuantityNode, SpreadNode, ValueNode } from './syntax-tree.ts';
import type { Scan } from './tokens.ts';

/** Reports numbers of a clause or a fixed part that carry no unit. A unit at either end of a spread serves both. */
export function missingUnits(scan: Scan, value: object, where: ClauseName | FixedName): void {
  if (Array.isArray(value)) {
    for (const one of value) missingUnits(scan, one, where);
    return;
  }
  if ('length' in value && where === 'adapter') {
    const { length, angle } = value as { length: QuantityNode; angle: QuantityNode | undefined };
    quantity(scan, length, where);
    if (angle !== undefined) quantity(scan, angle, 'angle');
    return;
  }
  if (!('kind' in value)) return;
  if (where === 'value') {
    equivalents(scan, value as ValueNode);
    return;
  }
  if (value.kind === 'quantity') quantity(scan, value as QuantityNode, where);
  else if (spreadKinds.has(value.kind as string)) spread(scan, value as SpreadNode, where);
}

const spreadKinds: ReadonlySet<string> = new Set([
  'exact',
  'range',
  'at-most',
  'at-least',
  'plus-minus',
  'deviations',
  'iso-class',
]);

function quantity(scan: Scan, node: QuantityNode, where: ClauseName | FixedName): void {
  if (node.unit === undefined) tell(scan, node, where);
  if (node.equivalent !== undefined) quantity(scan, node.equivalent, where);
}

function tell(scan: Scan, node: QuantityNode, where: ClauseName | FixedName): void {
  const { number } = node;
  if (number === undefined) return;
  const { text } = scan;
  const isQuotient = /=[^"]*\s\/\s+[^\s\d"]/.test(text.slice(0, number.start));
  scan.faults.push(
    missingUnit(number.start, number.end, text.slice(number.start, number.end), where, isQuotient),
  );
}

function spread(scan: Scan, node: SpreadNode, where: ClauseName | FixedName): void {
  switch (node.kind) {
    case 'exact':
    case 'at-most':
    case 'at-least':
      quantity(scan, node.value, where);
      break;
    case 'range':
      // The fix stands behind the whole range.
      if (node.low.unit === undefined && node.high.unit === undefined)
        tell(scan, node.high.number === undefined ? node.low : node.high, where);
      break;
    case 'plus-minus':
      if (node.nominal.unit === undefined) {
        if (node.tolerance.unit === undefined) tell(scan, node.tolerance, where);
        else if (node.tolerance.unit.name === '%') tell(scan, node.nominal, where);
      }
      break;
    case 'deviations':
      if (node.unit === undefined && node.nominal.unit === undefined) {
        const { start, end } = node.lower;
        scan.faults.push(missingUnit(start, end, scan.text.slice(start, end), where));
      }
      break;
    case 'iso-class':
      if (node.nominal.unit === undefined) {
        const { start, end } = node.isoClass;
        scan.faults.push(missingUnit(start, end, scan.text.slice(start, end), where));
      }
      break;
    case 'placeholder':
      break;
  }
  if (node.equivalent !== undefined) spread(scan, node.equivalent, where);
}

/** A reading's own unit may come from `in`, which the rule looks for; an equivalent always needs one. */
function equivalents(scan: Scan, node: ValueNode): void {
  if (node.kind === 'word') return;
  if (node.equivalent !== undefined) spread(scan, node.equivalent, 'value');
  const parts = node.kind === 'range' ? [node.low, node.high] : 'value' in node ? [node.value] : [];
  for (const { equivalent } of parts) if (equivalent !== undefined) quantity(scan, equivalent, 'value');
}
