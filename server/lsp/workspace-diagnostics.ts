/** What is found in files that are not open: published when there is time, or pulled for the whole workspace. */
import {
  type Diagnostic,
  DocumentDiagnosticReportKind,
  type FullDocumentDiagnosticReport,
  type UnchangedDocumentDiagnosticReport,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import { pathOf } from './convert.ts';
import type { Session } from './session.ts';

/** How long messages wait while files are checked, in ms, and how long nothing must have changed before it begins. */
const slice = 15;
const quiet = 250;

export type Report = FullDocumentDiagnosticReport | UnchangedDocumentDiagnosticReport;

export interface ClosedFiles {
  /** What is found in these files may be different now; those that are open are left alone. */
  changed(paths: readonly string[]): void;
  /** The file was open until now, and the editor shows what was found then. */
  closed(path: string): void;
}

/** Publishes for the files of the session's folders that are not open, and takes back what no longer holds. */
export function publishClosedFiles(
  session: Session,
  diagnosticsOf: (path: string) => Diagnostic[],
): ClosedFiles {
  const { connection, folders, open } = session;
  /** What the editor shows of each file that is not open; undefined where that is not known. */
  const shown = new Map<string, readonly Diagnostic[] | undefined>();
  const waiting = new Set<string>();
  let timer: ReturnType<typeof setTimeout> | undefined;

  function publishSome(): void {
    const until = Date.now() + slice;
    for (const path of waiting) {
      waiting.delete(path);
      publish(path);
      if (Date.now() >= until) break;
    }
    if (waiting.size > 0 && timer === undefined) void session.idle().then(publishSome);
  }

  function publish(path: string): void {
    if (open.has(path)) {
      shown.delete(path);
      return;
    }
    const diagnostics = session.settings.checkFolder && folders.holds(path) ? diagnosticsOf(path) : [];
    const before = shown.has(path) ? shown.get(path) : [];
    if (before?.length === diagnostics.length && before.every((one, i) => one === diagnostics[i])) return;
    shown.set(path, diagnostics);
    void connection.sendDiagnostics({ uri: session.uri(path), diagnostics });
  }

  function changed(paths: readonly string[]): void {
    for (const path of paths) if (!open.has(path)) waiting.add(path);
    if (waiting.size === 0) return;
    clearTimeout(timer);
    timer = setTimeout(() => {
      timer = undefined;
      publishSome();
    }, quiet);
  }

  return {
    changed,
    closed(path) {
      shown.set(path, undefined);
      changed([path]);
    },
  };
}

/** Answers `workspace/diagnostic` for every file of the folders and every open one, in slices that can be stopped. */
export function answerWorkspacePull(
  session: Session,
  reportOf: (path: string, previousResultId: string | undefined) => Report,
): void {
  const { connection, workspace, folders, open } = session;
  connection.languages.diagnostics.onWorkspace(async ({ previousResultIds }, token) => {
    await folders.whole();
    session.readUsed();
    const previous = new Map(previousResultIds.map(({ uri, value }) => [pathOf(uri), value]));
    const items: WorkspaceDocumentDiagnosticReport[] = [];
    let until = Date.now() + slice;
    for (const path of workspace.paths()) {
      if (!open.has(path) && !(session.settings.checkFolder && folders.holds(path))) continue;
      if (Date.now() >= until) {
        await session.idle();
        until = Date.now() + slice;
      }
      if (token.isCancellationRequested) break;
      items.push({
        uri: session.uri(path),
        version: open.get(path)?.version ?? null,
        ...reportOf(path, previous.get(path)),
      });
      previous.delete(path);
    }
    // Files that are gone show nothing any more.
    for (const path of previous.keys())
      if (!token.isCancellationRequested && workspace.file(path) === undefined)
        items.push({
          uri: session.uri(path),
          version: null,
          kind: DocumentDiagnosticReportKind.Full,
          items: [],
        });
    return { items };
  });
}
