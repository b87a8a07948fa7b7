/**
 * Quantities: units and what they measure, values with the digits they were written in, spreads, whether two ways of
 * stating a value agree, and uncertainty. The only door of this folder; it knows nothing of engines or logs.
 *
 * Units are canonical names (`N·m`), as the grammar's `canonicalUnit` gives them. No function throws on what a user
 * wrote: what cannot be done comes back as undefined or as a tagged result.
 *
 * - What is it?            findUnit kindOf kindPhrase sameKind everydayUnits
 * - What was written?      readNumber quantity compoundQuantity lastPlace
 * - In another unit?       convert convertDifference convertQuantity convertQuantityDifference
 * - How is it shown?       formatAmount formatNumber formatQuantity formatSpread roundTo
 * - May it be so?          rangeSpread atMost atLeast plusMinus deviationSpread … then judge, meets, width, spreadIn
 */

export { type Amount, convert, convertDifference } from './conversion.ts';
export {
  compoundQuantity,
  computedQuantity,
  fractionDecimals,
  lastPlace,
  plainNumber,
  type Quantity,
  quantity,
  readNumber,
  type WrittenNumber,
} from './quantity.ts';
export {
  convertedDecimals,
  convertedDifferenceDecimals,
  convertQuantity,
  convertQuantityDifference,
  decimalsOfPlace,
  formatAmount,
  formatNumber,
  formatQuantity,
  roundTo,
  withUnit,
} from './rounding.ts';
export {
  atLeast,
  atMost,
  type Bound,
  bareSpread,
  bareTorqueTolerance,
  computedSpread,
  contains,
  deviationSpread,
  exactSpread,
  formatSpread,
  isSpread,
  judge,
  meets,
  plusMinus,
  rangeSpread,
  type Spread,
  type SpreadProblem,
  type SpreadResult,
  type SpreadShape,
  spreadFromDeviations,
  spreadIn,
  type Verdict,
  width,
} from './spreads.ts';
export {
  type ExactFactor,
  everydayUnits,
  findUnit,
  type Kind,
  kindOf,
  kindPhrase,
  type SimpleKind,
  sameKind,
  type Unit,
  units,
} from './units.ts';
