/** `textDocument/documentSymbol`. */
import { type DocumentSymbol, SymbolKind } from 'vscode-languageserver';
import { type OutlineItem, outlineOf } from '../features/index.ts';
import type { Request } from './session.ts';

const kinds: Readonly<Record<OutlineItem['kind'], SymbolKind>> = {
  step: SymbolKind.Event,
  entry: SymbolKind.Field,
  assembly: SymbolKind.Module,
  declaration: SymbolKind.Property,
};

export const documentSymbol: Request = {
  capabilities: () => ({ documentSymbolProvider: true }),
  attach(session) {
    session.connection.onDocumentSymbol(({ textDocument: { uri } }) => {
      const checked = session.check(uri);
      if (checked === undefined) return [];
      const symbol = (item: OutlineItem): DocumentSymbol => ({
        name: item.name === '' ? '?' : item.name,
        detail: item.detail,
        kind: kinds[item.kind],
        range: session.range(checked.file, item.start, item.end),
        selectionRange: session.range(checked.file, item.nameStart, item.nameEnd),
        children: item.children.map(symbol),
      });
      return outlineOf(checked).map(symbol);
    });
  },
};
