/** Edits of several files as one change that the editor makes whole, or shows first where it asks for a yes. */
import {
  type AnnotatedTextEdit,
  type ChangeAnnotation,
  LSPErrorCodes,
  ResponseError,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Session } from './session.ts';

/** An edit of one of the workspace's files, by offsets in the text that the workspace has. */
export interface FileEdit {
  readonly path: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
  /** What it would undo, if a person has to say yes to it. */
  readonly breaks?: string | undefined;
}

/** Whether the editor can ask its user about single edits. */
export function canAsk(session: Session): boolean {
  const can = session.client.workspace?.workspaceEdit;
  return can?.changeAnnotationSupport !== undefined && can.documentChanges === true;
}

/**
 * The edits as the editor takes them: with the version that they were made for where it checks that. Those that need
 * a yes must have been left out for an editor that cannot ask.
 */
export function workspaceEdit(session: Session, edits: readonly FileEdit[]): WorkspaceEdit {
  const byPath = new Map<string, FileEdit[]>();
  for (const edit of edits) byPath.set(edit.path, [...(byPath.get(edit.path) ?? []), edit]);
  if (session.client.workspace?.workspaceEdit?.documentChanges !== true) {
    const changes: Record<string, TextEdit[]> = {};
    for (const [path, own] of byPath) changes[session.uri(path)] = own.map((edit) => textEdit(session, edit));
    return { changes };
  }
  const annotations: Record<string, ChangeAnnotation> = {};
  const documentChanges: TextDocumentEdit[] = [...byPath].map(([path, own]) => ({
    textDocument: { uri: session.uri(path), version: session.open.get(path)?.version ?? null },
    edits: own.map((edit): TextEdit | AnnotatedTextEdit => {
      if (edit.breaks === undefined) return textEdit(session, edit);
      annotations[edit.breaks] = { label: edit.breaks, needsConfirmation: true };
      return { ...textEdit(session, edit), annotationId: edit.breaks };
    }),
  }));
  return Object.keys(annotations).length === 0
    ? { documentChanges }
    : { documentChanges, changeAnnotations: annotations };
}

function textEdit(session: Session, { path, start, end, text }: FileEdit): TextEdit {
  const file = session.workspace.file(path);
  if (file === undefined) throw refusal(`${path} is not in the workspace.`);
  return { range: session.range(file, start, end), newText: text };
}

/** A refusal that the editor shows to its user. */
export function refusal(message: string): ResponseError {
  return new ResponseError(LSPErrorCodes.RequestFailed, message);
}
