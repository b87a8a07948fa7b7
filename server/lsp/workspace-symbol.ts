/** `workspace/symbol`. */
import { symbolsMatching } from '../features/index.ts';
import { locationOf } from './convert.ts';
import type { Request } from './session.ts';
import { symbolKindOf } from './symbol-kinds.ts';

export const workspaceSymbol: Request = {
  capabilities: () => ({ workspaceSymbolProvider: true }),
  attach(session) {
    session.connection.onWorkspaceSymbol(async ({ query }, token) => {
      await session.folders.whole();
      if (token.isCancellationRequested) return [];
      return symbolsMatching(session.workspace, query).flatMap((symbol) => {
        const location = locationOf(symbol, session);
        if (location === undefined) return [];
        return [
          { name: symbol.name, kind: symbolKindOf(symbol.kind), containerName: symbol.container, location },
        ];
      });
    });
  },
};
