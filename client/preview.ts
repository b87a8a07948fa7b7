/** The preview beside a log: its report, live, following the cursor both ways, in the colours of the theme. */
import {
  commands,
  type Disposable,
  type ExtensionContext,
  l10n,
  Selection,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { type CurrentLog, logLanguage } from './current-log.ts';
import { nameOf } from './new-log.ts';
import { type ReportBodyResult, reportBodyMethod } from './requests.ts';

const viewType = 'witnessmark.preview';

/** What the page says: a row was chosen, or the page was loaded and wants its content. */
type FromPage = { readonly kind: 'ready' } | { readonly kind: 'line'; readonly line: number };

/** Registers the command that opens the preview, and brings it back when a window is opened again. */
export function createPreview(
  context: ExtensionContext,
  client: LanguageClient,
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
      .sendRequest<ReportBodyResult | null>(reportBodyMethod, { uri: about.toString() })
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

  async function goTo(line: number): Promise<void> {
    if (uri === undefined) return;
    const open = window.visibleTextEditors.find((one) => one.document.uri.toString() === uri?.toString());
    const editor = await window.showTextDocument(
      await workspace.openTextDocument(uri),
      open?.viewColumn ?? ViewColumn.One,
    );
    const { range } = editor.document.lineAt(Math.min(line, editor.document.lineCount) - 1);
    editor.selection = new Selection(range.start, range.start);
    editor.revealRange(range, TextEditorRevealType.InCenterIfOutsideViewport);
  }

  function show(target: Uri): void {
    uri = target;
    panel ??= adopt(
      window.createWebviewPanel(
        viewType,
        l10n.t('Preview {0}', nameOf(target)),
        { viewColumn: ViewColumn.Beside, preserveFocus: true },
        { enableScripts: true, enableFindWidget: true, localResourceRoots: [resources] },
      ),
    );
    panel.reveal(undefined, true);
    void refresh();
  }

  const resources = Uri.joinPath(context.extensionUri, 'dist');

  function adopt(adopted: WebviewPanel): WebviewPanel {
    adopted.iconPath = Uri.joinPath(context.extensionUri, 'client', 'icons', 'extension.svg');
    adopted.webview.options = { enableScripts: true, localResourceRoots: [resources] };
    adopted.webview.onDidReceiveMessage((message: FromPage) => {
      if (message.kind === 'ready') void refresh();
      else void goTo(message.line);
    });
    adopted.onDidDispose(() => {
      panel = undefined;
    });
    const script = adopted.webview.asWebviewUri(Uri.joinPath(resources, 'preview-page.js'));
    adopted.webview.html = pageOf(adopted.webview.cspSource, script.toString());
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

/** The page is empty until its content comes; it loads nothing but its own script. */
function pageOf(source: string, script: string): string {
  const policy = `default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src ${source}`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Witnessmark</title>
<style id="style"></style>
<style>
body { --wm-paper: var(--vscode-editor-background); --wm-ink: var(--vscode-editor-foreground);
  --wm-soft: var(--vscode-descriptionForeground); --wm-line: var(--vscode-widget-border, var(--vscode-panel-border));
  --wm-rule: var(--vscode-panel-border); --wm-head: var(--vscode-editorWidget-background);
  --wm-good: var(--vscode-charts-green); --wm-worn: var(--vscode-charts-yellow); --wm-bad: var(--vscode-charts-red);
  background: var(--wm-paper); color: var(--wm-ink); font-family: var(--vscode-font-family); }
[data-line] { cursor: pointer; }
[data-line].here { outline: 2px solid var(--vscode-focusBorder); outline-offset: -1px; }
[data-line]:focus-visible { outline: 2px solid var(--vscode-focusBorder); }
</style>
</head>
<body>
<main class="sheet" id="sheet" tabindex="-1"></main>
<script src="${script}"></script>
</body>
</html>`;
}
