/** `witnessmark/reportBody` and `witnessmark/reportPage`: the report of a log, for a view beside it and to keep. */
import { reportBody, reportHtml, reportStyle } from '../documents/index.ts';
import { type DocumentParams, reportBodyMethod, reportPageMethod, type ViewResult } from './methods.ts';
import type { Request } from './session.ts';

export const report: Request = {
  capabilities: () => ({}),
  attach(session) {
    const checked = (uri: string) => {
      session.readUsed();
      return session.check(uri);
    };
    session.connection.onRequest(reportBodyMethod, ({ uri }: DocumentParams): ViewResult | null => {
      const source = checked(uri);
      const body = source === undefined ? undefined : reportBody(source);
      return body === undefined ? null : { uri, body, style: reportStyle };
    });
    session.connection.onRequest(reportPageMethod, ({ uri }: DocumentParams): string | null => {
      const source = checked(uri);
      return (source === undefined ? undefined : reportHtml(source)) ?? null;
    });
  },
};
