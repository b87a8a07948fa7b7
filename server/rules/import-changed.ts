/** A used file that is no longer what it was pinned as. */
import { clauseNode } from '../../grammar/index.ts';
import { fileDigest, isMarkOf, lastMarkedStart, locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports every `use` whose pin is not the digest of its file. Pinning anew is for a person to decide. */
export const importChanged = rule({
  id: 'import-changed',
  severity: 'warning',
  title: 'file that is used has changed since it was pinned',
  subject: 'rebuild',
  *check(rebuild) {
    const { path, imports } = rebuild;
    for (const { declaration, file, loop } of imports) {
      const mark = clauseNode(declaration.statement, 'mark')?.value;
      if (mark === undefined || file === undefined || loop !== undefined) continue;
      const digest = fileDigest(file);
      if (isMarkOf(mark.text, digest)) continue;
      const at = locate(path, declaration.block, mark);
      const digits = digest.slice(0, mark.text.length);
      const signed = declaration.block.start < lastMarkedStart(rebuild);
      yield {
        at,
        message: `${declaration.file} is not what it was when it was pinned: its digest is now ${digits}. This log is judged by the file as it is now. ${
          signed
            ? 'The line is signed and marked, so it stays: keep that version of the file under this name, and what is new under another.'
            : 'See what changed in it, then bring it back or pin it as it is.'
        }`,
        fixes: signed
          ? []
          : [{ title: `Pin ${declaration.file} as it is now`, edits: [{ ...at, text: digits }] }],
      };
    }
  },
});
