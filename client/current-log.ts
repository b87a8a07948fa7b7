/** The log that the user is at, with its state: what the status item, the open items and the preview show. */
import {
  commands,
  type Disposable,
  EventEmitter,
  languages,
  type TextEditor,
  type Uri,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type LogStateResult, logStateMethod } from './requests.ts';

export const logLanguage = 'rebuild-log';

export interface CurrentLog extends Disposable {
  /** The log whose editor was active last; undefined before the first, and once its editors are closed. */
  readonly uri: Uri | undefined;
  /** Undefined until the server has answered. */
  readonly state: LogStateResult | undefined;
  /** The log, or what is found in it, is another. */
  readonly onDidChange: (listener: () => void) => Disposable;
}

/** Follows the active editor and the findings. */
export function followCurrentLog(client: BaseLanguageClient): CurrentLog {
  const changed = new EventEmitter<void>();
  let uri: Uri | undefined;
  let state: LogStateResult | undefined;
  /** The newest question: an older answer is not shown. */
  let asked = 0;

  async function ask(): Promise<void> {
    const question = ++asked;
    const about = uri;
    const answer =
      about === undefined
        ? undefined
        : await client
            .sendRequest<LogStateResult | null>(logStateMethod, { uri: about.toString() })
            .catch(() => undefined);
    if (question !== asked) return;
    state = answer ?? undefined;
    void commands.executeCommand('setContext', 'witnessmark.log', uri !== undefined);
    const { error = 0, warning = 0 } = state?.counts ?? {};
    // The walkthrough waits for a first finding; it stays found.
    if (error + warning > 0) void commands.executeCommand('setContext', 'witnessmark.found', true);
    changed.fire();
  }

  function follow(editor: TextEditor | undefined): void {
    if (editor?.document.languageId !== logLanguage) return;
    if (uri?.toString() === editor.document.uri.toString()) return;
    uri = editor.document.uri;
    state = undefined;
    void ask();
  }

  const listeners = [
    changed,
    window.onDidChangeActiveTextEditor(follow),
    // Findings may change without the log, and the log without its findings.
    languages.onDidChangeDiagnostics(({ uris }) => {
      if (uris.some((one) => one.toString() === uri?.toString())) void ask();
    }),
    workspace.onDidChangeTextDocument(({ document }) => {
      if (document.uri.toString() === uri?.toString()) void ask();
    }),
    window.onDidChangeVisibleTextEditors((editors) => {
      const isOpen = editors.some((editor) => editor.document.languageId === logLanguage);
      const isHidden = window.tabGroups.all.some((group) =>
        group.tabs.some(
          (tab) => (tab.input as { uri?: Uri } | undefined)?.uri?.toString() === uri?.toString(),
        ),
      );
      if (isOpen || isHidden || uri === undefined) return;
      uri = undefined;
      void ask();
    }),
  ];
  follow(window.activeTextEditor);
  return {
    get uri() {
      return uri;
    },
    get state() {
      return state;
    },
    onDidChange: changed.event,
    dispose: () => {
      for (const listener of listeners) listener.dispose();
    },
  };
}
