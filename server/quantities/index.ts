/**
 * Quantities: units and what they measure, values with the digits they were written in, spreads, whether two ways of
 * stating a value agree, and uncertainty. The only door of this folder; it knows nothing of engines or logs.
 *
 * Units are canonical names (`N·m`), as the grammar's `canonicalUnit` gives them. No function throws on what a user
 * wrote: what cannot be done comes back as undefined or as a tagged result.
 *
 * - What is it?            findUnit kindOf kindPhrase sameKind everydayUnits
 * - What was written?      quantityOf spreadOf (from the syntax tree) · quantity readNumber lastPlace
 * - In another unit?       convert convertDifference convertQuantity convertQuantityDifference
 * - How is it shown?       formatAmount formatNumber formatQuantity formatSpread roundTo
 * - May it be so?          rangeSpread atMost atLeast plusMinus deviationSpread … then contains, standing, width,
 *                          spreadIn
 * - Same thing twice?       quantityAndEquivalent spreadAndEquivalent
 * - What was meant?         likelySlips unitsTakenFor areEasilyConfused
 * - How sure is it?         toolReading uncertain workedOut difference rangeOf … standardUncertainty
 * - How long is it?         spanInDays compareSpans (months and years, from a date)
 * - In whose units?        unitInSystem otherUnit systemOf (metric, imperial)
 * - `witnessmark convert`   convertText; everydayConversions for a hover
 */

export {
  type Amount,
  compareQuantities,
  convert,
  convertDifference,
  fromBase,
  toBase,
  withinPercent,
} from './conversion.ts';
export {
  type Conversion,
  type ConversionRow,
  convertText,
  everydayConversions,
} from './convert-text.ts';
export {
  type EquivalentResult,
  type EquivalentSlip,
  quantityAndEquivalent,
  spreadAndEquivalent,
} from './equivalents.ts';
export { quantityOf, type SpreadOptions, spreadOf } from './nodes.ts';
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
  unwritten,
  withUnit,
} from './rounding.ts';
export { areEasilyConfused, likelySlips, type Slip, unitsTakenFor } from './slips.ts';
export { compareSpans, spanInDays } from './spans.ts';
export {
  atLeast,
  atMost,
  type Bound,
  bareSpread,
  bareTorqueTolerance,
  computedSpread,
  contains,
  containsSpread,
  deviationSpread,
  exactSpread,
  formatSpread,
  isSpread,
  plusMinus,
  rangeSpread,
  type Spread,
  type SpreadRefusal,
  type SpreadResult,
  type SpreadShape,
  type Standing,
  spreadFromDeviations,
  spreadIn,
  standing,
  width,
} from './spreads.ts';
export { otherUnit, systemOf, type UnitSystem, unitInSystem } from './systems.ts';
export {
  certain,
  difference,
  evenlySpread,
  expandedUncertainty,
  largest,
  meanOf,
  product,
  quotient,
  rangeOf,
  scaled,
  smallest,
  standardUncertainty,
  standardUncertaintyOf,
  sum,
  type Term,
  type ToolReading,
  toolReading,
  type Uncertain,
  uncertain,
  workedOut,
} from './uncertainty.ts';
export {
  type ExactFactor,
  everydayUnits,
  findUnit,
  kindOf,
  kindOfProduct,
  kindOfQuotient,
  kindPhrase,
  type QuantityKind,
  type SimpleKind,
  sameKind,
  type Unit,
  units,
} from './units.ts';
