/** `witnessmark/trend`: wear over hours of the machine that a log is of, over all its logs in the editor's folders. */
import { trendStyle, trendsBody, trendsOf } from '../documents/index.ts';
import { type DocumentParams, trendMethod, type ViewResult } from './methods.ts';
import type { Request } from './session.ts';

export const trend: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(trendMethod, async ({ uri }: DocumentParams): Promise<ViewResult | null> => {
      await session.folders.whole();
      session.readUsed();
      const machine = session.check(uri)?.rebuild.scope.machine;
      if (machine === undefined) return null;
      const logs = session.workspace
        .paths()
        .filter((path) => path.endsWith('.rebuild'))
        .map((path) => session.workspace.check(path))
        .filter((log) => log !== undefined)
        .filter(
          ({ rebuild: { scope } }) =>
            scope.machine?.name === machine.name && scope.machine.serial === machine.serial,
        )
        .map((log) => ({ ...log, path: decodeURIComponent(log.path.slice(log.path.lastIndexOf('/') + 1)) }));
      return { uri, body: trendsBody(trendsOf(logs)), style: trendStyle };
    });
  },
};
