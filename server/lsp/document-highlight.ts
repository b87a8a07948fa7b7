/** `textDocument/documentHighlight`. */
import { DocumentHighlightKind } from 'vscode-languageserver';
import { highlightsAt } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request } from './session.ts';

export const documentHighlight: Request = {
  capabilities: () => ({ documentHighlightProvider: true }),
  attach(session) {
    session.connection.onDocumentHighlight(({ textDocument: { uri }, position }) => {
      session.seen(uri, position);
      const file = session.file(uri);
      if (file === undefined) return [];
      return highlightsAt(session.workspace, pathOf(uri), session.offset(file, position)).map((one) => ({
        range: session.range(file, one.start, one.end),
        kind: one.declares ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
      }));
    });
  },
};
