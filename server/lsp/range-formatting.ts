/** `textDocument/rangeFormatting` and `textDocument/onTypeFormatting`. */
import { formatEdits } from '../../grammar/index.ts';
import { editsAfterTyping } from '../features/index.ts';
import type { Request } from './session.ts';

export const rangeFormatting: Request = {
  capabilities: () => ({
    documentRangeFormattingProvider: true,
    documentOnTypeFormattingProvider: { firstTriggerCharacter: '\n', moreTriggerCharacter: ['|'] },
  }),
  attach(session) {
    session.connection.onDocumentRangeFormatting(({ textDocument: { uri }, range }) => {
      const file = session.file(uri);
      if (file === undefined) return [];
      const start = session.offset(file, range.start);
      const end = session.offset(file, range.end);
      // A stretch that ends where a line begins has nothing of that line in it.
      const last = range.end.character === 0 && end > start ? end - 1 : end;
      return formatEdits(file, { start, end: last }).map((edit) => ({
        range: session.range(file, edit.start, edit.end),
        newText: edit.text,
      }));
    });

    session.connection.onDocumentOnTypeFormatting(({ textDocument: { uri }, position, ch }) => {
      const file = session.file(uri);
      if (file === undefined) return [];
      return editsAfterTyping(file, session.offset(file, position), ch).map((edit) => ({
        range: session.range(file, edit.start, edit.end),
        newText: edit.text,
      }));
    });
  },
};
