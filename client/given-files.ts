/**
 * Hands the server the files that it cannot read for itself: all of them in a browser, those that lie on no disk of
 * this machine elsewhere.
 */
import { type Disposable, FileType, l10n, RelativePattern, Uri, workspace } from 'vscode';
import type { BaseLanguageClient, Middleware } from 'vscode-languageclient';
import { type GivenFile, givenMethod } from './requests.ts';

const kinds = /\.(?:rebuild|limits|bench)$|\/witnessmark\.json$/;
const pattern = '**/{*.rebuild,*.limits,*.bench,witnessmark.json}';
const passedOver = '**/{node_modules,.*}/**';

/** How much is handed over: it is all read before the first line is checked, and kept in memory. */
const most = { files: 1000, bytes: 8_000_000, folders: 200 } as const;
/** Files that are read at once. */
const together = 16;

export interface GivenFiles {
  /** What the server is started with. */
  readonly files: readonly GivenFile[];
  /** Keeps what is handed over as the files are: for the client's options. */
  readonly middleware: Middleware;
  /** Reads the files of the editor's folders anew; gives a sentence on what was left out, if anything was. */
  read(): Promise<string | undefined>;
  /** Tells the running server of what is saved. */
  follow(client: BaseLanguageClient): Disposable;
}

/** `isNeeded` says of which files the server is told. */
export function createGivenFiles(isNeeded: (uri: Uri) => boolean): GivenFiles {
  let files: readonly GivenFile[] = [];
  let client: BaseLanguageClient | undefined;

  async function give(given: readonly GivenFile[]): Promise<void> {
    if (given.length > 0 && client?.isRunning() === true)
      await client.sendNotification(givenMethod, { files: given });
  }

  return {
    get files() {
      return files;
    },
    middleware: {
      workspace: {
        didChangeWatchedFile: async (event, next) => {
          const uri = Uri.parse(event.uri);
          if (isNeeded(uri)) await give([{ uri: event.uri, text: (await textOf(uri)) ?? null }]);
          await next(event);
        },
        didChangeWorkspaceFolders: async (event, next) => {
          const folders = event.added.map(({ uri }) => uri).filter(isNeeded);
          await give((await readFolders(folders)).files);
          await next(event);
        },
      },
    },
    async read() {
      const folders = (workspace.workspaceFolders ?? []).map(({ uri }) => uri).filter(isNeeded);
      const { files: found, leftOut } = await readFolders(folders);
      files = found;
      return leftOut;
    },
    follow(running) {
      client = running;
      return workspace.onDidSaveTextDocument((document) => {
        if (isNeeded(document.uri) && kinds.test(document.uri.path))
          void give([{ uri: document.uri.toString(), text: document.getText() }]);
      });
    },
  };
}

interface ReadFiles {
  readonly files: readonly GivenFile[];
  readonly leftOut: string | undefined;
}

async function readFolders(folders: readonly Uri[]): Promise<ReadFiles> {
  const found = (await Promise.all(folders.map(filesBelow))).flat();
  // What logs are judged by comes first: tables, registers, the settings.
  const uris = [...found.filter((uri) => !isLog(uri)), ...found.filter(isLog)].slice(0, most.files);
  const files: GivenFile[] = [];
  let bytes = 0;
  while (uris.length > 0 && bytes < most.bytes) {
    for (const { uri, text } of await Promise.all(uris.splice(0, together).map(read))) {
      if (text === undefined || bytes + text.length > most.bytes) continue;
      bytes += text.length;
      files.push({ uri: uri.toString(), text });
    }
  }
  return { files, leftOut: files.length < found.length ? leftOut(files.length, found.length) : undefined };
}

function leftOut(taken: number, all: number): string {
  return l10n.t(
    'Only {0} of at least {1} logs, tables and registers were read: those that are not open go unchecked, and a log that uses one of them is told that it is missing. Open a smaller folder.',
    taken,
    all,
  );
}

const isLog = (uri: Uri) => uri.path.endsWith('.rebuild');

async function read(uri: Uri): Promise<{ readonly uri: Uri; readonly text: string | undefined }> {
  return { uri, text: await textOf(uri) };
}

/** Undefined when it cannot be read. A byte order mark stays, as where the server reads for itself. */
async function textOf(uri: Uri): Promise<string | undefined> {
  try {
    return new TextDecoder('utf-8', { ignoreBOM: true }).decode(await workspace.fs.readFile(uri));
  } catch {
    return undefined;
  }
}

/** The logs, tables and registers in a folder; where the editor cannot search, by going through it. */
async function filesBelow(folder: Uri): Promise<readonly Uri[]> {
  const found = await workspace.findFiles(new RelativePattern(folder, pattern), passedOver, most.files + 1);
  return found.length > 0 ? found : await goThrough(folder);
}

async function goThrough(folder: Uri): Promise<readonly Uri[]> {
  const found: Uri[] = [];
  const folders = [folder];
  for (let looked = 0; looked < most.folders && found.length <= most.files; looked++) {
    const next = folders.shift();
    if (next === undefined) break;
    for (const [name, type] of await entriesOf(next)) {
      if (name.startsWith('.') || name === 'node_modules') continue;
      const uri = Uri.joinPath(next, name);
      if (type === FileType.Directory) folders.push(uri);
      else if (kinds.test(uri.path)) found.push(uri);
    }
  }
  return found;
}

async function entriesOf(folder: Uri): Promise<readonly [string, FileType][]> {
  try {
    return await workspace.fs.readDirectory(folder);
  } catch {
    return [];
  }
}
