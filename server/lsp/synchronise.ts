/** Keeps the workspace as the editor sees it: documents opened, changed and closed, and files changed on disk. */
import {
  CodeActionKind,
  CodeActionRequest,
  DidChangeTextDocumentNotification,
  DidChangeWatchedFilesNotification,
  DidCloseTextDocumentNotification,
  DidOpenTextDocumentNotification,
  type ServerCapabilities,
  type TextDocumentContentChangeEvent,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import type { TextChange } from '../../grammar/index.ts';
import { isConfiguration } from '../workspace/index.ts';
import { ask } from './ask.ts';
import { pathOf, uriOf } from './convert.ts';
import type { Diagnostics } from './diagnostics.ts';
import { isTyping } from './held-findings.ts';
import type { Session } from './session.ts';

export const synchronisationCapabilities: ServerCapabilities = {
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
};

/** Asks the editor to tell of files that change on disk. */
export function watchFiles(session: Session): void {
  const { client, connection } = session;
  if (client.workspace?.didChangeWatchedFiles?.dynamicRegistration !== true) return;
  const watchers = [{ globPattern: '**/*.{rebuild,limits,bench}' }, { globPattern: '**/witnessmark.json' }];
  ask(session, connection.client.register(DidChangeWatchedFilesNotification.type, { watchers }));
}

/**
 * Asks the editor to show what is typed in a `witnessmark.json` before it is saved, and to offer its fixes. It is no
 * log: nothing else is asked for it.
 */
export function followConfigurations(session: Session, roots: readonly string[]): void {
  const { client, connection } = session;
  const schemes = new Set(['file', ...roots.map((uri) => uri.slice(0, uri.indexOf(':')))]);
  const documentSelector = [...schemes].map((scheme) => ({ scheme, pattern: '**/witnessmark.json' }));
  if (client.textDocument?.synchronization?.dynamicRegistration === true) {
    const syncKind = TextDocumentSyncKind.Incremental;
    ask(session, connection.client.register(DidOpenTextDocumentNotification.type, { documentSelector }));
    ask(session, connection.client.register(DidCloseTextDocumentNotification.type, { documentSelector }));
    ask(
      session,
      connection.client.register(DidChangeTextDocumentNotification.type, { documentSelector, syncKind }),
    );
  }
  if (client.textDocument?.codeAction?.dynamicRegistration === true)
    ask(
      session,
      connection.client.register(CodeActionRequest.type, {
        documentSelector,
        codeActionKinds: [CodeActionKind.QuickFix],
      }),
    );
}

/** Follows the editor, and tells `diagnostics` of every file that changed. */
export function synchronise(session: Session, diagnostics: Diagnostics): void {
  const { connection, workspace, open, host } = session;

  function changed(path: string): void {
    if (isConfiguration(path)) session.folders.sortOut(path);
    diagnostics.changed(path);
  }

  connection.onDidOpenTextDocument(({ textDocument: { uri, text, version } }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    session.written.set(path, uri);
    workspace.set(path, text);
    workspace.setPhotographs(path, new Map());
    changed(path);
  });

  connection.onDidChangeTextDocument(({ textDocument: { uri, version }, contentChanges }) => {
    const path = pathOf(uri);
    open.set(path, { uri, version });
    session.changedAt = Date.now();
    let typing = contentChanges.length === 1;
    for (const change of contentChanges) typing = applyChange(path, change) && typing;
    diagnostics.edited(path, typing);
    const last = contentChanges.at(-1);
    if (last !== undefined && 'range' in last) session.seen(uri, last.range.start);
    host.later(() => {
      // A newer version publishes for itself.
      if (open.get(path)?.version === version) changed(path);
    });
  });

  /** Gives whether somebody writes a line there. */
  function applyChange(path: string, change: TextDocumentContentChangeEvent): boolean {
    const file = workspace.file(path);
    if (!('range' in change) || file === undefined) {
      workspace.set(path, change.text);
      return false;
    }
    const start = session.offset(file, change.range.start);
    const oldEnd = session.offset(file, change.range.end);
    const edit: TextChange = { start, oldEnd, newEnd: start + change.text.length };
    workspace.set(path, file.text.slice(0, start) + change.text + file.text.slice(oldEnd), edit);
    const lineBreak = file.text.indexOf('\n', oldEnd);
    const after = file.text.slice(oldEnd, lineBreak < 0 ? undefined : lineBreak);
    return isTyping(change.text, file.text.slice(start, oldEnd), after);
  }

  connection.onDidCloseTextDocument(({ textDocument: { uri } }) => {
    const path = pathOf(uri);
    open.delete(path);
    readAgain(path);
    diagnostics.closed(path);
    changed(path);
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
      changed(path);
    }
  });

  function readAgain(path: string): void {
    const text = host.read(uriOf(path));
    if (text === undefined) workspace.remove(path);
    else workspace.set(path, text);
  }
}
