/** What an editor asks of a checked file: plain data, no protocol. The only door of this folder. */
export { type CompletionWishes, completionsAt, usablePaths } from './completion.ts';
export { type DescriptionWishes, describe } from './descriptions.ts';
export * from './drawings/index.ts';
export { type DueGroup, type DueItem, type LogState, logStateOf } from './due-items.ts';
export { editsForMoves, type Move } from './file-rename.ts';
export type { Files, Place } from './files.ts';
export { type Hover, hoverAt } from './hover.ts';
export { type FileLink, linksOf } from './links.ts';
export type { Occurrence } from './names.ts';
export { nextTighteningAt } from './next-fastener.ts';
export type { Offer, OfferKind, Subject } from './offer.ts';
export { type Fold, foldingOf, type OutlineItem, outlineOf } from './outline.ts';
export { type Definition, definitionsAt, highlightsAt, referencesAt } from './references.ts';
export { type Refused, type RenameEdit, renameAt, renameableAt } from './rename.ts';
export { selectionsAt } from './selection.ts';
export { type Symbol, symbolsMatching } from './symbols.ts';
export { type TokenType, tokensOf, tokenTypes, type WordToken } from './tokens.ts';
export { editsAfterTyping, type TypingEdit } from './typing.ts';
