/** What one editor and its server share: the workspace, the open documents, and what the editor can take. */
import {
  type ClientCapabilities,
  type Connection,
  type Position,
  PositionEncodingKind,
  type Range,
  type ServerCapabilities,
} from 'vscode-languageserver';
import type { SourceFile } from '../../grammar/index.ts';
import type { DescriptionWishes } from '../features/index.ts';
import { pinnedPhotographs } from '../rebuild/index.ts';
import {
  type Checked,
  configurationsAbove,
  createWorkspace,
  resolveUsed,
  type Workspace,
} from '../workspace/index.ts';
import { ask } from './ask.ts';
import { pathOf, uriOf } from './convert.ts';
import { createFolders, type Folders } from './folders.ts';
import { offsetOf, positionOf } from './positions.ts';
import { defaultSettings, type Settings } from './settings.ts';

/** What the server needs of the machine it runs on. */
export interface Host {
  /** The text of a file that is not open, or undefined when it cannot be read. */
  read(uri: string): string | undefined;
  /** The SHA-256 of a file's bytes in hexadecimal digits, or undefined when it cannot be read. */
  digest?(uri: string): string | undefined;
  /** The URIs of the logs, tables and registers in a folder. */
  list(folder: string): AsyncIterable<string>;
  /** The address of a rule's page, where there is one to open. */
  page(rule: string): string | undefined;
  /** Whether a folder is the top of a repository: no configuration above it counts. */
  isTop?(folder: string): boolean;
  /** The day and time at the bench, `YYYY-MM-DD HH:MM`. */
  now(): string;
  /** Does the work once messages that already wait have been taken. */
  later(work: () => void): void;
}

/** What the protocol has no word for; another editor says nothing of it. */
export interface Extension {
  /** The editor's own command that asks for completion again. */
  readonly askAgain: string | undefined;
  /** Hovers show images. */
  readonly pictures: boolean;
  /** The editor itself keeps those inlay hints that stand on the line of its cursor. */
  readonly keepsLine: boolean;
  /** The editor's own command that lists what refers to a place: a URI and a position. */
  readonly showReferences: string | undefined;
  /** The folder of the rules' pages, where the server cannot look for it. */
  readonly pages: string | undefined;
}

/** Reads it from what an editor sends with `initialize`. */
export function extensionIn(options: unknown): Extension {
  const said: Readonly<Record<string, unknown>> =
    typeof options === 'object' && options !== null ? { ...options } : {};
  const word = (name: string) => {
    const value = said[name];
    return typeof value === 'string' ? value : undefined;
  };
  return {
    askAgain: word('askAgain'),
    pictures: said.pictures === true,
    keepsLine: said.keepsLine === true,
    showReferences: word('showReferences'),
    pages: word('pages'),
  };
}

export interface OpenDocument {
  readonly uri: string;
  readonly version: number;
}

export interface Session {
  readonly connection: Connection;
  readonly host: Host;
  readonly workspace: Workspace;
  /** Open documents by their path in the workspace. */
  readonly open: Map<string, OpenDocument>;
  /** The URI of each document that was ever opened, as the editor writes it. */
  readonly written: Map<string, string>;
  /** The editor's folders, whose files are read though they are not open. */
  readonly folders: Folders;
  /** What the editor can take; empty until it has said so. */
  client: ClientCapabilities;
  /** What our own extension says of its editor. */
  extension: Extension;
  /** What the user chose in the editor. */
  settings: Settings;
  /** What characters of a line are counted in. */
  encoding: PositionEncodingKind;
  /** Where the cursor was when the editor last spoke of a place: the path of the file and the line. */
  cursor: { readonly path: string; readonly line: number } | undefined;
  /** Takes note of the cursor. */
  seen(uri: string, position: Position): void;
  /** When a document was last changed, in ms since 1970. */
  changedAt: number;
  /** Resolves when there is time for work that nobody waits for: messages have been taken, and nobody types. */
  idle(): Promise<void>;
  /** Reads the files that others use and that are not read yet. */
  readUsed(): void;
  /** Reads the `witnessmark.json` that holds for a file, once for each folder. */
  readConfiguration(path: string): void;
  /** Everything about the document at a URI, if the workspace has it. */
  check(uri: string): Checked | undefined;
  /** Reads the photographs that an open log pins, unless they were read since it was opened. */
  readPhotographs(path: string): void;
  /** The text and tree of the document at a URI, without looking for findings. */
  file(uri: string): SourceFile | undefined;
  /** A stretch of a file as the editor counts it. */
  range(file: SourceFile, start: number, end: number): Range;
  /** Where a position of the editor's stands. */
  offset(file: SourceFile, position: Position): number;
  /** The URI of a file, as the editor writes it where that is known. */
  uri(path: string): string;
}

/** How things are described in this editor. */
export function descriptionWishes({ extension, host }: Session): DescriptionWishes {
  return { theme: 'neutral', pictures: extension.pictures, today: host.now().slice(0, 10) };
}

/** One request: what the server promises of it at the start, and how it is answered. */
export interface Request {
  /** What the server says that it can do, given what the editor can take. */
  capabilities(client: ClientCapabilities): ServerCapabilities;
  /** Sets the answer up on the session's connection. */
  attach(session: Session): void;
}

/** Who has not typed for so many ms is not typing. */
const quiet = 150;

/** A session with an empty workspace. */
export function createSession(connection: Connection, host: Host): Session {
  const workspace = createWorkspace();
  let folders: Folders | undefined;
  const looked = new Set<string>();
  const session: Session = {
    connection,
    host,
    workspace,
    open: new Map(),
    written: new Map(),
    get folders() {
      folders ??= createFolders(session);
      return folders;
    },
    client: {},
    extension: extensionIn(undefined),
    settings: defaultSettings,
    encoding: PositionEncodingKind.UTF16,
    cursor: undefined,
    seen(uri, { line }) {
      const { client, connection, extension, settings } = session;
      const path = pathOf(uri);
      if (session.cursor?.path === path && session.cursor.line === line) return;
      session.cursor = { path, line };
      const follows = Object.values(settings.inlayHints).includes('currentLine');
      if (follows && !extension.keepsLine && client.workspace?.inlayHint?.refreshSupport === true)
        ask(session, connection.languages.inlayHint.refresh());
    },
    changedAt: 0,
    idle: () =>
      new Promise((resolve) => {
        const look = () => {
          const wait = session.changedAt + quiet - Date.now();
          if (wait > 0) setTimeout(look, wait);
          else resolve();
        };
        host.later(look);
      }),
    readUsed() {
      for (let wanted = workspace.wanted(); wanted.length > 0; wanted = workspace.wanted())
        for (const path of wanted) {
          const text = host.read(uriOf(path));
          if (text === undefined) workspace.markAbsent(path);
          else workspace.set(path, text);
        }
    },
    readConfiguration(path) {
      const [nearest] = configurationsAbove(path, () => true);
      if (nearest === undefined || looked.has(nearest)) return;
      for (const candidate of configurationsAbove(path, (folder) => host.isTop?.(uriOf(folder)) === true)) {
        if (looked.has(candidate)) return;
        looked.add(candidate);
        const text = host.read(uriOf(candidate));
        if (text !== undefined) workspace.set(candidate, text);
      }
    },
    readPhotographs(path) {
      const rebuild = host.digest === undefined ? undefined : workspace.check(path)?.rebuild;
      const pinned = rebuild === undefined ? [] : [...pinnedPhotographs(rebuild)];
      if (pinned.every((file) => rebuild?.photographs.has(file))) return;
      const digests = pinned.map(
        (file) => [file, host.digest?.(session.uri(resolveUsed(path, file))) ?? null] as const,
      );
      workspace.setPhotographs(path, new Map(digests));
    },
    check: (uri) => workspace.check(pathOf(uri)),
    file: (uri) => workspace.file(pathOf(uri)),
    range: (file, start, end) => ({
      start: positionOf(file, start, session.encoding),
      end: positionOf(file, end, session.encoding),
    }),
    offset: (file, position) => offsetOf(file, position, session.encoding),
    uri: (path) => session.written.get(path) ?? uriOf(path),
  };
  return session;
}
