/** Keeps the workspace as the editor sees it: documents opened, changed and closed, and files changed on disk. */
import {
  DidChangeWatchedFilesNotification,
  type ServerCapabilities,
  type TextDocumentContentChangeEvent,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import type { TextChange } from '../../grammar/index.ts';
import { isConfiguration } from '../workspace/index.ts';
import { pathOf, uriOf } from './convert.ts';
import type { Diagnostics } from './diagnostics.ts';
import type { Session } from './session.ts';

export const synchronisationCapabilities: ServerCapabilities = {
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
};

/** Asks the editor to tell of files that change on disk. */
export function watchFiles({ client, connection }: Session): void {
  if (client.workspace?.didChangeWatchedFiles?.dynamicRegistration !== true) return;
  void connection.client.register(DidChangeWatchedFilesNotification.type, {
    watchers: [{ globPattern: '**/*.{rebuild,limits,bench}' }, { globPattern: '**/witnessmark.json' }],
  });
}

/** Follows the editor, and tells `diagnostics` of every file that changed. */
export function synchronise(session: Session, diagnostics: Diagnostics): void {
  const { connection, workspace, open, host } = session;

  connection.onDidOpenTextDocument(({ textDocument: { uri, text, version } }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    session.written.set(path, uri);
    workspace.set(path, text);
    diagnostics.changed(path);
  });

  connection.onDidChangeTextDocument(({ textDocument: { uri, version }, contentChanges }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    session.changedAt = Date.now();
    for (const change of contentChanges) applyChange(path, change);
    host.later(() => {
      // A newer version publishes for itself.
      if (open.get(path)?.version === version) diagnostics.changed(path);
    });
  });

  function applyChange(path: string, change: TextDocumentContentChangeEvent): void {
    const file = workspace.file(path);
    if (!('range' in change) || file === undefined) {
      workspace.set(path, change.text);
      return;
    }
    const start = session.offset(file, change.range.start);
    const oldEnd = session.offset(file, change.range.end);
    const edit: TextChange = { start, oldEnd, newEnd: start + change.text.length };
    workspace.set(path, file.text.slice(0, start) + change.text + file.text.slice(oldEnd), edit);
  }

  connection.onDidCloseTextDocument(({ textDocument: { uri } }) => {
    const path = pathOf(uri);
    open.delete(path);
    readAgain(path);
    diagnostics.closed(path);
    diagnostics.changed(path);
  });

  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri } of changes) {
      const path = pathOf(uri);
      if (open.has(path)) continue;
      const known =
        isConfiguration(path) ||
        session.folders.holds(path) ||
        workspace.file(path) !== undefined ||
        workspace.dependents(path).length > 1;
      if (!known) continue;
      readAgain(path);
      diagnostics.changed(path);
    }
  });

  function readAgain(path: string): void {
    const text = host.read(uriOf(path));
    if (text === undefined) workspace.remove(path);
    else workspace.set(path, text);
  }
}
