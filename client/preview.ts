/** The preview beside a log: its report, live, following the cursor both ways, in the colours of the theme. */
import {
  commands,
  type Disposable,
  type ExtensionContext,
  l10n,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type CurrentLog, logLanguage } from './current-log.ts';
import { nameOf } from './new-log.ts';
import { reportBodyMethod, type ViewResult } from './requests.ts';
import { fillPanel, goToLine } from './side-view.ts';

const viewType = 'witnessmark.preview';

/** Registers the command that opens the preview, and brings it back when a window is opened again. */
export function createPreview(
  context: ExtensionContext,
  client: BaseLanguageClient,
  log: CurrentLog,
): Disposable {
  let panel: WebviewPanel | undefined;
  /** The log that is shown. */
  let uri: Uri | undefined;
  let underWay = false;
  let stale = false;

  async function refresh(): Promise<void> {
    if (panel === undefined || uri === undefined) return;
    if (underWay) {
      stale = true;
      return;
    }
    underWay = true;
    const about = uri;
    const answer = await client
      .sendRequest<ViewResult | null>(reportBodyMethod, { uri: about.toString() })
      .catch(() => null);
    underWay = false;
    if (answer !== null && panel !== undefined && about.toString() === uri?.toString()) {
      panel.title = l10n.t('Preview {0}', nameOf(about));
      void panel.webview.postMessage({ kind: 'body', ...answer });
      followCursor();
    }
    if (stale) {
      stale = false;
      await refresh();
    }
  }

  function followCursor(): void {
    const editor = window.visibleTextEditors.find((one) => one.document.uri.toString() === uri?.toString());
    if (editor !== undefined)
      void panel?.webview.postMessage({ kind: 'line', line: editor.selection.active.line + 1 });
  }

  function show(target: Uri): void {
    uri = target;
    panel ??= adopt(
      window.createWebviewPanel(
        viewType,
        l10n.t('Preview {0}', nameOf(target)),
        { viewColumn: ViewColumn.Beside, preserveFocus: true },
        { enableFindWidget: true },
      ),
    );
    panel.reveal(undefined, true);
    void refresh();
  }

  function adopt(adopted: WebviewPanel): WebviewPanel {
    fillPanel(context, adopted, (message) => {
      if (message.kind === 'ready') void refresh();
      else if (uri !== undefined) void goToLine(uri, message.line);
    });
    adopted.onDidDispose(() => {
      panel = undefined;
    });
    return adopted;
  }

  const listeners = [
    commands.registerCommand('witnessmark.showPreview', (given?: Uri) => {
      const target = given ?? activeLog() ?? log.uri;
      if (target === undefined)
        void window.showInformationMessage(l10n.t('Open a rebuild log first: a file that ends in .rebuild.'));
      else show(target);
    }),
    window.registerWebviewPanelSerializer(viewType, {
      deserializeWebviewPanel: async (restored, state: { uri?: string } | undefined) => {
        if (state?.uri === undefined) restored.dispose();
        else {
          uri = Uri.parse(state.uri);
          await workspace.openTextDocument(uri);
          panel = adopt(restored);
        }
      },
    }),
    log.onDidChange(() => {
      if (panel === undefined || log.uri === undefined) return;
      uri = log.uri;
      void refresh();
    }),
    window.onDidChangeTextEditorSelection(({ textEditor }) => {
      if (textEditor.document.uri.toString() === uri?.toString()) followCursor();
    }),
  ];
  return {
    dispose: () => {
      for (const listener of listeners) listener.dispose();
      panel?.dispose();
    },
  };
}

function activeLog(): Uri | undefined {
  const document = window.activeTextEditor?.document;
  return document?.languageId === logLanguage ? document.uri : undefined;
}
