/**
 * The editor's folders: reads every log, table and register in them once, with progress that can be cancelled, so that
 * what is not open is known too.
 */
import {
  LSPErrorCodes,
  ResponseError,
  type ServerCapabilities,
  type WorkDoneProgressServerReporter,
} from 'vscode-languageserver';
import { isExcluded } from '../workspace/index.ts';
import { ask } from './ask.ts';
import { pathOf } from './convert.ts';
import type { Session } from './session.ts';

/** How long messages wait while files are read, and how long a search goes on before it is shown, in ms. */
const slice = 15;
const shownAfter = 400;

export const folderCapabilities: ServerCapabilities = {
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
};

export interface Folders {
  /** The folders that the editor has open; their files are read when there is time. */
  add(uris: readonly string[]): void;
  remove(uris: readonly string[]): void;
  /** Whether a file lies in one of the folders and no configuration leaves it out. */
  holds(path: string): boolean;
  /** The `witnessmark.json` at a path may leave out something else now: what it does is forgotten, the rest read. */
  sortOut(configuration: string): void;
  /**
   * Resolves to true once every file of the folders has been read, to false when the user stopped it. What was
   * stopped goes on from where it was the next time that somebody asks.
   */
  whole(): Promise<boolean>;
  /** Calls `listener` with files that were read, or that may lie in none of the folders any more. */
  onChange(listener: (paths: readonly string[]) => void): void;
}

export function createFolders(session: Session): Folders {
  const { host, workspace, open } = session;
  /** The URI of each folder by its path. */
  const folders = new Map<string, string>();
  /** What each configuration left out when it was looked at last. */
  const excluded = new Map<string, string>();
  /** Folders that are still to be searched, and files that are still to be read. */
  const unlisted: string[] = [];
  const unread: string[] = [];
  let all = 0;
  let running: Promise<boolean> | undefined;
  const listeners: ((paths: readonly string[]) => void)[] = [];

  const isWithin = (path: string) => [...folders.keys()].some((folder) => path.startsWith(`${folder}/`));

  async function readAll(): Promise<boolean> {
    const progress = showLater(session);
    try {
      while (unlisted.length > 0 || unread.length > 0) {
        const folder = unlisted[0];
        if (folder !== undefined) {
          const found: string[] = [];
          try {
            for await (const file of host.list(folder)) {
              found.push(file);
              progress.report(`${found.length} found`);
              if (progress.stopped()) return false;
            }
          } catch {
            // A folder that is not on this machine's disk: its files are known as they are opened.
          }
          unlisted.shift();
          unread.push(...found);
          all += found.length;
          continue;
        }
        for (const listener of listeners) listener(readSome());
        progress.report(`${all - unread.length} of ${all}`, (100 * (all - unread.length)) / all);
        await session.idle();
        if (progress.stopped()) return false;
      }
      return true;
    } finally {
      progress.done();
    }
  }

  /** Reads for as long as a message may wait. */
  function readSome(): string[] {
    const until = Date.now() + slice;
    const paths: string[] = [];
    do {
      const uri = unread.shift();
      if (uri === undefined) break;
      const path = pathOf(uri);
      session.readConfiguration(path);
      if (isExcluded(workspace.settings(path), path)) continue;
      // What is open, or was read because something uses it, is as it should be.
      if (open.has(path) || workspace.file(path) !== undefined) {
        paths.push(path);
        continue;
      }
      const text = host.read(uri);
      if (text === undefined) continue;
      workspace.set(path, text);
      paths.push(path);
    } while (Date.now() < until);
    session.readUsed();
    return paths;
  }

  function whole(): Promise<boolean> {
    running ??= readAll().finally(() => {
      running = undefined;
    });
    return running;
  }

  return {
    add(uris) {
      for (const uri of uris) {
        const path = pathOf(uri);
        if (folders.has(path)) continue;
        folders.set(path, uri);
        unlisted.push(uri);
      }
      if (unlisted.length > 0) host.later(() => void whole());
    },
    remove(uris) {
      for (const uri of uris) folders.delete(pathOf(uri));
      for (const listener of listeners) listener(workspace.paths());
    },
    holds: (path) => isWithin(path) && !isExcluded(workspace.settings(path), path),
    sortOut(configuration) {
      const now = JSON.stringify(workspace.settings(configuration).exclude ?? []);
      if (excluded.get(configuration) === now) return;
      excluded.set(configuration, now);
      const out = workspace
        .paths()
        .filter((path) => !open.has(path) && isWithin(path) && isExcluded(workspace.settings(path), path));
      for (const path of out) workspace.forget(path);
      for (const listener of listeners) listener(out);
      unlisted.push(...folders.values());
      if (unlisted.length > 0) host.later(() => void whole());
    },
    whole: () => (unlisted.length === 0 && unread.length === 0 ? Promise.resolve(true) : whole()),
    onChange: (listener) => void listeners.push(listener),
  };
}

/** Progress that the editor shows only if the work takes a while, with a button that stops it. */
function showLater(session: Session) {
  const { client, connection } = session;
  const began = Date.now();
  const can = client.window?.workDoneProgress === true;
  let shown: WorkDoneProgressServerReporter | undefined;
  let asked = false;
  let over = false;
  return {
    report(message: string, percentage?: number) {
      if (can && !asked && Date.now() - began > shownAfter) {
        asked = true;
        const shows = connection.window.createWorkDoneProgress().then((progress) => {
          if (over) return;
          progress.begin('Reading logs', 0, message, true);
          shown = progress;
        });
        ask(session, shows);
      }
      if (percentage === undefined) shown?.report(message);
      else shown?.report(Math.floor(percentage), message);
    },
    stopped: () => shown?.token.isCancellationRequested === true,
    done() {
      over = true;
      shown?.done();
    },
  };
}

/**
 * Waits until every file of the folders is known, for an answer that would be wrong without; false when the user
 * stopped that. Throws when the document has changed meanwhile: its positions mean something else now.
 */
export async function wholeFor(session: Session, uri: string): Promise<boolean> {
  const versionOf = () => session.open.get(pathOf(uri))?.version;
  const version = versionOf();
  const whole = await session.folders.whole();
  if (versionOf() !== version)
    throw new ResponseError(LSPErrorCodes.ContentModified, 'The document has changed meanwhile.');
  return whole;
}
