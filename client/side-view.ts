/** A view beside the editor that shows what the server writes as HTML: a comparison, a trend. */
import {
  type Disposable,
  type ExtensionContext,
  Selection,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import type { ViewResult } from './requests.ts';

/** What the page says: a row was chosen, or the page was loaded and wants its content. */
export type FromPage = { readonly kind: 'ready' } | { readonly kind: 'line'; readonly line: number };

export function resourcesOf(context: ExtensionContext): Uri {
  return Uri.joinPath(context.extensionUri, 'dist');
}

/** Gives a panel its empty page, and calls `listener` with what the page says. */
export function fillPanel(
  context: ExtensionContext,
  panel: WebviewPanel,
  listener: (message: FromPage) => void,
): Disposable {
  const resources = resourcesOf(context);
  panel.iconPath = Uri.joinPath(context.extensionUri, 'client', 'icons', 'extension.svg');
  panel.webview.options = { enableScripts: true, localResourceRoots: [resources] };
  const listening = panel.webview.onDidReceiveMessage(listener);
  const script = panel.webview.asWebviewUri(Uri.joinPath(resources, 'preview-page.js'));
  panel.webview.html = pageOf(panel.webview.cspSource, script.toString());
  return listening;
}

/** Shows a result in a panel of its own. */
export function showBeside(context: ExtensionContext, title: string, result: ViewResult): void {
  const panel = window.createWebviewPanel(
    'witnessmark.view',
    title,
    { viewColumn: ViewColumn.Beside, preserveFocus: true },
    { enableFindWidget: true },
  );
  fillPanel(context, panel, (message) => {
    if (message.kind === 'ready') void panel.webview.postMessage({ kind: 'body', ...result });
    else void goToLine(Uri.parse(result.uri), message.line);
  });
}

/** Opens a document at a line, from 1. */
export async function goToLine(uri: Uri, line: number): Promise<void> {
  const open = window.visibleTextEditors.find((one) => one.document.uri.toString() === uri.toString());
  const editor = await window.showTextDocument(
    await workspace.openTextDocument(uri),
    open?.viewColumn ?? ViewColumn.One,
  );
  const { range } = editor.document.lineAt(Math.min(line, editor.document.lineCount) - 1);
  editor.selection = new Selection(range.start, range.start);
  editor.revealRange(range, TextEditorRevealType.InCenterIfOutsideViewport);
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
/* The sheet says light or dark by the body's class; the theme's own colours come after it, and are no weaker. */
body[class] { --wm-paper: var(--vscode-editor-background); --wm-ink: var(--vscode-editor-foreground);
  --wm-soft: var(--vscode-descriptionForeground);
  --wm-line: var(--vscode-contrastBorder, var(--vscode-widget-border, var(--vscode-descriptionForeground)));
  --wm-rule: var(--vscode-contrastBorder, var(--vscode-panel-border));
  --wm-head: var(--vscode-editorWidget-background);
  --wm-good: var(--vscode-gitDecoration-addedResourceForeground);
  /* Themes of high contrast have no colours of this sort for lists. */
  --wm-worn: var(--vscode-list-warningForeground, var(--vscode-editorWarning-foreground));
  --wm-bad: var(--vscode-list-errorForeground, var(--vscode-editorError-foreground));
  background: var(--wm-paper); color: var(--wm-ink);
  font-family: var(--vscode-font-family); font-size: var(--vscode-font-size); }
.sheet { max-width: none; padding: 1rem; }
/* A wide table scrolls by itself. */
section, figure { overflow-x: auto; }
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
