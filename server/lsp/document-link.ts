/** `textDocument/documentLink`. */
import { linksOf } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request } from './session.ts';

const about = { use: 'Open the file', photo: 'Open the photograph' } as const;

export const documentLink: Request = {
  capabilities: () => ({ documentLinkProvider: {} }),
  attach(session) {
    session.connection.onDocumentLinks(({ textDocument: { uri } }) => {
      const file = session.file(uri);
      if (file === undefined) return null;
      return linksOf(session.workspace, pathOf(uri)).map(({ start, end, kind, path }) => ({
        range: session.range(file, start, end),
        target: session.uri(path),
        tooltip: about[kind],
      }));
    });
  },
};
