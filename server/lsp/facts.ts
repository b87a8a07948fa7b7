/** `witnessmark/facts`: the facts of all logs in the editor's folders as JSON Lines; null when there is no log. */
import { exportRows } from '../documents/index.ts';
import { pathOf } from './convert.ts';
import { readLogs } from './logs.ts';
import { type FactsParams, factsMethod } from './methods.ts';
import type { Request } from './session.ts';

export const facts: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(factsMethod, async ({ root }: FactsParams): Promise<string | null> => {
      const logs = await readLogs(session);
      if (logs.length === 0) return null;
      const folder = root === undefined ? undefined : `${pathOf(root)}/`;
      const nameIn = (path: string) =>
        folder !== undefined && path.startsWith(folder) ? path.slice(folder.length) : path;
      return logs
        .flatMap((log) => [...exportRows(log)].map((row) => ({ ...row, log: nameIn(log.path) })))
        .map((row) => `${JSON.stringify(row)}\n`)
        .join('');
    });
  },
};
