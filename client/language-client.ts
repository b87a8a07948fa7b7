/** How the extension talks to the language server on Node: which program, and over what. */
import { type ExtensionContext, Uri } from 'vscode';
import {
  CloseAction,
  type ErrorHandler,
  LanguageClient,
  type NodeModule,
  TransportKind,
} from 'vscode-languageclient/node';
import type { GivenFiles } from './given-files.ts';
import { clientOptions } from './start.ts';

/**
 * A client that is not started yet. Its server is the bundle beside the extension's own.
 */
export function createLanguageClient(context: ExtensionContext, given: GivenFiles): LanguageClient {
  const server: NodeModule = {
    module: Uri.joinPath(context.extensionUri, 'dist', 'server.cjs').fsPath,
    transport: TransportKind.ipc,
  };
  const debugged: NodeModule = { ...server, options: { execArgv: ['--nolazy', '--inspect=6017'] } };
  const client: LanguageClient = new LanguageClient(
    'witnessmark',
    'Witnessmark',
    { run: server, debug: debugged },
    { ...clientOptions(given), errorHandler: restartIfItRan(() => client) },
  );
  return client;
}

/**
 * Restarts a server that ended while at work, as often as is usual. One that never came up would only end again,
 * and the failed start is told by itself.
 */
function restartIfItRan(client: () => LanguageClient): ErrorHandler {
  let usual: ErrorHandler | undefined;
  const usualHandler = () => {
    usual ??= client().createDefaultErrorHandler();
    return usual;
  };
  return {
    error: (error, message, count) => usualHandler().error(error, message, count),
    closed: () =>
      client().initializeResult === undefined
        ? { action: CloseAction.DoNotRestart, handled: true }
        : usualHandler().closed(),
  };
}
