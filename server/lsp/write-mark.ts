/** The quick fix of a signature without a mark: pins what the log uses and writes the mark. */
import type { CodeAction } from 'vscode-languageserver';
import { type Finding, markEdits } from '../rebuild/index.ts';
import type { Checked } from '../workspace/index.ts';
import { actionOf } from './convert.ts';
import { photoDigests, unsavedUses } from './mark.ts';
import type { Session } from './session.ts';

/** The action for a finding `unmarked`; none for any other, and none where no mark may be written. */
export function writeMarkAction(finding: Finding, checked: Checked, session: Session): readonly CodeAction[] {
  if (finding.rule !== 'unmarked' || unsavedUses(checked, session).length > 0) return [];
  const { rebuild } = checked;
  const plan = markEdits(rebuild, { closing: finding.at.block, photos: photoDigests(checked, session) });
  if (!('edits' in plan)) return [];
  const pins = plan.pinned.length === 0 ? '' : `; pins ${plan.pinned.join(', ')}`;
  const unpinned =
    plan.unpinned.length === 0 ? '' : `; does not pin ${plan.unpinned.map(({ file }) => file).join(', ')}`;
  return [
    actionOf({ title: `Write the mark${pins}${unpinned}`, edits: plan.edits }, finding, false, session),
  ];
}
