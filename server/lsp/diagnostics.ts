/** Tells the editor what is found: pushed with its version as soon as it is known, or pulled by an editor that asks. */
import {
  type ClientCapabilities,
  type Diagnostic,
  DiagnosticRefreshRequest,
  DocumentDiagnosticReportKind,
  type ServerCapabilities,
} from 'vscode-languageserver';
import type { Finding } from '../rebuild/index.ts';
import { ask } from './ask.ts';
import { diagnosticOf, pathOf } from './convert.ts';
import { holdFindings } from './held-findings.ts';
import type { OpenDocument, Session } from './session.ts';
import { answerWorkspacePull, publishClosedFiles, type Report } from './workspace-diagnostics.ts';

export interface Diagnostics {
  /** An open document was edited, by a key of somebody who types or otherwise; `changed` follows. */
  edited(path: string, typing: boolean): void;
  /** What is found in the file, or in one that uses it, may be different now. */
  changed(path: string): void;
  /** The user chose otherwise. */
  settingsChanged(): void;
  /** The document is no longer open: what the editor shows of it was published for a version. */
  closed(path: string): void;
}

/** Whether the editor can only ask: one that takes what is pushed and asks as well would show everything twice. */
function pullsOnly(client: ClientCapabilities): boolean {
  const { publishDiagnostics, diagnostic } = client.textDocument ?? {};
  return publishDiagnostics === undefined && diagnostic !== undefined;
}

export function diagnosticCapabilities(client: ClientCapabilities): ServerCapabilities {
  return pullsOnly(client)
    ? { diagnosticProvider: { interFileDependencies: true, workspaceDiagnostics: true } }
    : {};
}

/** The first line of the block that a finding's place (0), or one of its related places, stands in. */
function lineOf({ at, related }: Finding, place: number): number {
  return (place === 0 ? at : related?.[place - 1]?.at)?.block.line ?? -1;
}

/** Publishes for the session, and answers what it is asked. */
export function createDiagnostics(session: Session): Diagnostics {
  const { connection, workspace, open } = session;
  const pulls = () => pullsOnly(session.client);

  /** Tells the editor what is found in the files that a change of `path` can reach. */
  function publish(path: string): void {
    session.readConfiguration(path);
    session.readUsed();
    for (const dependent of workspace.dependents(path)) {
      if (pulls()) continue;
      const document = open.get(dependent);
      if (document === undefined) {
        closedFiles.changed([dependent]);
        continue;
      }
      publishOpen(dependent, document);
    }
  }

  function publishOpen(path: string, { uri, version }: OpenDocument): void {
    session.readPhotographs(path);
    const findings = held.choose(path, workspace.check(path)?.findings ?? []);
    void connection.sendDiagnostics({ uri, version, diagnostics: asDiagnostics(findings) });
  }

  const held = holdFindings((path) => {
    const document = open.get(path);
    if (pulls()) askAgain();
    else if (document !== undefined) publishOpen(path, document);
  });

  const canAskAgain = () => session.client.workspace?.diagnostics?.refreshSupport === true;

  function askAgain(): void {
    if (canAskAgain()) ask(session, connection.sendRequest(DiagnosticRefreshRequest.type));
  }

  /** What findings were sent as, and the lines that their places stood on. */
  const sent = new WeakMap<Finding, { readonly lines: readonly number[]; readonly diagnostic: Diagnostic }>();

  function diagnosticsOf(path: string): Diagnostic[] {
    return asDiagnostics(workspace.check(path)?.findings ?? []);
  }

  function asDiagnostics(findings: readonly Finding[]): Diagnostic[] {
    return findings.map((finding) => {
      const last = sent.get(finding);
      if (last?.lines.every((line, i) => line === lineOf(finding, i))) return last.diagnostic;
      const diagnostic = diagnosticOf(finding, session);
      const lines = [finding.at, ...(finding.related ?? [])].map((_, i) => lineOf(finding, i));
      sent.set(finding, { lines, diagnostic });
      return diagnostic;
    });
  }

  /** The last answer to a pull, and the trees that it was made from. */
  const pulled = new Map<string, { id: string; from: readonly unknown[] }>();
  let answers = 0;

  /** An id for what is told of a file: the same while neither it nor anything it speaks of has changed. */
  function resultId(path: string, told: readonly Finding[]): string {
    const checked = workspace.check(path);
    const from = [
      checked,
      // While somebody types some of it is held back.
      told.length,
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
    if (pulls() && workspace.dependents(path).some((other) => other !== path && open.has(other))) askAgain();
  }

  /** Nothing is held back from an editor that would not know to ask for it after the pause. */
  function reportOf(path: string, previousResultId: string | undefined): Report {
    if (open.has(path)) session.readPhotographs(path);
    const findings = workspace.check(path)?.findings ?? [];
    const told = open.has(path) && canAskAgain() ? held.choose(path, findings) : findings;
    const id = resultId(path, told);
    if (id === previousResultId) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId: id };
    return { kind: DocumentDiagnosticReportKind.Full, resultId: id, items: asDiagnostics(told) };
  }

  connection.languages.diagnostics.on(({ textDocument: { uri }, previousResultId }) => {
    session.readUsed();
    return reportOf(pathOf(uri), previousResultId);
  });
  answerWorkspacePull(session, reportOf);
  const closedFiles = publishClosedFiles(session, diagnosticsOf);
  session.folders.onChange((paths) => {
    if (!pulls()) closedFiles.changed(paths);
  });

  return {
    edited(path, typing) {
      for (const dependent of workspace.dependents(path))
        if (open.has(dependent)) held.edited(dependent, typing);
    },
    changed(path) {
      publish(path);
      refreshOthers(path);
    },
    settingsChanged() {
      if (!pulls()) closedFiles.changed(workspace.paths());
    },
    closed(path) {
      pulled.delete(path);
      held.forget(path);
      if (!pulls()) closedFiles.closed(path);
    },
  };
}
