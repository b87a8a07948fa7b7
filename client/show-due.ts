/** The command 'Show what comes due': lives, later torques, calibrations and concessions of all logs and registers here. */
import { type ExtensionContext, l10n } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { dueMethod, type ViewResult } from './requests.ts';
import { showBeside } from './side-view.ts';

export async function showDue(context: ExtensionContext, client: BaseLanguageClient): Promise<void> {
  const result = await client.sendRequest<ViewResult>(dueMethod, {});
  showBeside(context, l10n.t('What comes due'), result);
}
