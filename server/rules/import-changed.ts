/** A used file or a photograph that is no longer what it was pinned as. */
import { clauseNode } from '../../grammar/index.ts';
import {
  fileDigest,
  isMarkOf,
  lastMarkedStart,
  locate,
  type Rebuild,
  type Report,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports every `use` and `photo` whose pin is not the digest of its file. Pinning anew is for a person to decide. */
export const importChanged = rule({
  id: 'import-changed',
  severity: 'warning',
  title: 'file or photograph has changed since it was pinned',
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
    if (rebuild.photographs.size > 0) yield* changedPhotographs(rebuild);
  },
});

/** Photographs whose bytes are others than those that were pinned, or that are gone. */
function* changedPhotographs(rebuild: Rebuild): Iterable<Report> {
  const { path, byKind, photographs } = rebuild;
  for (const { block, statement } of byKind.get('photo') ?? []) {
    const mark = clauseNode(statement, 'mark')?.value;
    const file = statement.text?.text;
    const digest = file === undefined ? undefined : photographs.get(file);
    if (mark === undefined || file === undefined || digest === undefined) continue;
    const at = locate(path, block, mark);
    if (digest === null) {
      yield {
        at,
        message: `${file} was pinned here and cannot be read. The path counts from the folder of this file: put the photograph back.`,
      };
      continue;
    }
    if (isMarkOf(mark.text, digest)) continue;
    const digits = digest.slice(0, mark.text.length);
    const signed = block.start < lastMarkedStart(rebuild);
    yield {
      at,
      message: `${file} is not the photograph that was pinned here: its digest is now ${digits}. ${
        signed
          ? 'The line is signed and marked, so it stays: put the one that was pinned back under this name.'
          : 'Put the right one back, or pin it as it is.'
      }`,
      fixes: signed ? [] : [{ title: `Pin ${file} as it is now`, edits: [{ ...at, text: digits }] }],
    };
  }
}
