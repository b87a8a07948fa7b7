/** `textDocument/hover`. */
import { hoverAt, logsOfSameMachine } from '../features/index.ts';
import { descriptionWishes, type Request } from './session.ts';

export const hover: Request = {
  capabilities: () => ({ hoverProvider: true }),
  attach(session) {
    session.connection.onHover(({ textDocument: { uri }, position }) => {
      session.seen(uri, position);
      const checked = session.check(uri);
      if (checked === undefined) return null;
      const found = hoverAt(
        checked,
        session.offset(checked.file, position),
        descriptionWishes(session),
        // Of those that have been read by now: nobody waits for a hover.
        () =>
          logsOfSameMachine(session.workspace, checked)
            .map((path) => session.workspace.check(path))
            .filter((log) => log !== undefined),
      );
      if (found === undefined) return null;
      return {
        contents: { kind: 'markdown', value: found.markdown },
        range: session.range(checked.file, found.start, found.end),
      };
    });
  },
};
