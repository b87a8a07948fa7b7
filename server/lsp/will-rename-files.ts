/** `workspace/willRenameFiles`: what names a file that moves is changed with it. */
import { editsForMoves } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request } from './session.ts';
import { canAsk, workspaceEdit } from './workspace-edit.ts';

export const willRenameFiles: Request = {
  // Photographs and folders count too, whatever they are called and wherever they are kept.
  capabilities: () => ({
    workspace: { fileOperations: { willRename: { filters: [{ pattern: { glob: '**/*' } }] } } },
  }),
  attach(session) {
    session.connection.workspace.onWillRenameFiles(async ({ files }) => {
      await session.folders.whole();
      const moves = files.map(({ oldUri, newUri }) => ({ from: pathOf(oldUri), to: pathOf(newUri) }));
      const edits = editsForMoves(session.workspace, moves);
      // The files move whatever is answered. What is signed stays as it is, unless its owner can be asked.
      const made = canAsk(session) ? edits : edits.filter((edit) => edit.breaks === undefined);
      return made.length === 0 ? null : workspaceEdit(session, made);
    });
  },
};
