/** `witnessmark/trend`: wear over hours of the machine that a log is of, over all its logs in the editor's folders. */

import { trendStyle, trendsBody, trendsOf } from '../documents/index.ts';
import { fileName } from '../rebuild/index.ts';
import { readLogs } from './logs.ts';
import { type DocumentParams, trendMethod, type ViewResult } from './methods.ts';
import type { Request } from './session.ts';

export const trend: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(trendMethod, async ({ uri }: DocumentParams): Promise<ViewResult | null> => {
      const all = await readLogs(session);
      const machine = session.check(uri)?.rebuild.scope.machine;
      if (machine === undefined) return null;
      const logs = all
        .filter(
          ({ rebuild: { scope } }) =>
            scope.machine?.name === machine.name && scope.machine.serial === machine.serial,
        )
        .map((log) => ({ ...log, path: fileName(log.path) }));
      return { uri, body: trendsBody(trendsOf(logs)), style: trendStyle };
    });
  },
};
