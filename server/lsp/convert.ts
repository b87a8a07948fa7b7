/** From the core's offsets and findings to the protocol's positions and diagnostics. */
import {
  type CodeAction,
  CodeActionKind,
  type Diagnostic,
  DiagnosticSeverity,
  type Range,
  type TextEdit,
} from 'vscode-languageserver';
import { positionAt, type SourceFile } from '../../grammar/index.ts';
import type { Finding, Fix, Location, Severity } from '../rebuild/index.ts';
import { normalisePath, type Workspace } from '../workspace/index.ts';

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

/** A stretch of a file as lines and characters. */
export function rangeOf(file: SourceFile, start: number, end: number): Range {
  const from = positionAt(file, start);
  const to = positionAt(file, end);
  return { start: { line: from.line, character: from.column }, end: { line: to.line, character: to.column } };
}

function rangeIn(workspace: Workspace, at: Location): Range {
  const file = workspace.file(at.path);
  if (file === undefined) return { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  return rangeOf(file, at.block.start + at.start, at.block.start + at.end);
}

/** Gives the address of a rule's page, where there is one. */
export type PageOf = (rule: string) => string | undefined;

/** A finding as a diagnostic; its code is the rule. */
export function diagnosticOf(finding: Finding, workspace: Workspace, page: PageOf): Diagnostic {
  const href = page(finding.rule);
  return {
    ...(href === undefined ? {} : { codeDescription: { href } }),
    range: rangeIn(workspace, finding.at),
    severity: severities[finding.severity],
    code: finding.rule,
    source: 'witnessmark',
    message: finding.message,
    relatedInformation: (finding.related ?? []).map((one) => ({
      location: { uri: uriOf(one.at.path), range: rangeIn(workspace, one.at) },
      message: one.message,
    })),
  };
}

/** A fix as a code action that mends its finding. */
export function actionOf(
  fix: Fix,
  finding: Finding,
  preferred: boolean,
  workspace: Workspace,
  page: PageOf,
): CodeAction {
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of fix.edits) {
    const uri = uriOf(edit.path);
    const list = changes[uri] ?? [];
    list.push({ range: rangeIn(workspace, edit), newText: edit.text });
    changes[uri] = list;
  }
  return {
    title: fix.title,
    kind: CodeActionKind.QuickFix,
    diagnostics: [diagnosticOf(finding, workspace, page)],
    isPreferred: preferred,
    edit: { changes },
  };
}
