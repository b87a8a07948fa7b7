/** `textDocument/hover`. */
import { hoverAt } from '../features/index.ts';
import { descriptionWishes, type Request } from './session.ts';

export const hover: Request = {
  capabilities: () => ({ hoverProvider: true }),
  attach(session) {
    session.connection.onHover(({ textDocument: { uri }, position }) => {
      const checked = session.check(uri);
      if (checked === undefined) return null;
      const found = hoverAt(checked, session.offset(checked.file, position), descriptionWishes(session));
      if (found === undefined) return null;
      return {
        contents: { kind: 'markdown', value: found.markdown },
        range: session.range(checked.file, found.start, found.end),
      };
    });
  },
};
