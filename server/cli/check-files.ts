/** Reads and checks files one after another, and keeps of each only what was found. */
import { pinnedPhotographs } from '../rebuild/index.ts';
import { createWorkspace, type Workspace } from '../workspace/index.ts';
import { isLog, readConfiguration, readText, readUsed, type Unreadable } from './files.ts';
import { type LocatedFile, located } from './formats/located.ts';
import { photoDigest } from './photographs.ts';
import { whyUnreadable } from './trouble.ts';

export interface FileChecker {
  readonly workspace: Workspace;
  /** Reads files with all that they use, before any is checked; returns those that could not be read. */
  read(paths: readonly string[]): readonly Unreadable[];
  /** Checks a file, which is read if it was not; throws `Trouble` when its configuration cannot be read. */
  check(path: string): LocatedFile | Unreadable;
  /** What is wrong with the configurations of the files that were checked; those in order are left out. */
  configurations(): readonly LocatedFile[];
}

/** `forgetting`: a log that no other uses goes from memory once it is checked. */
export function createFileChecker(forgetting: boolean): FileChecker {
  const workspace = createWorkspace();
  const configurations = new Set<string>();
  const set = (path: string): Unreadable | undefined => {
    if (workspace.file(path) !== undefined) return undefined;
    try {
      workspace.set(path, readText(path));
      return undefined;
    } catch (error) {
      return { path, reason: whyUnreadable(error) };
    }
  };
  const checkLocated = (path: string): LocatedFile | undefined => {
    let checked = workspace.check(path);
    const pinned = checked === undefined ? undefined : pinnedPhotographs(checked.rebuild);
    if (pinned !== undefined && pinned.size > 0) {
      workspace.setPhotographs(
        path,
        new Map([...pinned].map((file) => [file, photoDigest(path, file) ?? null])),
      );
      checked = workspace.check(path);
    }
    return checked === undefined ? undefined : located(checked, workspace);
  };
  return {
    workspace,
    read(paths) {
      const unreadable = paths.map(set).filter((one) => one !== undefined);
      readUsed(workspace);
      return unreadable;
    },
    check(path) {
      const unreadable = set(path);
      if (unreadable !== undefined) return unreadable;
      // A log that was cut to nothing, or made a comment whole, must not pass for one in which nothing is wrong.
      const text = workspace.file(path)?.text ?? '';
      if (isLog(path) && !/^[^\S\n]*[^\s#]/m.test(text)) {
        const held = text.trim() === '' ? 'is empty' : 'holds nothing but comments';
        return { path, reason: `it ${held}, and a log begins with log "what is rebuilt"` };
      }
      readUsed(workspace);
      readConfiguration(workspace, path);
      const { from } = workspace.settings(path);
      if (from !== undefined) configurations.add(from);
      const file = checkLocated(path) ?? { path, state: null, findings: [] };
      if (forgetting && isLog(path)) workspace.forget(path);
      return file;
    },
    configurations: () =>
      [...configurations]
        .map(checkLocated)
        .filter((file) => file !== undefined)
        .filter(({ findings }) => findings.length > 0),
  };
}
