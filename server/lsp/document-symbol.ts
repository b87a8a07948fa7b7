/** `textDocument/documentSymbol`. */
import type { DocumentSymbol } from 'vscode-languageserver';
import { type OutlineItem, outlineOf } from '../features/index.ts';
import type { Request } from './session.ts';
import { symbolKindOf } from './symbol-kinds.ts';

export const documentSymbol: Request = {
  capabilities: () => ({ documentSymbolProvider: true }),
  attach(session) {
    session.connection.onDocumentSymbol(({ textDocument: { uri } }) => {
      const file = session.file(uri);
      if (file === undefined) return [];
      const symbol = (item: OutlineItem): DocumentSymbol => ({
        name: item.name,
        detail: item.detail,
        kind: symbolKindOf(item.kind),
        range: session.range(file, item.start, item.end),
        selectionRange: session.range(file, item.nameStart, item.nameEnd),
        children: item.children.map(symbol),
      });
      return outlineOf(file).map(symbol);
    });
  },
};
