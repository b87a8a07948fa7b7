/** `witnessmark/worksheet`: a blank log for a table of limits. */
import { worksheetText } from '../documents/index.ts';
import { type WorksheetParams, worksheetMethod } from './methods.ts';
import type { Request } from './session.ts';

export const worksheet: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(worksheetMethod, ({ uri, as }: WorksheetParams): string | null => {
      session.readUsed();
      const checked = session.check(uri);
      if (checked?.rebuild.kind !== 'limits') return null;
      return worksheetText({ path: as, scope: checked.rebuild.scope, units: checked.units });
    });
  },
};
