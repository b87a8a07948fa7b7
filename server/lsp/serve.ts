/** The language server: keeps the workspace as the editor sees it, and answers from the features. */
import {
  type Connection,
  DiagnosticRefreshRequest,
  DidChangeWatchedFilesNotification,
  DocumentDiagnosticReportKind,
  type DocumentSymbol,
  FoldingRangeKind,
  SymbolKind,
  type TextDocumentContentChangeEvent,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import { formatEdits, offsetAt, type TextChange } from '../../grammar/index.ts';
import { foldingOf, hoverAt, type OutlineItem, outlineOf } from '../features/index.ts';
import { createWorkspace } from '../workspace/index.ts';
import { actionOf, diagnosticOf, pathOf, rangeOf } from './convert.ts';

/** What the server needs of the machine it runs on. */
export interface Host {
  /** The text of a file that is not open, or undefined when it cannot be read. */
  read(uri: string): string | undefined;
  /** The address of a rule's page, where there is one to open. */
  page(rule: string): string | undefined;
  /** Does the work once messages that already wait have been taken. */
  later(work: () => void): void;
}

/** Serves one editor. */
export function serve(connection: Connection, { read, page, later }: Host): void {
  const workspace = createWorkspace();
  /** Open documents with their versions; URIs as the editor writes them. */
  const open = new Map<string, { uri: string; version: number }>();
  let pulls = false;
  let refreshes = false;
  let watches = false;

  connection.onInitialize(({ capabilities }) => {
    // Findings are pushed, with their versions, as soon as they are known. An editor that can only ask may ask.
    const { publishDiagnostics, diagnostic } = capabilities.textDocument ?? {};
    pulls = publishDiagnostics === undefined && diagnostic !== undefined;
    refreshes = capabilities.workspace?.diagnostics?.refreshSupport === true;
    watches = capabilities.workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
    return {
      serverInfo: { name: 'witnessmark' },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
        // An editor that takes what is pushed and asks as well would show everything twice.
        ...(pulls
          ? { diagnosticProvider: { interFileDependencies: true, workspaceDiagnostics: false } }
          : {}),
        hoverProvider: true,
        documentSymbolProvider: true,
        foldingRangeProvider: true,
        documentFormattingProvider: true,
        codeActionProvider: { codeActionKinds: ['quickfix'] },
      },
    };
  });

  connection.onInitialized(() => {
    if (!watches) return;
    void connection.client.register(DidChangeWatchedFilesNotification.type, {
      watchers: [{ globPattern: '**/*.{rebuild,limits,bench}' }],
    });
  });

  function readUsed(): void {
    for (let wanted = workspace.wanted(); wanted.length > 0; wanted = workspace.wanted())
      for (const path of wanted) {
        const text = read(path);
        if (text === undefined) workspace.markAbsent(path);
        else workspace.set(path, text);
      }
  }

  /** Tells the editor what is found in the files that a change of `path` can reach. */
  function publish(path: string): void {
    readUsed();
    for (const dependent of workspace.dependents(path)) {
      const document = open.get(dependent);
      if (document === undefined || pulls) continue;
      void connection.sendDiagnostics({
        uri: document.uri,
        version: document.version,
        diagnostics: diagnosticsOf(dependent),
      });
    }
  }

  function diagnosticsOf(path: string) {
    return (workspace.check(path)?.findings ?? []).map((finding) => diagnosticOf(finding, workspace, page));
  }

  /** The last answer to a pull, and the trees that it was made from. */
  const pulled = new Map<string, { id: string; from: readonly unknown[] }>();
  let answers = 0;

  /** An id for what is found in a file: the same while neither it nor anything it speaks of has changed. */
  function resultId(path: string): string {
    const checked = workspace.check(path);
    const from = [
      checked,
      ...(checked?.rebuild.scope.files ?? []).map((declared) => workspace.file(declared.path)),
    ];
    const last = pulled.get(path);
    if (
      last !== undefined &&
      last.from.length === from.length &&
      last.from.every((one, i) => one === from[i])
    )
      return last.id;
    const id = String(++answers);
    pulled.set(path, { id, from });
    return id;
  }

  /** Other open files must be asked for again when one that they use changed. */
  function refreshOthers(path: string): void {
    if (pulls && refreshes && workspace.dependents(path).some((other) => other !== path && open.has(other)))
      void connection.sendRequest(DiagnosticRefreshRequest.type);
  }

  connection.onDidOpenTextDocument(({ textDocument: { uri, text, version } }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    workspace.set(path, text);
    publish(path);
    refreshOthers(path);
  });

  connection.onDidChangeTextDocument(({ textDocument: { uri, version }, contentChanges }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    for (const change of contentChanges) applyChange(path, change);
    later(() => {
      // A newer version publishes for itself.
      if (open.get(path)?.version !== version) return;
      publish(path);
      refreshOthers(path);
    });
  });

  function applyChange(path: string, change: TextDocumentContentChangeEvent): void {
    const file = workspace.file(path);
    if (!('range' in change) || file === undefined) {
      workspace.set(path, change.text);
      return;
    }
    const start = offsetAt(file, change.range.start.line, change.range.start.character);
    const oldEnd = offsetAt(file, change.range.end.line, change.range.end.character);
    const edit: TextChange = { start, oldEnd, newEnd: start + change.text.length };
    workspace.set(path, file.text.slice(0, start) + change.text + file.text.slice(oldEnd), edit);
  }

  connection.onDidCloseTextDocument(({ textDocument: { uri } }) => {
    const path = pathOf(uri);
    open.delete(path);
    pulled.delete(path);
    const text = read(path);
    if (text === undefined) workspace.remove(path);
    else workspace.set(path, text);
    if (!pulls) void connection.sendDiagnostics({ uri, diagnostics: [] });
    publish(path);
    refreshOthers(path);
  });

  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri } of changes) {
      const path = pathOf(uri);
      if (open.has(path)) continue;
      const known = workspace.paths().includes(path) || workspace.dependents(path).length > 1;
      if (!known) continue;
      const text = read(path);
      if (text === undefined) workspace.remove(path);
      else workspace.set(path, text);
      publish(path);
      refreshOthers(path);
    }
  });

  connection.languages.diagnostics.on(({ textDocument: { uri }, previousResultId }) => {
    readUsed();
    const path = pathOf(uri);
    const id = resultId(path);
    if (id === previousResultId) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId: id };
    return { kind: DocumentDiagnosticReportKind.Full, resultId: id, items: diagnosticsOf(path) };
  });

  connection.onHover(({ textDocument: { uri }, position }) => {
    const checked = workspace.check(pathOf(uri));
    if (checked === undefined) return null;
    const hover = hoverAt(checked, offsetAt(checked.file, position.line, position.character));
    if (hover === undefined) return null;
    return {
      contents: { kind: 'markdown', value: hover.markdown },
      range: rangeOf(checked.file, hover.start, hover.end),
    };
  });

  connection.onDocumentSymbol(({ textDocument: { uri } }) => {
    const checked = workspace.check(pathOf(uri));
    if (checked === undefined) return [];
    const kinds = {
      step: SymbolKind.Event,
      entry: SymbolKind.Field,
      assembly: SymbolKind.Module,
      declaration: SymbolKind.Property,
    };
    const symbol = (item: OutlineItem): DocumentSymbol => ({
      name: item.name === '' ? '?' : item.name,
      detail: item.detail,
      kind: kinds[item.kind],
      range: rangeOf(checked.file, item.start, item.end),
      selectionRange: rangeOf(checked.file, item.nameStart, item.nameEnd),
      children: item.children.map(symbol),
    });
    return outlineOf(checked).map(symbol);
  });

  connection.onDocumentFormatting(({ textDocument: { uri } }) => {
    const file = workspace.file(pathOf(uri));
    if (file === undefined) return [];
    return formatEdits(file).map(({ start, end, text }) => ({
      range: rangeOf(file, start, end),
      newText: text,
    }));
  });

  connection.onFoldingRanges(({ textDocument: { uri } }) => {
    const checked = workspace.check(pathOf(uri));
    return (checked === undefined ? [] : foldingOf(checked)).map(({ from, to }) => ({
      startLine: from,
      endLine: to,
      kind: FoldingRangeKind.Region,
    }));
  });

  connection.onCodeAction(({ textDocument: { uri }, range }) => {
    const checked = workspace.check(pathOf(uri));
    if (checked === undefined) return [];
    const from = offsetAt(checked.file, range.start.line, range.start.character);
    const to = offsetAt(checked.file, range.end.line, range.end.character);
    return checked.findings
      .filter(({ at }) => at.block.start + at.start <= to && at.block.start + at.end >= from)
      .flatMap((finding) => {
        const fixes = finding.fixes ?? [];
        return fixes.map((fix) => actionOf(fix, finding, fixes.length === 1, workspace, page));
      });
  });

  connection.listen();
}
