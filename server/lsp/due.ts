/** `witnessmark/due`: what comes due by all logs and registers in the editor's folders, for a view. */

import { dueBody, dueList, dueStyle } from '../documents/index.ts';
import { fileName } from '../rebuild/index.ts';
import { now } from './clock.ts';
import { readLogs } from './logs.ts';
import { dueMethod, type ViewResult } from './methods.ts';
import type { Request } from './session.ts';

export const due: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(dueMethod, async (): Promise<ViewResult> => {
      const logs = await readLogs(session);
      const benches = session.workspace
        .paths()
        .filter((path) => path.endsWith('.bench'))
        .map((path) => session.workspace.check(path))
        .filter((bench) => bench !== undefined);
      const list = dueList(
        [...logs, ...benches].map(({ rebuild }) => rebuild),
        { on: now().slice(0, 10) },
      );
      const items = list.items.map((item) => ({ ...item, path: fileName(item.path) }));
      return { uri: '', body: dueBody({ ...list, items }), style: dueStyle };
    });
  },
};
