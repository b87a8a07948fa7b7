/** How the extension talks to the language server: which program, over what, about which files. */
import { type ExtensionContext, Uri } from 'vscode';
import {
  CloseAction,
  type ErrorHandler,
  LanguageClient,
  type NodeModule,
  TransportKind,
} from 'vscode-languageclient/node';

import { inlayHintsMiddleware } from './inlay-hints.ts';

const languages = ['rebuild-log', 'rebuild-limits', 'rebuild-bench'];

/**
 * A client that is not started yet. Its server is the bundle beside the extension's own; which files are watched
 * on disk is the server's to ask for.
 */
export function createLanguageClient(context: ExtensionContext): LanguageClient {
  const server: NodeModule = {
    module: Uri.joinPath(context.extensionUri, 'dist', 'server.cjs').fsPath,
    transport: TransportKind.ipc,
  };
  const debugged: NodeModule = { ...server, options: { execArgv: ['--nolazy', '--inspect=6017'] } };
  const client: LanguageClient = new LanguageClient(
    'witnessmark',
    'Witnessmark',
    { run: server, debug: debugged },
    {
      // Not the other side of a comparison: what a file once said is not checked.
      documentSelector: languages.flatMap((language) => [
        { language, scheme: 'file' },
        { language, scheme: 'untitled' },
      ]),
      initializationOptions: {
        askAgain: 'editor.action.triggerSuggest',
        pictures: true,
        showReferences: 'witnessmark.showReferences',
      },
      middleware: inlayHintsMiddleware,
      initializationFailedHandler: () => false,
      errorHandler: restartIfItRan(() => client),
    },
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
