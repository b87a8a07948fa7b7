/** Requests to the editor that nothing waits for. */
import type { Session } from './session.ts';

/** Sees a request through. An editor that refuses it, or fails at it, is worth a line in its log and no more. */
export function ask({ connection }: Pick<Session, 'connection'>, request: Promise<unknown>): void {
  request.catch((error: unknown) => {
    connection.console.warn(`The editor refused: ${error instanceof Error ? error.message : String(error)}`);
  });
}
