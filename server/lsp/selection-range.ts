/** `textDocument/selectionRange`. */
import type { SelectionRange } from 'vscode-languageserver';
import { selectionsAt } from '../features/index.ts';
import type { Request } from './session.ts';

export const selectionRange: Request = {
  capabilities: () => ({ selectionRangeProvider: true }),
  attach(session) {
    session.connection.onSelectionRanges(({ textDocument: { uri }, positions }) => {
      const file = session.file(uri);
      if (file === undefined) return null;
      return positions.map((position) => {
        const stretches = selectionsAt(file, session.offset(file, position));
        let chain: SelectionRange = { range: session.range(file, 0, file.text.length) };
        for (const { start, end } of [...stretches].reverse().slice(1))
          chain = { range: session.range(file, start, end), parent: chain };
        return chain;
      });
    });
  },
};
