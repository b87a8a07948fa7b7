/** A unit that measures another kind of thing than is wanted. */
import { clauseValue, type QuantityNode } from '../../grammar/index.ts';
import {
  formatQuantity,
  kindOf,
  kindPhrase,
  type Quantity,
  quantityOf,
  sameKind,
} from '../quantities/index.ts';
import { clauseAt, type Entry, locate, type Report, writeTarget } from '../rebuild/index.ts';
import { rule } from './rule.ts';

function measures(quantity: Quantity): string {
  return `${formatQuantity(quantity)} is ${kindPhrase(kindOf(quantity.unit) ?? 'count')}`;
}

/** The clauses of a torque, besides the torque itself, whose unit is of another kind than they state. */
function* torqueClauses(entry: Entry): Iterable<Report> {
  const { statement } = entry;
  const angle = clauseValue(statement, 'angle');
  const drag = clauseValue(statement, 'drag');
  const adapter = clauseValue(statement, 'adapter');
  const wanted: readonly (readonly [QuantityNode | undefined, string, string])[] = [
    [angle?.kind === 'exact' ? angle.value : undefined, 'angle', '° or turn'],
    [drag?.kind === 'exact' ? drag.value : undefined, 'torque', 'N·m or in·lbf'],
    [clauseValue(statement, 'set'), 'torque', 'N·m or in·lbf'],
    [adapter?.length, 'length', 'mm or in'],
    [adapter?.angle, 'angle', '° or turn'],
  ];
  for (const [node, kind, units] of wanted) {
    const quantity = node === undefined ? undefined : quantityOf(node);
    if (node === undefined || quantity === undefined || kindOf(quantity.unit) === kind) continue;
    yield {
      at: locate(entry.path, entry.block, node),
      message: `${measures(quantity)}, and ${kind === 'angle' ? 'an angle' : `a ${kind}`} is wanted here, such as ${units}.`,
    };
  }
}

/** Reports readings, torques, temperatures and times in a unit of the wrong kind. */
export const unitMismatch = rule({
  id: 'unit-mismatch',
  severity: 'error',
  title: 'unit of the wrong kind',
  subject: 'entry',
  *check(entry, { scope }) {
    const at = clauseAt(entry, 'to') ?? locate(entry.path, entry.block, entry.statement);
    if (entry.torque !== undefined && kindOf(entry.torque.unit) !== 'torque')
      yield { at, message: `${measures(entry.torque)}, and a torque is wanted here, such as N·m or in·lbf.` };
    if (
      entry.temperature !== undefined &&
      entry.temperature.unit !== undefined &&
      kindOf(entry.temperature.unit) !== 'temperature'
    )
      yield { at, message: `${measures(entry.temperature)}, and a temperature is wanted here, such as °C.` };
    if (entry.kind === 'torque') yield* torqueClauses(entry);
    for (const reading of entry.readings) {
      const quantity = reading.high ?? reading.low;
      if (quantity === undefined) continue;
      const declaration = scope.limits.get(reading.name)?.find((one) => one.space.index.has(reading.item));
      const wanted = declaration?.limit ?? declaration?.wear;
      if (declaration === undefined || wanted === undefined || sameKind(quantity.unit, wanted.unit)) continue;
      yield {
        at: reading.at,
        message: `${measures(quantity)}, and ${writeTarget(reading.name, reading.item)} is ${kindPhrase(kindOf(wanted.unit) ?? 'count')}: its limit is in ${wanted.unit}.`,
        related: [{ at: declaration.at, message: 'the limit stands here' }],
      };
    }
  },
});
