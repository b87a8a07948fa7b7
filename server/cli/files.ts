/** Finds and reads the files that a command works on. */
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';
import ignore, { type Ignore } from 'ignore';
import { globSync } from 'tinyglobby';
import {
  configurationsAbove,
  createWorkspace,
  isExcluded,
  normalisePath,
  type Workspace,
} from '../workspace/index.ts';
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
  return (path) => {
    readConfiguration(workspace, path);
    const { from, ...settings } = workspace.settings(path);
    if (from === undefined) return true;
    return !isExcluded({ ...settings, from: normalisePath(resolve(from)) }, normalisePath(resolve(path)));
  };
}

/** The folders whose configuration a workspace has, or that have none: files of one folder share it. */
const sought = new WeakMap<Workspace, Set<string>>();

/**
 * Reads the `witnessmark.json` that holds for a file, if there is one and the workspace does not have it; throws
 * `Trouble` when it cannot be read.
 */
export function readConfiguration(workspace: Workspace, path: string): void {
  const absolute = normalisePath(resolve(path));
  const folders = sought.get(workspace) ?? new Set();
  sought.set(workspace, folders);
  const folder = dirname(absolute);
  if (folders.has(folder)) return;
  folders.add(folder);
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

/** The names of the logs, tables and registers in a folder; none where it cannot be read. */
function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder).filter((name) => /\.(rebuild|limits|bench)$/.test(name));
  } catch {
    return [];
  }
}

/** Reads what the files of a workspace use, until nothing is wanted any more; `read` throws what cannot be read. */
export function readUsed(workspace: Workspace, read: (path: string) => string = readText): void {
  for (let wanted = workspace.wanted(); wanted.length > 0; wanted = workspace.wanted()) {
    for (const path of wanted) {
      try {
        workspace.set(path, read(path));
      } catch {
        workspace.markAbsent(path, namesIn(dirname(path)));
      }
    }
  }
}

/** Files that a workspace has read with all that they use. */
export interface ReadFiles {
  readonly workspace: Workspace;
  /** Those that could be read, in order. */
  readonly read: readonly string[];
  readonly unreadable: readonly Unreadable[];
}

/** Reads the files at the paths (without any, those of the current folder) as far as `wanted` takes them. */
export function readFiles(
  paths: readonly string[],
  wanted: (path: string) => boolean = () => true,
): ReadFiles {
  const workspace = createWorkspace();
  const found = findFiles(paths.length === 0 ? ['.'] : paths);
  const unreadable = [...found.unreadable];
  const read: string[] = [];
  for (const path of found.files.filter(wanted)) {
    try {
      workspace.set(path, readText(path));
      read.push(path);
    } catch (error) {
      unreadable.push({ path, reason: whyUnreadable(error) });
    }
  }
  readUsed(workspace);
  return { workspace, read, unreadable };
}

export const isLog = (path: string): boolean => path.endsWith('.rebuild');

/** Tells on standard error what could not be read. */
export function tellUnreadable(unreadable: readonly Unreadable[]): void {
  for (const { path, reason } of unreadable) process.stderr.write(`witnessmark: ${path}: ${reason}.\n`);
}

/** Writes a document to a file, or to standard output; never over a log, a table of limits or a register. */
export function writeDocument(text: string, output: string | undefined): void {
  if (output === undefined) {
    process.stdout.write(text);
    return;
  }
  refuseRecorded(output);
  try {
    writeFileSync(output, text);
  } catch (error) {
    throw new Trouble(`${output} cannot be written: ${whyUnreadable(error)}.`);
  }
}

/** A document is made again at will; what the tool reads is not. */
export function refuseRecorded(output: string): void {
  if (/\.(rebuild|limits|bench)$/i.test(output))
    throw new Trouble(`${output}: it is not written over a log, a table of limits or a register.`);
}
