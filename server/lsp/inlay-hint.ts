/** `textDocument/inlayHint`: the other system of units and progress, as far as the user wants them. */
import { inlayHintsIn } from '../features/index.ts';
import type { Request } from './session.ts';

export const inlayHint: Request = {
  capabilities: () => ({ inlayHintProvider: {} }),
  attach(session) {
    session.connection.languages.inlayHint.on(({ textDocument: { uri }, range }) => {
      const { units, progress } = session.settings.inlayHints;
      if (units === 'off' && progress === 'off') return [];
      const checked = session.check(uri);
      if (checked === undefined) return [];
      const from = session.offset(checked.file, range.start);
      const to = session.offset(checked.file, range.end);
      // Which line the cursor is on, only the editor knows: our extension keeps the hints of that line.
      const wishes = { units: units !== 'off', progress: progress !== 'off' };
      return inlayHintsIn(checked, from, to, wishes).map(({ offset, text, tooltip, kind }) => ({
        position: session.range(checked.file, offset, offset).start,
        label: text,
        tooltip,
        paddingLeft: true,
        data: kind,
      }));
    });
  },
};
