/** All logs of the editor's folders, for what is told over many of them. */
import type { Checked } from '../workspace/index.ts';
import type { Session } from './session.ts';

/** Every log that the server knows, once the folders are read whole. */
export async function readLogs(session: Session): Promise<readonly Checked[]> {
  await session.folders.whole();
  session.readUsed();
  return session.workspace
    .paths()
    .filter((path) => path.endsWith('.rebuild'))
    .map((path) => session.workspace.check(path))
    .filter((log) => log !== undefined);
}
