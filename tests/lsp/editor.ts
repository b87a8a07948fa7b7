/** Starts the real server, bundled as it is shipped, and talks to it over standard input and output as an editor does. */
import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { buildSync } from 'esbuild';
import {
  createMessageConnection,
  type MessageConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-jsonrpc/node';
import type { InitializeResult, PublishDiagnosticsParams, Registration } from 'vscode-languageserver';

export interface Bundle {
  readonly folder: string;
  readonly server: string;
}

/** Bundles the server with the pages beside it, in a folder of its own. */
export function bundleServer(): Bundle {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-server-'));
  const server = join(folder, 'server.cjs');
  buildSync({
    entryPoints: ['server/lsp/main-node.ts'],
    outfile: server,
    bundle: true,
    alias: { 'jsonc-parser': 'jsonc-parser/lib/esm/main.js' },
    platform: 'node',
    format: 'cjs',
    target: 'node22',
    logLevel: 'warning',
    loader: { '.md': 'text' },
    define: { 'process.env.WITNESSMARK_PRODUCTION': '"1"' },
  });
  mkdirSync(join(folder, 'rules'));
  for (const name of readdirSync('server/rules'))
    if (name.endsWith('.md')) cpSync(join('server/rules', name), join(folder, 'rules', name));
  return { folder, server };
}

export interface Editor {
  readonly connection: MessageConnection;
  readonly capabilities: InitializeResult['capabilities'];
  /** Every set of diagnostics that was published, in order. */
  readonly published: readonly PublishDiagnosticsParams[];
  /** What the server wrote into the editor's log. */
  readonly logged: readonly string[];
  /** What the server asked for once it ran. */
  readonly registered: readonly Registration[];
  /** Writes a file on disk and gives its URI. */
  write(name: string, text: string): string;
  open(uri: string, text: string, version?: number): Promise<void>;
  change(uri: string, version: number, changes: readonly object[]): Promise<void>;
  /** The next published diagnostics that `wanted` accepts, those already there included. */
  diagnostics(wanted: (one: PublishDiagnosticsParams) => boolean): Promise<PublishDiagnosticsParams>;
  close(): Promise<void>;
}

/**
 * Starts an editor with these client capabilities on the server at `path`, in a folder of its own; `fill` writes what
 * the folder holds from the start; `refuses` makes it answer with an error whatever the server asks.
 */
export async function startEditor(
  path: string,
  capabilities: object = {},
  fill: (write: Editor['write']) => void = () => undefined,
  refuses = false,
): Promise<Editor> {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-logs-'));
  const write = (name: string, text: string) => {
    const file = join(folder, name);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
    return pathToFileURL(file).href;
  };
  fill(write);
  const child: ChildProcess = spawn(process.execPath, [path, '--stdio'], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout!),
    new StreamMessageWriter(child.stdin!),
  );
  const published: PublishDiagnosticsParams[] = [];
  const waiting = new Set<() => void>();
  connection.onNotification('textDocument/publishDiagnostics', (one: PublishDiagnosticsParams) => {
    published.push(one);
    for (const look of [...waiting]) look();
  });
  const logged: string[] = [];
  connection.onNotification('window/logMessage', ({ message }: { message: string }) => {
    logged.push(message);
  });
  const registered: Registration[] = [];
  if (refuses)
    connection.onRequest(() => {
      throw new Error('not here');
    });
  else {
    connection.onRequest(
      'client/registerCapability',
      ({ registrations }: { registrations: readonly Registration[] }) => {
        registered.push(...registrations);
        return null;
      },
    );
    connection.onRequest('workspace/inlayHint/refresh', () => null);
    connection.onRequest('workspace/diagnostic/refresh', () => null);
    connection.onRequest('window/workDoneProgress/create', () => null);
  }
  connection.listen();
  const result = await connection.sendRequest<InitializeResult>('initialize', {
    processId: process.pid,
    rootUri: pathToFileURL(folder).href,
    capabilities,
  });
  await connection.sendNotification('initialized', {});
  return {
    connection,
    capabilities: result.capabilities,
    published,
    logged,
    registered,
    write,
    open: (uri, text, version = 1) =>
      connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri, languageId: 'rebuild-log', version, text },
      }),
    change: (uri, version, contentChanges) =>
      connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version },
        contentChanges,
      }),
    diagnostics: (wanted) =>
      new Promise((resolve) => {
        const look = () => {
          const found = published.find(wanted);
          if (found === undefined) return;
          waiting.delete(look);
          resolve(found);
        };
        waiting.add(look);
        look();
      }),
    async close() {
      await connection.sendRequest('shutdown');
      await connection.sendNotification('exit');
      await new Promise((resolve) => child.once('exit', resolve));
      connection.dispose();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
