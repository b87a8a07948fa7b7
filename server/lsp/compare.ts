/** `witnessmark/compare`: what changed between two logs, or since an earlier text of one, for a view beside them. */

import { compareReports, comparisonBody, comparisonStyle, reportFacts } from '../documents/index.ts';
import { fileName } from '../rebuild/index.ts';
import { type Checked, createWorkspace } from '../workspace/index.ts';
import { pathOf } from './convert.ts';
import { type CompareParams, compareMethod, type ViewResult } from './methods.ts';
import type { Request, Session } from './session.ts';

export const compare: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(compareMethod, (params: CompareParams): ViewResult | null => {
      session.readUsed();
      const now = session.check(params.uri);
      const old = params.old.text === undefined ? other(session, params.old.uri) : earlier(session, params);
      if (now === undefined || old === undefined) return null;
      const [before, after] = [reportFacts(old), reportFacts(now)];
      if (before === undefined || after === undefined) return null;
      const comparison = compareReports(
        { ...before, path: params.old.title ?? fileName(before.path) },
        { ...after, path: fileName(after.path) },
      );
      return { uri: params.uri, body: comparisonBody(comparison), style: comparisonStyle };
    });
  },
};

/** Another log of the workspace, read from disk when it is not open. */
function other(session: Session, uri: string): Checked | undefined {
  const known = session.check(uri);
  if (known !== undefined) return known;
  const text = session.host.read(uri);
  if (text === undefined) return undefined;
  session.workspace.set(pathOf(uri), text);
  session.readUsed();
  return session.check(uri);
}

/** An earlier text of the log, with the tables and registers as they are now. */
function earlier(session: Session, { uri, old }: CompareParams): Checked | undefined {
  const path = pathOf(uri);
  const workspace = createWorkspace(session.workspace.settings(path));
  workspace.set(path, old.text ?? '');
  for (let wanted = workspace.wanted(); wanted.length > 0; wanted = workspace.wanted())
    for (const used of wanted) {
      const text = session.workspace.file(used)?.text ?? session.host.read(used);
      if (text === undefined) workspace.markAbsent(used);
      else workspace.set(used, text);
    }
  return workspace.check(path);
}
