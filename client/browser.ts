/** The extension's entry in a browser: the language server in a web worker, which is handed every file. */
import { type ExtensionContext, Uri, workspace } from 'vscode';
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
      worker = await startWorker(Uri.joinPath(bundles, 'browser-server.js'));
      return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
    },
    clientOptions(given, Uri.joinPath(bundles, 'rules').toString()),
  );
  await startExtension(context, client, given);
}

/** The editor starts no worker from the address of an extension that its own server keeps: there, from the text. */
async function startWorker(program: Uri): Promise<InstanceType<typeof Worker>> {
  if (program.scheme !== 'vscode-remote') return new Worker(program.toString(true));
  const text = new Uint8Array(await workspace.fs.readFile(program));
  return new Worker(URL.createObjectURL(new Blob([text], { type: 'text/javascript' })));
}

export async function deactivate(): Promise<void> {
  await client?.dispose();
  client = undefined;
  worker?.terminate();
  worker = undefined;
}
