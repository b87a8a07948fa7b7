/** From the core's offsets and findings to the protocol's positions and diagnostics. */
import {
  type CodeAction,
  CodeActionKind,
  type Diagnostic,
  DiagnosticSeverity,
  type Location as ProtocolLocation,
  type Range,
  type TextEdit,
} from 'vscode-languageserver';
import type { Finding, Fix, Location, Severity } from '../rebuild/index.ts';
import { normalisePath } from '../workspace/index.ts';
import type { Session } from './session.ts';

const severities: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** The workspace's path of a document: its URI without escapes, so that a `use` written by hand finds it. */
export function pathOf(uri: string): string {
  try {
    return normalisePath(decodeURIComponent(uri));
  } catch {
    return normalisePath(uri);
  }
}

/** The URI of a workspace's path. */
export function uriOf(path: string): string {
  return encodeURI(path).replaceAll('#', '%23').replaceAll('?', '%3F');
}

/** A stretch of one of the workspace's files; undefined when the file is no longer there. */
export function locationOf(
  { path, start, end }: { readonly path: string; readonly start: number; readonly end: number },
  session: Session,
): ProtocolLocation | undefined {
  const file = session.workspace.file(path);
  if (file === undefined) return undefined;
  return { uri: session.uri(path), range: session.range(file, start, end) };
}

export function rangeIn(session: Session, at: Location): Range {
  const file = session.workspace.file(at.path);
  if (file === undefined) return { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  return session.range(file, at.block.start + at.start, at.block.start + at.end);
}

/** A finding as a diagnostic; its code is the rule. */
export function diagnosticOf(finding: Finding, session: Session): Diagnostic {
  const { pages } = session.extension;
  const href = pages === undefined ? session.host.page(finding.rule) : `${pages}/${finding.rule}.md`;
  return {
    ...(href === undefined ? {} : { codeDescription: { href } }),
    range: rangeIn(session, finding.at),
    severity: severities[finding.severity],
    code: finding.rule,
    source: 'witnessmark',
    message: finding.message,
    relatedInformation: relatedOf(finding).map((one) => ({
      location: { uri: session.uri(one.at.path), range: rangeIn(session, one.at) },
      message: one.message,
    })),
  };
}

/** The places that an editor lists under the message; the cells of the very table that is underlined are not among them. */
function relatedOf({ at, related = [] }: Finding): NonNullable<Finding['related']> {
  const elsewhere = related.filter((one) => one.at.block !== at.block);
  return related.length - elsewhere.length > 2 ? elsewhere : related;
}

/** A fix as a code action that mends its finding. */
export function actionOf(fix: Fix, finding: Finding, preferred: boolean, session: Session): CodeAction {
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of fix.edits) {
    const uri = session.uri(edit.path);
    const list = changes[uri] ?? [];
    list.push({ range: rangeIn(session, edit), newText: edit.text });
    changes[uri] = list;
  }
  return {
    title: fix.title,
    kind: CodeActionKind.QuickFix,
    diagnostics: [diagnosticOf(finding, session)],
    isPreferred: preferred,
    edit: { changes },
  };
}
