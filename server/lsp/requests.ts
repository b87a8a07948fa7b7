/** The requests that the server answers, one file each; the one list of them. */
import { codeAction } from './code-action.ts';
import { definition } from './definition.ts';
import { documentHighlight } from './document-highlight.ts';
import { documentSymbol } from './document-symbol.ts';
import { foldingRange } from './folding-range.ts';
import { formatting } from './formatting.ts';
import { hover } from './hover.ts';
import { references } from './references.ts';
import { rename } from './rename.ts';
import { selectionRange } from './selection-range.ts';
import type { Request } from './session.ts';

/** One a line, so that two people can add theirs at once. */
export const requests: readonly Request[] = [
  codeAction,
  definition,
  documentHighlight,
  documentSymbol,
  foldingRange,
  formatting,
  hover,
  references,
  rename,
  selectionRange,
];
