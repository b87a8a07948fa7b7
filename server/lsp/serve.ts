/** The language server: keeps the workspace as the editor sees it, and answers from the features. */
import type { Connection, ServerCapabilities } from 'vscode-languageserver';
import { createDiagnostics, diagnosticCapabilities } from './diagnostics.ts';
import { encodingFor } from './positions.ts';
import { requests } from './requests.ts';
import { createSession, type Host } from './session.ts';
import { synchronisationCapabilities, synchronise } from './synchronise.ts';

/** Serves one editor. */
export function serve(connection: Connection, host: Host): void {
  const session = createSession(connection, host);

  connection.onInitialize(({ capabilities: client }) => {
    session.client = client;
    session.encoding = encodingFor(client);
    const capabilities: ServerCapabilities = Object.assign(
      { positionEncoding: session.encoding },
      synchronisationCapabilities,
      diagnosticCapabilities(client),
      ...requests.map((request) => request.capabilities(client)),
    );
    return { serverInfo: { name: 'witnessmark' }, capabilities };
  });

  synchronise(session, createDiagnostics(session));
  for (const request of requests) request.attach(session);
  connection.listen();
}
