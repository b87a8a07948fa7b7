/** What the tests do in the editor: open and change files, and wait until it shows what it should. */
import { readFileSync, writeFileSync } from 'node:fs';
import {
  type Diagnostic,
  extensions,
  languages,
  Range,
  type TextDocument,
  type TextEditor,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from 'vscode';

/** Our extension, whether or not it is active yet. */
export function extension() {
  const found = extensions.getExtension('witnessmark.witnessmark');
  if (found === undefined) throw new Error('the extension is not there');
  return found;
}

/** A file of the workspace that the tests run in, which is a copy that they may change. */
export function fileOf(name: string): Uri {
  const folder = workspace.workspaceFolders?.[0];
  if (folder === undefined) throw new Error('no workspace');
  return Uri.joinPath(folder.uri, name);
}

export async function open(name: string): Promise<TextEditor> {
  return await window.showTextDocument(await workspace.openTextDocument(fileOf(name)));
}

/** Writes a file behind the editor's back, as another program would. */
export function writeOnDisk(name: string, text: string): void {
  writeFileSync(fileOf(name).fsPath, text);
}

export function readFromDisk(name: string): string {
  return readFileSync(fileOf(name).fsPath, 'utf8');
}

/** Where `part`, which must stand there once, stands in a document. */
export function placeOf(document: TextDocument, part: string): Range {
  const text = document.getText();
  const start = text.indexOf(part);
  if (start < 0 || text.includes(part, start + 1)) throw new Error(`not once in ${document.uri}: ${part}`);
  return new Range(document.positionAt(start), document.positionAt(start + part.length));
}

/** Puts `text` where `part` stands, as one edit, unsaved. */
export async function replace(document: TextDocument, part: string, text: string): Promise<void> {
  const edit = new WorkspaceEdit();
  edit.replace(document.uri, placeOf(document, part), text);
  if (!(await workspace.applyEdit(edit))) throw new Error(`not edited: ${document.uri}`);
}

/** The findings of a file as soon as `wanted` holds for them. */
export function findings(
  uri: Uri,
  wanted: (found: readonly Diagnostic[]) => boolean,
): Promise<readonly Diagnostic[]> {
  return new Promise((done) => {
    const look = () => {
      const found = languages.getDiagnostics(uri);
      if (!wanted(found)) return;
      listener.dispose();
      done(found);
    };
    const listener = languages.onDidChangeDiagnostics((event) => {
      if (event.uris.some((changed) => changed.toString() === uri.toString())) look();
    });
    look();
  });
}

/** The rule that a finding comes from. */
export function ruleOf(finding: Diagnostic): string {
  const { code } = finding;
  return String(typeof code === 'object' ? code.value : code);
}

/** Whether some finding of `rule` is among them. */
export function has(rule: string): (found: readonly Diagnostic[]) => boolean {
  return (found) => found.some((finding) => ruleOf(finding) === rule);
}

/** Whether none is. */
export function hasNo(rule: string): (found: readonly Diagnostic[]) => boolean {
  return (found) => !has(rule)(found);
}
