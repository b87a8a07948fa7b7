/** Every log that the server knows, once the editor's folders are read. */
import type { Checked } from '../workspace/index.ts';
import type { Session } from './session.ts';

/** Their paths are names for a reader: an address says more than he wants to know. */
export async function readLogs(session: Session): Promise<readonly Checked[]> {
  await session.folders.whole();
  session.readUsed();
  return session.workspace
    .paths()
    .filter((path) => path.endsWith('.rebuild'))
    .map((path) => session.workspace.check(path))
    .filter((log) => log !== undefined);
}

/** The name of a file, of an address. */
export function nameOf(path: string): string {
  return decodeURIComponent(path.slice(path.lastIndexOf('/') + 1));
}
