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
      return linksOf(session.workspace, pathOf(uri)).flatMap(({ start, end, kind, path }) =>
        // A document that was never saved lies in no folder: its links lead nowhere yet.
        path.includes('://')
          ? [{ range: session.range(file, start, end), target: session.uri(path), tooltip: about[kind] }]
          : [],
      );
    });
  },
};
