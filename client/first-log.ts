/** The command 'Try it on a log of your own': a small log with a slip in it, to see the slip found. */
import { window, workspace } from 'vscode';
import { logLanguage } from './current-log.ts';

const text = `log "My pump: new seals"
machine my-pump serial "1"
fastener cover[1..6] M6 class 8.8 torque 10 ± 1 N·m

step "Close the cover" 2026-05-03 17:40
  torque cover[1..5] to 10 N·m (88 ft·lbf)
  note Gasket dry, as the sheet says.
`;

/** Opens the log without a file: it is saved where the user likes, or thrown away. */
export async function openFirstLog(): Promise<void> {
  await window.showTextDocument(await workspace.openTextDocument({ language: logLanguage, content: text }));
}
