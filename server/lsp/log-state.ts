/** `witnessmark/logState`: what the status item and the tree of open items show. */
import { logStateOf } from '../features/index.ts';
import { rangeIn } from './convert.ts';
import { type DocumentParams, type LogStateResult, logStateMethod } from './methods.ts';
import type { Request } from './session.ts';

export const logState: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(logStateMethod, ({ uri }: DocumentParams): LogStateResult | null => {
      session.readUsed();
      const checked = session.check(uri);
      if (checked === undefined) return null;
      const { due, ...rest } = logStateOf(checked);
      return {
        ...rest,
        due: due.map((group) => ({
          ...group,
          items: group.items.map(({ at, ...item }) => ({
            ...item,
            uri: session.uri(at.path),
            range: rangeIn(session, at),
          })),
        })),
      };
    });
  },
};
