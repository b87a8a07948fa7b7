/** `textDocument/signatureHelp`: the form of a statement. */
import { SignatureHelpTriggerKind } from 'vscode-languageserver';
import { signatureAt } from '../features/index.ts';
import type { Request } from './session.ts';

export const signatureHelp: Request = {
  capabilities: () => ({ signatureHelpProvider: { triggerCharacters: [' '] } }),
  attach(session) {
    session.connection.onSignatureHelp(({ textDocument: { uri }, position, context }) => {
      session.seen(uri, position);
      const file = session.file(uri);
      if (file === undefined) return null;
      // Unless it was asked for, it shows where a value is wanted and goes away behind it.
      const asked = context === undefined || context.triggerKind === SignatureHelpTriggerKind.Invoked;
      const found = signatureAt(file.text, session.offset(file, position), !asked);
      if (found === undefined) return null;
      return {
        signatures: [
          {
            label: found.label,
            documentation: found.about,
            parameters: found.parameters.map(({ start, end, about }) => ({
              label: [start, end] as [number, number],
              documentation: about,
            })),
          },
        ],
        activeSignature: 0,
        activeParameter: found.active,
      };
    });
  },
};
