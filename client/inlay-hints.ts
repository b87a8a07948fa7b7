/** Inlay hints on the line of the cursor only, where the user wants them so: which line that is, the server does not know. */
import { type Disposable, type InlayHint, type TextDocument, window, workspace } from 'vscode';
import { type BaseLanguageClient, InlayHintRequest, type Middleware } from 'vscode-languageclient';

/** Whether hints of a kind stand only on the line of the cursor. */
function onlyOnLine(kind: unknown, document: TextDocument): boolean {
  const settings = workspace.getConfiguration('witnessmark.inlayHints', document);
  return settings.get(kind === 'unit' ? 'units' : 'progress') === 'currentLine';
}

export const inlayHintsMiddleware: Middleware = {
  async provideInlayHints(document, range, token, next) {
    const hints = await next(document, range, token);
    const editor = window.activeTextEditor;
    const line = editor?.document === document ? editor.selection.active.line : undefined;
    return hints?.filter(
      (hint: InlayHint & { readonly data?: unknown }) =>
        !onlyOnLine(hint.data, document) || hint.position.line === line,
    );
  },
};

/** Asks for the hints again when the cursor comes to another line and hints follow it. */
export function followLine(client: BaseLanguageClient): Disposable {
  let last = '';
  return window.onDidChangeTextEditorSelection(({ textEditor: { document, selection } }) => {
    const at = `${document.uri.toString()} ${selection.active.line}`;
    if (at === last) return;
    last = at;
    if (!['unit', 'progress'].some((kind) => onlyOnLine(kind, document))) return;
    client.getFeature(InlayHintRequest.method).getProvider(document)?.onDidChangeInlayHints.fire();
  });
}
