/** `textDocument/foldingRange`. */
import { FoldingRangeKind } from 'vscode-languageserver';
import { foldingOf } from '../features/index.ts';
import type { Request } from './session.ts';

export const foldingRange: Request = {
  capabilities: () => ({ foldingRangeProvider: true }),
  attach(session) {
    session.connection.onFoldingRanges(({ textDocument: { uri } }) => {
      const checked = session.check(uri);
      return (checked === undefined ? [] : foldingOf(checked)).map(({ from, to }) => ({
        startLine: from,
        endLine: to,
        kind: FoldingRangeKind.Region,
      }));
    });
  },
};
