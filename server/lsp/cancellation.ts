/** Answers a request that the editor took back before it was begun, so that it is never begun. */
import { type ConnectionStrategy, LSPErrorCodes, type RequestMessage } from 'vscode-languageserver';

/** How the connection treats a request that still waits when its cancellation arrives. */
export const cancelUndispatched: NonNullable<ConnectionStrategy['cancelUndispatched']> = (message) => ({
  jsonrpc: '2.0',
  id: (message as RequestMessage).id,
  error: { code: LSPErrorCodes.RequestCancelled, message: 'Cancelled by the editor.' },
});
