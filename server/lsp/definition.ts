/** `textDocument/definition`. */
import type { LocationLink } from 'vscode-languageserver';
import { definitionsAt } from '../features/index.ts';
import { pathOf } from './convert.ts';
import type { Request } from './session.ts';

export const definition: Request = {
  capabilities: () => ({ definitionProvider: true }),
  attach(session) {
    session.connection.onDefinition(({ textDocument: { uri }, position }) => {
      const file = session.file(uri);
      if (file === undefined) return null;
      const found = definitionsAt(session.workspace, pathOf(uri), session.offset(file, position));
      const links = found.flatMap(({ from, to, whole }): LocationLink[] => {
        const target = session.workspace.file(to.path);
        if (target === undefined) return [];
        return [
          {
            originSelectionRange: session.range(file, from.start, from.end),
            targetUri: session.uri(to.path),
            targetRange: session.range(target, whole.start, whole.end),
            targetSelectionRange: session.range(target, to.start, to.end),
          },
        ];
      });
      if (session.client.textDocument?.definition?.linkSupport === true) return links;
      return links.map(({ targetUri, targetSelectionRange }) => ({
        uri: targetUri,
        range: targetSelectionRange,
      }));
    });
  },
};
