/** The door of the grammar: text in, syntax tree out, and back. */
export { alignTable } from './align.ts';
export { changeBetween, keptOf, parse } from './blocks.ts';
export { canonicalStatement } from './canonical.ts';
export { parseCell, parsePath, parseQuantity } from './cells.ts';
export { type FormatEdit, format, formatEdits } from './format.ts';
export { blockAt, offsetAt, type Position, positionAt } from './positions.ts';
export * from './statements.ts';
export * from './syntax-tree.ts';
export { canonicalUnit, isUnitSpelling, nearestUnits, readUnit, unitNames } from './unit-spellings.ts';
