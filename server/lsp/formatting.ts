/** `textDocument/formatting`. */
import { formatEdits } from '../../grammar/index.ts';
import type { Request } from './session.ts';

export const formatting: Request = {
  capabilities: () => ({ documentFormattingProvider: true }),
  attach(session) {
    session.connection.onDocumentFormatting(({ textDocument: { uri } }) => {
      const file = session.file(uri);
      if (file === undefined) return [];
      return formatEdits(file).map(({ start, end, text }) => ({
        range: session.range(file, start, end),
        newText: text,
      }));
    });
  },
};
