/** `textDocument/completion`. */
import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  InsertTextMode,
} from 'vscode-languageserver';
import type { SourceFile } from '../../grammar/index.ts';
import {
  completionsAt,
  describe,
  type Offer,
  type OfferKind,
  type Subject,
  usablePaths,
} from '../features/index.ts';
import { pathOf } from './convert.ts';
import { descriptionWishes, type Request, type Session } from './session.ts';

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
    completionProvider: { triggerCharacters: [' ', '[', '@', '"', '|'], resolveProvider: true },
  }),
  attach(session) {
    session.connection.onCompletion(({ textDocument: { uri }, position, context }) => {
      session.seen(uri, position);
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
    session.connection.onCompletionResolve((item) => {
      const about = aboutIn(item.data);
      const checked = about === undefined ? undefined : session.check(about.uri);
      if (about === undefined || checked === undefined) return item;
      const value = describe(checked, about.subject, descriptionWishes(session));
      return value === undefined ? item : { ...item, documentation: { kind: 'markdown', value } };
    });
  },
};

interface About {
  readonly uri: string;
  readonly subject: Subject;
}

/** What an item was sent with, from the editor that sends it back. */
function aboutIn(data: unknown): About | undefined {
  if (typeof data !== 'object' || data === null || !('uri' in data) || !('subject' in data)) return undefined;
  return data as About;
}

function itemOf(offer: Offer, position: number, session: Session, uri: string): CompletionItem {
  const file = session.file(uri);
  const able = session.client.textDocument?.completion?.completionItem;
  const takesMode = able?.insertTextModeSupport !== undefined;
  // Beside every item of the list, where the editor has room for it; else where the chosen one is described.
  const detail =
    offer.detail === undefined
      ? {}
      : able?.labelDetailsSupport === true
        ? { labelDetails: { description: offer.detail } }
        : { detail: offer.detail };
  return {
    label: offer.label,
    kind: kinds[offer.kind],
    ...detail,
    sortText: String(position).padStart(5, '0'),
    ...(offer.filter === undefined ? {} : { filterText: offer.filter }),
    ...(offer.snippet === true ? { insertTextFormat: InsertTextFormat.Snippet } : {}),
    ...(takesMode && offer.insert.includes('\n') ? { insertTextMode: InsertTextMode.adjustIndentation } : {}),
    ...(file === undefined
      ? { insertText: offer.insert }
      : { textEdit: { range: session.range(file, offer.start, offer.end), newText: offer.insert } }),
    ...(file === undefined || offer.outdent !== true ? {} : withoutIndent(session, file, offer.start)),
    ...(offer.about === undefined ? {} : { data: { uri, subject: offer.about } satisfies About }),
    ...(offer.again === true && session.extension.askAgain !== undefined
      ? { command: { title: 'Suggest', command: session.extension.askAgain } }
      : {}),
  };
}

/** Takes away the blanks before an offset, if only blanks stand before it on its line. */
function withoutIndent(
  session: Session,
  file: SourceFile,
  offset: number,
): Pick<CompletionItem, 'additionalTextEdits'> {
  const start = file.text.lastIndexOf('\n', offset - 1) + 1;
  const indent = file.text.slice(start, offset);
  if (indent === '' || indent.trim() !== '') return {};
  return { additionalTextEdits: [{ range: session.range(file, start, offset), newText: '' }] };
}
