/** Finds and reads the files that a command works on. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';
import ignore, { type Ignore } from 'ignore';
import { globSync } from 'tinyglobby';
import { configurationsAbove, createWorkspace, normalisePath, type Workspace } from '../workspace/index.ts';
import { Trouble, whyUnreadable } from './trouble.ts';

/** A file or folder that could not be read; the others are still worked on. */
export interface Unreadable {
  readonly path: string;
  readonly reason: string;
}

const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** The text of a file; throws with a plain reason when it cannot be read or is not UTF-8. */
export function readText(path: string): string {
  return decode(readFileSync(path));
}

/** The text of standard input; throws `Trouble` when it cannot be read or is not UTF-8. */
export function readInput(): string {
  try {
    return decode(readFileSync(0));
  } catch (error) {
    throw new Trouble(`standard input: ${whyUnreadable(error)}.`);
  }
}

function decode(bytes: Uint8Array): string {
  try {
    return decoder.decode(bytes);
  } catch {
    throw new Error('it is not UTF-8 text: save it as UTF-8');
  }
}

/** Paths from the working directory, with `/`. */
export function shownPath(path: string): string {
  return normalisePath(relative(process.cwd(), resolve(path)) || '.');
}

/**
 * The logs, tables and registers that the arguments name; folders are searched, and what a `.gitignore` or the
 * configuration leaves out is left out.
 */
export function findFiles(paths: readonly string[]): { files: string[]; unreadable: Unreadable[] } {
  const files = new Set<string>();
  const unreadable: Unreadable[] = [];
  for (const path of paths) {
    try {
      if (statSync(path).isDirectory()) for (const file of filesBelow(path)) files.add(file);
      else files.add(shownPath(path));
    } catch (error) {
      if (error instanceof Trouble) throw error;
      unreadable.push({ path, reason: whyUnreadable(error) });
    }
  }
  return { files: [...files], unreadable };
}

function filesBelow(folder: string): string[] {
  const found = globSync('**/*.{rebuild,limits,bench}', {
    cwd: folder,
    dot: false,
    onlyFiles: true,
    ignore: ['**/node_modules/**', '**/.git/**'],
    expandDirectories: false,
  });
  const rules = new Map<string, Ignore | undefined>();
  return found
    .map((file) => resolve(folder, file))
    .filter((file) => !isIgnored(file, rules))
    .map(shownPath)
    .filter(isWanted())
    .sort();
}

/** Whether the configuration that holds for a file leaves it in; what it cannot say, it does not leave out. */
function isWanted(): (path: string) => boolean {
  const workspace = createWorkspace();
  const matchers = new Map<string, Ignore>();
  return (path) => {
    readConfiguration(workspace, path);
    const { from, exclude } = workspace.settings(path);
    if (from === undefined || exclude === undefined) return true;
    const matcher = matchers.get(from) ?? ignore().add([...exclude]);
    matchers.set(from, matcher);
    return !matcher.ignores(
      relative(dirname(resolve(from)), resolve(path))
        .split(sep)
        .join('/'),
    );
  };
}

/**
 * Reads the `witnessmark.json` that holds for a file, if there is one and the workspace does not have it; throws
 * `Trouble` when it cannot be read.
 */
export function readConfiguration(workspace: Workspace, path: string): void {
  const absolute = normalisePath(resolve(path));
  for (const candidate of configurationsAbove(absolute, isRoot)) {
    const shown = shownPath(candidate);
    if (workspace.file(shown) !== undefined) return;
    if (!existsSync(candidate)) continue;
    try {
      workspace.set(shown, readText(candidate));
    } catch (error) {
      throw new Trouble(`${shown}: ${whyUnreadable(error)}.`);
    }
    return;
  }
}

/** Whether a `.gitignore` leaves out the file or a folder that it lies in, up to the repository's root. */
function isIgnored(file: string, rules: Map<string, Ignore | undefined>): boolean {
  if (isLeftOut(file, '', rules)) return true;
  for (let folder = dirname(file); !isRoot(folder) && dirname(folder) !== folder; folder = dirname(folder))
    if (isLeftOut(folder, '/', rules)) return true;
  return false;
}

/** What the nearest `.gitignore` that speaks of the path says; `slash` is `/` for a folder. */
function isLeftOut(path: string, slash: '' | '/', rules: Map<string, Ignore | undefined>): boolean {
  for (let folder = dirname(path); ; folder = dirname(folder)) {
    if (!rules.has(folder)) rules.set(folder, rulesIn(folder));
    const verdict = rules.get(folder)?.test(relative(folder, path).split(sep).join('/') + slash);
    if (verdict?.ignored === true) return true;
    if (verdict?.unignored === true) return false;
    if (isRoot(folder) || dirname(folder) === folder) return false;
  }
}

function rulesIn(folder: string): Ignore | undefined {
  try {
    return ignore().add(readFileSync(resolve(folder, '.gitignore'), 'utf8'));
  } catch {
    return undefined;
  }
}

function isRoot(folder: string): boolean {
  return statSync(resolve(folder, '.git'), { throwIfNoEntry: false }) !== undefined;
}

/** Reads what the files of a workspace use, until nothing is wanted any more; `read` throws what cannot be read. */
export function readUsed(workspace: Workspace, read: (path: string) => string = readText): void {
  for (let wanted = workspace.wanted(); wanted.length > 0; wanted = workspace.wanted()) {
    for (const path of wanted) {
      try {
        workspace.set(path, read(path));
      } catch {
        workspace.markAbsent(path);
      }
    }
  }
}
