/** The language server in a web worker: it reads no disk, and knows the files that the editor hands over. */
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  createConnection,
  ProposedFeatures,
} from 'vscode-languageserver/browser';
import { cancelUndispatched } from './cancellation.ts';
import { now } from './clock.ts';
import { serve } from './serve.ts';

/** The worker's own end of the channel to whoever started it. */
declare const self: ConstructorParameters<typeof BrowserMessageReader>[0];

const connection = createConnection(
  ProposedFeatures.all,
  new BrowserMessageReader(self),
  new BrowserMessageWriter(self),
  { cancelUndispatched },
);
serve(connection, {
  read: () => undefined,
  async *list() {},
  page: () => undefined,
  now,
  // The next message waits in the round after this one: two rounds let it come first.
  later: (work) => setTimeout(() => setTimeout(work)),
});
