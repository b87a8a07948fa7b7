/** What stands beside a value in the system of units that the team reads in, where the log or the table has the other. */
import {
  computedQuantity,
  convertQuantity,
  formatQuantity,
  formatSpread,
  type Quantity,
  type Spread,
  spreadIn,
  type UnitSystem,
  unitInSystem,
} from '../quantities/index.ts';
import type { Value } from '../rebuild/index.ts';

/** Undefined where the team says nothing, or the quantity is in its system already. */
export function quantityBeside(
  quantity: Quantity | undefined,
  system: UnitSystem | undefined,
): string | undefined {
  if (quantity === undefined || system === undefined) return undefined;
  const unit = unitInSystem(quantity.unit, quantity.value, system);
  const beside = unit === undefined ? undefined : convertQuantity(quantity, unit);
  return beside === undefined ? undefined : formatQuantity(beside);
}

export function spreadBeside(spread: Spread | undefined, system: UnitSystem | undefined): string | undefined {
  if (spread === undefined || system === undefined) return undefined;
  const value = spread.nominal?.value ?? spread.upper?.value ?? spread.lower?.value ?? 0;
  const unit = unitInSystem(spread.unit, value, system);
  const beside = unit === undefined ? undefined : spreadIn(spread, unit);
  return beside === undefined ? undefined : formatSpread(beside);
}

/** A spread as it is written, and beside it in parentheses. */
export function spreadWithBeside(spread: Spread, system: UnitSystem | undefined): string {
  const beside = spreadBeside(spread, system);
  return beside === undefined ? formatSpread(spread) : `${formatSpread(spread)} (${beside})`;
}

/** The same for what was read or worked out: one value, an interval, or one that is open to one side. */
export function valueBeside(
  { low, high, unit, decimals }: Value,
  system: UnitSystem | undefined,
): string | undefined {
  const any = high ?? low;
  const other = any === undefined || system === undefined ? undefined : unitInSystem(unit, any, system);
  if (other === undefined) return undefined;
  const [from, to] = [low, high].map((end) =>
    end === undefined ? undefined : convertQuantity(computedQuantity(end, decimals, unit), other),
  );
  if (to === undefined) return from === undefined ? undefined : `>= ${formatQuantity(from)}`;
  if (from === undefined) return `<= ${formatQuantity(to)}`;
  return from.written === to.written ? formatQuantity(to) : `${from.written}..${formatQuantity(to)}`;
}
