/** `textDocument/inlineCompletion`: the next fastener of a pass, shown beside the cursor until it is taken or typed over. */
import { nextTighteningAt } from '../features/index.ts';
import type { Request } from './session.ts';

export const inlineCompletion: Request = {
  capabilities: (client) =>
    client.textDocument?.inlineCompletion === undefined ? {} : { inlineCompletionProvider: true },
  attach(session) {
    session.connection.languages.inlineCompletion.on(({ textDocument: { uri }, position }) => {
      const checked = session.check(uri);
      if (checked === undefined) return null;
      const offset = session.offset(checked.file, position);
      const text = nextTighteningAt(checked, offset);
      if (text === undefined) return null;
      return [{ insertText: text, range: session.range(checked.file, offset, offset) }];
    });
  },
};
