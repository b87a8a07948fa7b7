/** What an editor asks of a checked file: plain data, no protocol. The only door of this folder. */
export * from './drawings/index.ts';
export { type Hover, hoverAt } from './hover.ts';
export { foldingOf, type OutlineItem, outlineOf } from './outline.ts';
