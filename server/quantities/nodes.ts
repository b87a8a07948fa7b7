/** Quantities and spreads from the nodes of the syntax tree. */
import type { QuantityNode, SpreadNode } from '../../grammar/index.ts';
import { convert } from './conversion.ts';
import { compoundQuantity, type Quantity, quantity, readNumber } from './quantity.ts';
import {
  atLeast,
  atMost,
  bareSpread,
  deviationSpread,
  exactSpread,
  plusMinus,
  rangeSpread,
  type SpreadResult,
  spreadFromDeviations,
} from './spreads.ts';

/**
 * The quantity a node states, without its equivalent. `unit` (canonical) serves a number that carries none. Undefined
 * for a placeholder, for a number without any unit and for an unknown unit.
 */
export function quantityOf(node: QuantityNode, unit?: string): Quantity | undefined {
  const name = node.unit === undefined ? unit : node.unit.name;
  if (node.number === undefined || name === undefined) return undefined;
  const first = quantity(node.number.text, name);
  if (first === undefined || node.plus === undefined) return first;
  const rest = quantityOf(node.plus);
  return rest === undefined ? undefined : compoundQuantity([first, rest]);
}

export interface SpreadOptions {
  /** Serves numbers that carry no unit, as in a table's cell. */
  readonly unit?: string | undefined;
  /** How closely a bare value is to be met; without it a bare value is met by that value only. */
  readonly bareTolerance?: Quantity | undefined;
  /** The deviations (µm) that an ISO 286 class stands for at a size in mm, or why there are none. */
  readonly isoLimits?: (size: number, isoClass: string) => IsoDeviations | IsoRefusal;
}
interface IsoDeviations {
  readonly lowerDeviation: number;
  readonly upperDeviation: number;
}
interface IsoRefusal {
  readonly refused: string;
  readonly explanation: string;
}

/**
 * The spread a node states, without its equivalent. A unit at either end serves both. Undefined when a part of it is
 * missing, a placeholder or of an unknown unit; a refusal when what is written makes no spread.
 */
export function spreadOf(node: SpreadNode, options: SpreadOptions = {}): SpreadResult | undefined {
  const { unit } = options;
  switch (node.kind) {
    case 'exact': {
      const value = quantityOf(node.value, unit);
      if (value === undefined) return undefined;
      return options.bareTolerance === undefined
        ? exactSpread(value)
        : bareSpread(value, options.bareTolerance);
    }
    case 'range': {
      const low = quantityOf(node.low, unitOf(node.high) ?? unit);
      const high = quantityOf(node.high, unitOf(node.low) ?? unit);
      return low === undefined || high === undefined ? undefined : rangeSpread(low, high);
    }
    case 'at-most':
    case 'at-least': {
      const value = quantityOf(node.value, unit);
      if (value === undefined) return undefined;
      return node.kind === 'at-most' ? atMost(value) : atLeast(value);
    }
    case 'plus-minus': {
      const toleranceUnit = unitOf(node.tolerance);
      const nominal = quantityOf(node.nominal, toleranceUnit === '%' ? unit : (toleranceUnit ?? unit));
      const tolerance = quantityOf(node.tolerance, unitOf(node.nominal) ?? unit);
      return nominal === undefined || tolerance === undefined ? undefined : plusMinus(nominal, tolerance);
    }
    case 'deviations': {
      const nominal = quantityOf(node.nominal, node.unit?.name ?? unit);
      const upper = readNumber(node.upper.text.replace(/^\+/, ''));
      const lower = readNumber(node.lower.text.replace(/^\+/, ''));
      if (nominal === undefined || upper === undefined || lower === undefined) return undefined;
      if (node.unit !== undefined && node.unit.name === undefined) return undefined;
      return deviationSpread(nominal, upper, lower, node.unit?.name);
    }
    case 'iso-class': {
      const nominal = quantityOf(node.nominal, unit);
      if (nominal === undefined || options.isoLimits === undefined) return undefined;
      const size = convert(nominal.value, nominal.unit, 'mm');
      if (size === undefined)
        return { refused: 'unit-mismatch', explanation: 'An ISO 286 class goes with a length.' };
      const limits = options.isoLimits(size, node.isoClass.text);
      if ('refused' in limits) return { refused: 'no-class', explanation: limits.explanation };
      return spreadFromDeviations(nominal, limits.upperDeviation, limits.lowerDeviation, 'µm');
    }
    case 'placeholder':
      return undefined;
  }
}

/** The canonical name of the unit written at this quantity; for a compound one, of its first part. */
function unitOf(node: QuantityNode): string | undefined {
  return node.unit?.name;
}
