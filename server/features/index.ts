/** What an editor asks of a checked file: plain data, no protocol. The only door of this folder. */
export * from './drawings/index.ts';
export type { Files, Place } from './files.ts';
export { type Hover, hoverAt } from './hover.ts';
export type { Occurrence } from './names.ts';
export { foldingOf, type OutlineItem, outlineOf } from './outline.ts';
export { type Definition, definitionsAt, highlightsAt, referencesAt } from './references.ts';
export { type Refused, type RenameEdit, renameAt, renameableAt } from './rename.ts';
export { selectionsAt } from './selection.ts';
