/** `textDocument/inlayHint`: the other system of units and progress, as far as the user wants them. */
import { inlayHintsIn } from '../features/index.ts';
import type { Checked } from '../workspace/index.ts';
import type { Request, Session } from './session.ts';

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
      const wishes = { units: units !== 'off', progress: progress !== 'off' };
      const { keepsLine } = session.extension;
      const isShown = (kind: 'unit' | 'progress', offset: number) =>
        keepsLine ||
        (kind === 'unit' ? units : progress) !== 'currentLine' ||
        isAtCursor(session, checked, offset);
      const hints = inlayHintsIn(checked, from, to, wishes).filter(({ kind, offset }) =>
        isShown(kind, offset),
      );
      return hints.map(({ offset, text, tooltip, kind }) => ({
        position: session.range(checked.file, offset, offset).start,
        label: text,
        tooltip,
        paddingLeft: true,
        data: kind,
      }));
    });
  },
};

/**
 * Whether an offset is on the line of the cursor. The protocol does not say where that is: it is the line that the
 * editor last asked about or typed on, which for most editors is the same as soon as the cursor rests.
 */
function isAtCursor({ cursor, range }: Session, { path, file }: Checked, offset: number): boolean {
  return cursor?.path === path && cursor.line === range(file, offset, offset).start.line;
}
