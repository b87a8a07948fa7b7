/** Checked sample files for the tests of documents. */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createWorkspace, type Workspace } from '../../server/workspace/index.ts';

const root = join(import.meta.dirname, '../../samples');

/** A workspace with every sample in it, by its path below samples/. */
export function sampleWorkspace(): Workspace {
  const workspace = createWorkspace();
  for (const file of globSync('**/*.{rebuild,limits,bench}', { cwd: root }))
    workspace.set(file.replaceAll('\\', '/'), readFileSync(join(root, file), 'utf8'));
  return workspace;
}

/** The check of one file of a workspace; throws when there is none. */
export function checkedIn(workspace: Workspace, path: string) {
  const checked = workspace.check(path);
  if (checked === undefined) throw new Error(`no such file: ${path}`);
  return checked;
}
