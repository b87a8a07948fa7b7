/** The requests that the server answers, one file each; the one list of them. */
import { codeAction } from './code-action.ts';
import { codeLens } from './code-lens.ts';
import { compare } from './compare.ts';
import { completion } from './completion.ts';
import { definition } from './definition.ts';
import { documentHighlight } from './document-highlight.ts';
import { documentLink } from './document-link.ts';
import { documentSymbol } from './document-symbol.ts';
import { due } from './due.ts';
import { facts } from './facts.ts';
import { foldingRange } from './folding-range.ts';
import { formatting } from './formatting.ts';
import { hover } from './hover.ts';
import { inlayHint } from './inlay-hint.ts';
import { inlineCompletion } from './inline-completion.ts';
import { logState } from './log-state.ts';
import { mark } from './mark.ts';
import { rangeFormatting } from './range-formatting.ts';
import { references } from './references.ts';
import { rename } from './rename.ts';
import { report } from './report.ts';
import { selectionRange } from './selection-range.ts';
import { semanticTokens } from './semantic-tokens.ts';
import type { Request } from './session.ts';
import { signatureHelp } from './signature-help.ts';
import { trend } from './trend.ts';
import { willRenameFiles } from './will-rename-files.ts';
import { worksheet } from './worksheet.ts';
import { workspaceSymbol } from './workspace-symbol.ts';

/** One a line, so that two people can add theirs at once. */
export const requests: readonly Request[] = [
  codeAction,
  codeLens,
  completion,
  inlayHint,
  signatureHelp,
  compare,
  definition,
  documentHighlight,
  documentLink,
  documentSymbol,
  due,
  facts,
  foldingRange,
  formatting,
  hover,
  inlineCompletion,
  rangeFormatting,
  logState,
  mark,
  references,
  rename,
  report,
  selectionRange,
  semanticTokens,
  trend,
  willRenameFiles,
  workspaceSymbol,
  worksheet,
];
