/** `textDocument/codeLens`: how far a step is, and how many logs use a line of a table of limits. */
import type { CodeLens } from 'vscode-languageserver';
import { codeLensesOf, usesOf } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request } from './session.ts';

export const codeLens: Request = {
  capabilities: () => ({ codeLensProvider: { resolveProvider: true } }),
  attach(session) {
    session.connection.onCodeLens(({ textDocument: { uri } }) => {
      const checked = session.check(uri);
      if (checked === undefined) return null;
      return codeLensesOf(checked).map(({ start, end, title }): CodeLens => {
        const range = session.range(checked.file, start, end);
        // Nothing happens on a press where there is nothing to show.
        return title === undefined ? { range, data: uri } : { range, command: { title, command: '' } };
      });
    });
    session.connection.onCodeLensResolve((lens) => {
      const uri: unknown = lens.data;
      const file = typeof uri === 'string' ? session.file(uri) : undefined;
      if (typeof uri !== 'string' || file === undefined) return lens;
      const title = usesOf(session.workspace, pathOf(uri), session.offset(file, lens.range.start));
      const command = session.extension.showReferences;
      return {
        ...lens,
        command:
          title === undefined || command === undefined
            ? { title: title ?? '', command: '' }
            : { title, command, arguments: [uri, lens.range.start] },
      };
    });
  },
};
