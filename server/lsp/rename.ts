/** `textDocument/rename` and `textDocument/prepareRename`. */
import { renameAt, renameableAt } from '../features/index.ts';
import { pathOf } from './convert.ts';
import { wholeFor } from './folders.ts';
import type { Request } from './session.ts';
import { canAsk, refusal, workspaceEdit } from './workspace-edit.ts';

export const rename: Request = {
  capabilities: (client) => ({
    renameProvider: client.textDocument?.rename?.prepareSupport === true ? { prepareProvider: true } : true,
  }),
  attach(session) {
    session.connection.onPrepareRename(({ textDocument: { uri }, position }) => {
      const file = session.file(uri);
      if (file === undefined) return null;
      const found = renameableAt(session.workspace, pathOf(uri), session.offset(file, position));
      if ('refused' in found) throw refusal(found.refused);
      return { range: session.range(file, found.start, found.end), placeholder: found.text };
    });

    session.connection.onRenameRequest(async ({ textDocument: { uri }, position, newName }) => {
      if (!(await wholeFor(session, uri)))
        throw refusal(
          'Not renamed: reading the logs of this folder was stopped, and one of them may use the name.',
        );
      const file = session.file(uri);
      if (file === undefined) return null;
      const edits = renameAt(session.workspace, pathOf(uri), session.offset(file, position), newName);
      if ('refused' in edits) throw refusal(edits.refused);
      const breaking = edits.find((edit) => edit.breaks !== undefined)?.breaks;
      if (breaking !== undefined && !canAsk(session)) throw refusal(`Not renamed: ${breaking}.`);
      return workspaceEdit(session, edits);
    });
  },
};
