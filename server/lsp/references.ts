/** `textDocument/references`. */
import { referencesAt } from '../features/index.ts';
import { locationOf, pathOf } from './convert.ts';
import { wholeFor } from './folders.ts';
import type { Request } from './session.ts';

export const references: Request = {
  capabilities: () => ({ referencesProvider: true }),
  attach(session) {
    session.connection.onReferences(async ({ textDocument: { uri }, position, context }) => {
      await wholeFor(session, uri);
      const file = session.file(uri);
      if (file === undefined) return [];
      return referencesAt(session.workspace, pathOf(uri), session.offset(file, position))
        .filter((one) => context.includeDeclaration || !one.declares)
        .flatMap((one) => locationOf(one, session) ?? []);
    });
  },
};
