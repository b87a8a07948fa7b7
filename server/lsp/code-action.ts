/** `textDocument/codeAction`: the fixes of what is found there. */
import { CodeActionKind } from 'vscode-languageserver';
import { actionOf } from './convert.ts';
import type { Request } from './session.ts';
import { writeMarkAction } from './write-mark.ts';

export const codeAction: Request = {
  capabilities: () => ({ codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix] } }),
  attach(session) {
    session.connection.onCodeAction(({ textDocument: { uri }, range }) => {
      const checked = session.check(uri);
      if (checked === undefined) return [];
      const from = session.offset(checked.file, range.start);
      const to = session.offset(checked.file, range.end);
      return checked.findings
        .filter(({ at }) => at.block.start + at.start <= to && at.block.start + at.end >= from)
        .flatMap((finding) => {
          const fixes = finding.fixes ?? [];
          return [
            ...fixes.map((fix) => actionOf(fix, finding, fixes.length === 1, session)),
            ...writeMarkAction(finding, checked, session),
          ];
        });
    });
  },
};
