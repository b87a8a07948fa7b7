/** `witnessmark/worksheet` and `witnessmark/benchCard`: a blank log for a table of limits, and a card to print. */
import { type WorksheetSource, worksheetHtml, worksheetText } from '../documents/index.ts';
import { benchCardMethod, type WorksheetParams, worksheetMethod } from './methods.ts';
import type { Request } from './session.ts';

export const worksheet: Request = {
  capabilities: () => ({}),
  attach(session) {
    const answer = (method: string, write: (source: WorksheetSource) => string) =>
      session.connection.onRequest(method, ({ uri, as }: WorksheetParams): string | null => {
        session.readUsed();
        const checked = session.check(uri);
        if (checked?.rebuild.kind !== 'limits') return null;
        return write({ path: as, scope: checked.rebuild.scope, units: checked.units });
      });
    answer(worksheetMethod, (source) => worksheetText(source));
    answer(benchCardMethod, (source) => worksheetHtml(source));
  },
};
