/** `textDocument/codeAction`: the fixes of what is found there, what can be added, and all safe fixes at once. */
import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import { actionsAt, type Edit, fixAll, isUnmarked, keepsFacts } from '../features/index.ts';
import type { Finding, Fix } from '../rebuild/index.ts';
import type { Checked } from '../workspace/index.ts';
import { actionOf } from './convert.ts';
import type { Request, Session } from './session.ts';
import { workspaceEdit } from './workspace-edit.ts';
import { writeMarkAction } from './write-mark.ts';

/** Under this name the editor may run it on save. */
const FIX_ALL = `${CodeActionKind.SourceFixAll}.witnessmark`;

export const codeAction: Request = {
  capabilities: () => ({
    codeActionProvider: {
      codeActionKinds: [CodeActionKind.QuickFix, CodeActionKind.RefactorRewrite, FIX_ALL],
    },
  }),
  attach(session) {
    session.connection.onCodeAction(({ textDocument: { uri }, range, context: { only } }) => {
      session.seen(uri, range.end);
      const checked = session.check(uri);
      if (checked === undefined) return [];
      const from = session.offset(checked.file, range.start);
      const to = session.offset(checked.file, range.end);
      const change = (edits: readonly Edit[]) =>
        workspaceEdit(
          session,
          edits.map((edit) => ({ ...edit, path: checked.path })),
        );
      const wanted = (kind: string) =>
        only === undefined || only.some((one) => kind === one || kind.startsWith(`${one}.`));
      const actions: CodeAction[] = wanted(CodeActionKind.QuickFix)
        ? fixesBetween(checked, from, to, session)
        : [];
      for (const { title, kind, edits } of actionsAt(checked, from, to)) {
        const protocolKind = kind === 'mend' ? CodeActionKind.QuickFix : CodeActionKind.RefactorRewrite;
        if (wanted(protocolKind)) actions.push({ title, kind: protocolKind, edit: change(edits) });
      }
      // Offered only where it is asked for by name, so that the list at the lamp stays short.
      if (only !== undefined && wanted(FIX_ALL)) {
        const edits = fixAll(checked);
        if (edits.length > 0)
          actions.push({ title: 'Apply every fix that keeps the facts', kind: FIX_ALL, edit: change(edits) });
      }
      return actions;
    });
  },
};

function fixesBetween(checked: Checked, from: number, to: number, session: Session): CodeAction[] {
  return checked.findings
    .filter(({ at }) => at.block.start + at.start <= to && at.block.start + at.end >= from)
    .flatMap((finding) => {
      const fixes = (finding.fixes ?? []).filter(
        ({ edits }) => finding.rule === 'mark-broken' || edits.every((edit) => isUnmarked(checked, edit)),
      );
      return [
        ...fixes.map((fix) => actionOf(fix, finding, fixes.length === 1 && isPlain(fix, finding), session)),
        ...writeMarkAction(finding, checked, session),
      ];
    });
}

/** Whether the editor may take it unseen: it records nothing that the log did not say before, unless with a `?`. */
function isPlain(fix: Fix, { rule }: Finding): boolean {
  const mendsSpelling = rule === 'syntax' || rule === 'unknown-name';
  return mendsSpelling || keepsFacts(fix) || fix.edits.every(({ text }) => text.includes('?'));
}
