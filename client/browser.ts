/** The extension's entry in a browser: the language server in a web worker, which is handed every file. */
import { type ExtensionContext, Uri } from 'vscode';
import { BrowserMessageReader, BrowserMessageWriter, LanguageClient } from 'vscode-languageclient/browser';
import { createGivenFiles } from './given-files.ts';
import { clientOptions, startExtension } from './start.ts';

type Port = ConstructorParameters<typeof BrowserMessageReader>[0];
declare const Worker: new (address: string) => Port & { terminate(): void };

let client: LanguageClient | undefined;
let worker: InstanceType<typeof Worker> | undefined;

/** Resolves when the server runs, or when the user was told that it does not. */
export async function activate(context: ExtensionContext): Promise<void> {
  const given = createGivenFiles(() => true);
  const bundles = Uri.joinPath(context.extensionUri, 'dist');
  client = new LanguageClient(
    'witnessmark',
    'Witnessmark',
    async () => {
      // A worker does not end when its server is told to.
      worker?.terminate();
      worker = new Worker(Uri.joinPath(bundles, 'browser-server.js').toString(true));
      return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
    },
    clientOptions(given, Uri.joinPath(bundles, 'rules').toString()),
  );
  await startExtension(context, client, given);
}

export async function deactivate(): Promise<void> {
  await client?.dispose();
  client = undefined;
  worker?.terminate();
  worker = undefined;
}
