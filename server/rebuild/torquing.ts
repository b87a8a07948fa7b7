/** What a torque asks of the wrench: its reading with drag and adapter, what a setting gives, how sure it is. */
import { clauseValue, hasClause } from '../../grammar/index.ts';
import {
  type Adapter,
  isRefusal,
  standardWrenchAccuracy,
  torqueAtFastener,
  wrenchReading,
} from '../calculations/index.ts';
import {
  computedQuantity,
  convert,
  convertedDecimals,
  convertQuantity,
  type Quantity,
  quantityOf,
} from '../quantities/index.ts';
import type { ToolDeclaration } from './declarations.ts';
import type { Entry } from './entries.ts';

/** The wrench's side of a torque. */
export interface WrenchWork {
  /** What the wrench must read, drag and adapter reckoned in; in the unit of the torque. */
  readonly mustRead: Quantity;
  /** What its recorded setting gives at the fastener, beyond the drag; undefined without a `set`. */
  readonly gives: Quantity | undefined;
  /** The reading is not simply the torque. */
  readonly corrected: boolean;
}

/** Why the wrench's side cannot be worked out, in words that follow "cannot be worked out:". */
export interface WrenchUnknown {
  readonly unknown: 'no-wrench' | 'no-length' | 'not-stated' | 'impossible-adapter';
  readonly explanation: string;
}

/** The prevailing torque that a `torque` line records. */
export function dragOf(entry: Entry): Quantity | undefined {
  const drag = clauseValue(entry.statement, 'drag');
  return drag?.kind === 'exact' ? quantityOf(drag.value) : undefined;
}

/** What a `torque` line says that the wrench was set to. */
export function settingOf(entry: Entry): Quantity | undefined {
  const set = clauseValue(entry.statement, 'set');
  return set === undefined ? undefined : quantityOf(set);
}

/** The adapter of a `torque` line in millimetres and degrees; 0 ° where no angle is given. */
function adapterOf(entry: Entry): Adapter | WrenchUnknown | undefined {
  const node = clauseValue(entry.statement, 'adapter');
  if (node === undefined) return undefined;
  const length = quantityOf(node.length);
  const turned = node.angle === undefined ? undefined : quantityOf(node.angle);
  const adapterLength = length === undefined ? undefined : convert(length.value, length.unit, 'mm');
  const angle =
    node.angle === undefined ? 0 : turned === undefined ? undefined : convert(turned.value, turned.unit, '°');
  // At a right angle the lengths do not matter.
  if (angle !== undefined && Math.abs(angle % 180) === 90)
    return { wrenchLength: 1, adapterLength: 0, angle: 90 };
  if (adapterLength === undefined || angle === undefined)
    return { unknown: 'not-stated', explanation: 'the line does not say yet what the adapter is' };
  const { tool } = entry;
  if (tool === undefined)
    return { unknown: 'no-wrench', explanation: 'say with which wrench (`with`), and give it a `length`' };
  const own = tool.length === undefined ? undefined : convert(tool.length.value, tool.length.unit, 'mm');
  if (own === undefined)
    return { unknown: 'no-length', explanation: `${tool.name} is registered without a \`length\`` };
  return { wrenchLength: own, adapterLength, angle };
}

/**
 * What the wrench must read for the torque of an entry, and what its setting gives. Undefined when the entry states
 * no torque, or a part of it is still `?` or in a unit of another kind.
 */
export function wrenchWork(entry: Entry): WrenchWork | WrenchUnknown | undefined {
  const { torque } = entry;
  if (entry.kind !== 'torque' || torque === undefined) return undefined;
  const { unit } = torque;
  const written = dragOf(entry);
  if (written === undefined && hasClause(entry.statement, 'drag'))
    return { unknown: 'not-stated', explanation: 'the line does not say yet what the drag was' };
  const drag = written === undefined ? undefined : convertQuantity(written, unit);
  if (convert(0, unit, 'N·m') === undefined || (written !== undefined && drag === undefined))
    return undefined;
  const adapter = adapterOf(entry);
  if (adapter !== undefined && 'unknown' in adapter) return adapter;
  const reading = wrenchReading(torque.value, adapter, drag?.value);
  if (isRefusal(reading)) return { unknown: 'impossible-adapter', explanation: reading.explanation };
  const isStraight = adapter === undefined || adapter.angle === 90;
  const decimals = Math.max(torque.decimals, drag?.decimals ?? 0) + (isStraight ? 0 : 1);
  const set = settingOf(entry);
  const setting = set === undefined ? undefined : convert(set.value, set.unit, unit);
  const given = setting === undefined ? undefined : torqueAtFastener(setting, adapter, drag?.value);
  return {
    mustRead: computedQuantity(reading, decimals, unit),
    gives:
      given === undefined || isRefusal(given)
        ? undefined
        : computedQuantity(
            given,
            Math.max(decimals, set === undefined ? 0 : (convertedDecimals(set, unit) ?? 0)),
            unit,
          ),
    corrected: !isStraight || drag !== undefined,
  };
}

/** What the wrench must read for a torque, where an adapter or the drag makes it another than the torque itself. */
export function wrenchMustRead(entry: Entry): Quantity | undefined {
  const work = wrenchWork(entry);
  return work === undefined || 'unknown' in work || !work.corrected ? undefined : work.mustRead;
}

/**
 * How far a wrench may be off at a torque, in the torque's unit: by its register, else by ISO 6789 for its capacity
 * (`stated` tells which). Undefined for a tool without a range in torque.
 */
export function wrenchAccuracy(
  tool: ToolDeclaration,
  torque: Quantity,
): { readonly by: number; readonly stated: boolean } | undefined {
  const { accuracy, range } = tool;
  if (accuracy !== undefined) {
    const by =
      accuracy.unit === '%'
        ? (Math.abs(torque.value) * accuracy.value) / 100
        : convert(accuracy.value, accuracy.unit, torque.unit);
    return by === undefined ? undefined : { by, stated: true };
  }
  const capacity = range?.upper === undefined ? undefined : convert(range.upper.value, range.unit, 'N·m');
  if (capacity === undefined) return undefined;
  return { by: (Math.abs(torque.value) * standardWrenchAccuracy(capacity)) / 100, stated: false };
}
