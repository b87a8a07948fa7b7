/** The command 'Show trend': wear over hours of the log's machine, over all its logs in the folder. */
import { type ExtensionContext, l10n, type Uri, window } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { trendMethod, type ViewResult } from './requests.ts';
import { showBeside } from './side-view.ts';

export async function showTrend(
  context: ExtensionContext,
  client: BaseLanguageClient,
  log: Uri,
): Promise<void> {
  const result = await client.sendRequest<ViewResult | null>(trendMethod, { uri: log.toString() });
  if (result === null)
    void window.showInformationMessage(
      l10n.t('The log does not say which machine it is of: machine NAME serial "…" hours … h.'),
    );
  else showBeside(context, l10n.t('Wear over hours'), result);
}
