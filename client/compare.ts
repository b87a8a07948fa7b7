/** The commands that compare a log: with another rebuild, and with an earlier revision of itself. */
import { type ExtensionContext, extensions, l10n, type Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { nameOf } from './new-log.ts';
import { type CompareParams, compareMethod, type ViewResult } from './requests.ts';
import { showBeside } from './side-view.ts';

/** What the built-in git extension offers, as far as it is used here. */
interface GitExtension {
  getAPI(version: 1): {
    getRepository(uri: Uri): GitRepository | null;
  };
}
interface GitRepository {
  log(options: { readonly path: string; readonly maxEntries: number }): Promise<readonly GitCommit[]>;
  show(ref: string, path: string): Promise<string>;
}
interface GitCommit {
  readonly hash: string;
  readonly message: string;
  readonly authorName?: string;
  readonly authorDate?: Date;
}

/** Asks for the other log and shows what differs; the chosen one is the old. */
export async function compareWithAnother(
  context: ExtensionContext,
  client: BaseLanguageClient,
  log: Uri,
): Promise<void> {
  const found = await workspace.findFiles('**/*.rebuild', undefined, 1000);
  const others = found.filter((uri) => uri.toString() !== log.toString());
  const fromDisk = { label: l10n.t('Another file…'), description: '', uri: undefined };
  const picked = await window.showQuickPick(
    [
      ...others.map((uri) => ({ label: nameOf(uri), description: workspace.asRelativePath(uri), uri })),
      fromDisk,
    ],
    {
      title: l10n.t('Compare {0} with another rebuild', nameOf(log)),
      placeHolder: l10n.t('The earlier rebuild'),
    },
  );
  if (picked === undefined) return;
  const other = picked.uri ?? (await pickFile());
  if (other !== undefined)
    await show(context, client, { uri: log.toString(), old: { uri: other.toString() } });
}

async function pickFile(): Promise<Uri | undefined> {
  const picked = await window.showOpenDialog({ filters: { [l10n.t('Rebuild logs')]: ['rebuild'] } });
  return picked?.[0];
}

/** Asks for the revision, by the built-in git extension, and shows what changed since. */
export async function compareWithEarlier(
  context: ExtensionContext,
  client: BaseLanguageClient,
  log: Uri,
): Promise<void> {
  const git = extensions.getExtension<GitExtension>('vscode.git');
  const repository =
    git === undefined
      ? null
      : (git.isActive ? git.exports : await git.activate()).getAPI(1).getRepository(log);
  if (repository === null) {
    void window.showInformationMessage(
      l10n.t(
        '{0} lies in no git repository that the editor knows, so it has no earlier revision.',
        nameOf(log),
      ),
    );
    return;
  }
  const commits = await repository.log({ path: log.fsPath, maxEntries: 200 });
  if (commits.length === 0) {
    void window.showInformationMessage(l10n.t('{0} has never been committed.', nameOf(log)));
    return;
  }
  const picked = await window.showQuickPick(
    commits.map((commit) => ({
      label: commit.message.split('\n')[0] ?? '',
      description: commit.hash.slice(0, 8),
      detail: [commit.authorDate?.toLocaleString(), commit.authorName].filter(Boolean).join(', '),
      commit,
    })),
    { title: l10n.t('Compare {0} with an earlier revision', nameOf(log)), matchOnDescription: true },
  );
  if (picked === undefined) return;
  const text = await repository.show(picked.commit.hash, log.fsPath);
  const title = l10n.t('{0} at {1}', nameOf(log), picked.commit.hash.slice(0, 8));
  await show(context, client, { uri: log.toString(), old: { uri: log.toString(), text, title } });
}

async function show(
  context: ExtensionContext,
  client: BaseLanguageClient,
  params: CompareParams,
): Promise<void> {
  const result = await client.sendRequest<ViewResult | null>(compareMethod, params);
  if (result === null) {
    void window.showErrorMessage(
      l10n.t('These two cannot be compared: both must be rebuild logs that can be read.'),
    );
    return;
  }
  showBeside(context, l10n.t('Comparison'), result);
}
