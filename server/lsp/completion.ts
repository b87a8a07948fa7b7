/** `textDocument/completion`. */
import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  InsertTextMode,
} from 'vscode-languageserver';
import { completionsAt, type Offer, type OfferKind, usablePaths } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request, Session } from './session.ts';

const kinds: Readonly<Record<OfferKind, CompletionItemKind>> = {
  statement: CompletionItemKind.Keyword,
  clause: CompletionItemKind.Keyword,
  target: CompletionItemKind.Field,
  member: CompletionItemKind.EnumMember,
  place: CompletionItemKind.EnumMember,
  tool: CompletionItemKind.Constant,
  person: CompletionItemKind.Reference,
  sealant: CompletionItemKind.Constant,
  unit: CompletionItemKind.Unit,
  value: CompletionItemKind.Value,
  word: CompletionItemKind.EnumMember,
  file: CompletionItemKind.File,
  template: CompletionItemKind.Snippet,
};

export const completion: Request = {
  capabilities: () => ({
    completionProvider: { triggerCharacters: [' ', '[', '@', '"', '|'] },
  }),
  attach(session) {
    session.connection.onCompletion(({ textDocument: { uri }, position, context }) => {
      const checked = session.check(uri);
      if (checked === undefined) return [];
      const item = session.client.textDocument?.completion?.completionItem;
      const offers = completionsAt(checked, session.offset(checked.file, position), {
        now: session.host.now(),
        snippets: item?.snippetSupport === true,
        usable: usablePaths(session.workspace.paths(), pathOf(uri)),
        onlyWanted: context?.triggerCharacter === ' ',
      });
      return offers.map((offer, i) => itemOf(offer, i, session, uri));
    });
  },
};

function itemOf(offer: Offer, position: number, session: Session, uri: string): CompletionItem {
  const file = session.file(uri);
  const takesMode =
    session.client.textDocument?.completion?.completionItem?.insertTextModeSupport !== undefined;
  return {
    label: offer.label,
    kind: kinds[offer.kind],
    ...(offer.detail === undefined ? {} : { detail: offer.detail }),
    sortText: String(position).padStart(5, '0'),
    ...(offer.filter === undefined ? {} : { filterText: offer.filter }),
    ...(offer.snippet === true ? { insertTextFormat: InsertTextFormat.Snippet } : {}),
    ...(takesMode && offer.insert.includes('\n') ? { insertTextMode: InsertTextMode.adjustIndentation } : {}),
    ...(file === undefined
      ? { insertText: offer.insert }
      : { textEdit: { range: session.range(file, offer.start, offer.end), newText: offer.insert } }),
    ...(offer.again === true && session.askAgain !== undefined
      ? { command: { title: 'Suggest', command: session.askAgain } }
      : {}),
  };
}
