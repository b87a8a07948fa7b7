/** The language server: keeps the workspace as the editor sees it, and answers from the features. */
import type { Connection, ServerCapabilities } from 'vscode-languageserver';
import { createDiagnostics, diagnosticCapabilities } from './diagnostics.ts';
import { folderCapabilities } from './folders.ts';
import { followGivenFiles, type GivenFiles } from './given-files.ts';
import { encodingFor } from './positions.ts';
import { requests } from './requests.ts';
import { createSession, extensionIn, type Host } from './session.ts';
import { followSettings } from './settings.ts';
import { followConfigurations, synchronisationCapabilities, synchronise, watchFiles } from './synchronise.ts';

/** Serves one editor. */
export function serve(connection: Connection, host: Host): void {
  const given = followGivenFiles(connection);
  const session = createSession(connection, withGiven(host, given));
  let roots: readonly string[] = [];

  connection.onInitialize(({ capabilities: client, initializationOptions, workspaceFolders, rootUri }) => {
    session.client = client;
    session.encoding = encodingFor(client);
    session.extension = extensionIn(initializationOptions);
    given.take(initializationOptions);
    roots = workspaceFolders?.map(({ uri }) => uri) ?? (rootUri ? [rootUri] : []);
    const parts: ServerCapabilities[] = [
      { positionEncoding: session.encoding },
      synchronisationCapabilities,
      folderCapabilities,
      diagnosticCapabilities(client),
      ...requests.map((request) => request.capabilities(client)),
    ];
    const capabilities: ServerCapabilities = Object.assign({}, ...parts);
    // What concerns the workspace is promised by several parts.
    capabilities.workspace = Object.assign({}, ...parts.map(({ workspace }) => workspace));
    return { serverInfo: { name: 'witnessmark' }, capabilities };
  });

  const diagnostics = createDiagnostics(session);

  connection.onInitialized(async () => {
    watchFiles(session);
    followConfigurations(session, roots);
    if (session.client.workspace?.workspaceFolders === true)
      connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
        session.folders.remove(removed.map(({ uri }) => uri));
        session.folders.add(added.map(({ uri }) => uri));
      });
    await followSettings(session, () => diagnostics.settingsChanged());
    session.folders.add(roots);
  });

  synchronise(session, diagnostics);
  for (const request of requests) request.attach(session);
  connection.listen();
}

/** The machine, with the files that the editor hands over beside those on its disk. */
function withGiven(host: Host, given: GivenFiles): Host {
  return {
    ...host,
    read: (uri) => given.read(uri) ?? host.read(uri),
    async *list(folder) {
      yield* given.list(folder);
      yield* host.list(folder);
    },
  };
}
