/** `textDocument/foldingRange`. */
import { FoldingRangeKind } from 'vscode-languageserver';
import { type Fold, foldingOf } from '../features/index.ts';
import type { Request } from './session.ts';

const kinds: Readonly<Record<Fold['kind'], FoldingRangeKind>> = {
  region: FoldingRangeKind.Region,
  comment: FoldingRangeKind.Comment,
  imports: FoldingRangeKind.Imports,
};

export const foldingRange: Request = {
  capabilities: () => ({ foldingRangeProvider: true }),
  attach(session) {
    session.connection.onFoldingRanges(({ textDocument: { uri } }) => {
      const file = session.file(uri);
      if (file === undefined) return [];
      return foldingOf(file).map(({ from, to, kind }) => ({
        startLine: from,
        endLine: to,
        kind: kinds[kind],
      }));
    });
  },
};
