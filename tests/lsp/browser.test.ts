/** The server of the browser-only editor, bundled as it is shipped, in a place that has what a web worker has and no Node. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import vm from 'node:vm';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { createMessageConnection, type DataCallback, type Message } from 'vscode-jsonrpc/node';
import { type Diagnostic, DiagnosticSeverity, type PublishDiagnosticsParams } from 'vscode-languageserver';
import { startEditor } from './editor.ts';

/** Where a repository lies that is browsed without a copy on a disk. */
const ROOT = 'vscode-vfs://github/harbour/logs';
const PAGES = 'https://harbour.example/pages';
const SAMPLE = ['tern-460/0122-first-rebuild.rebuild', 'tern-460/harbour.bench', 'tern-460/tern-460.limits'];
const BENCH = 'bench "Harbour workshop"\ntool TW1 "wrench" range 10..60 N·m\n';
const LOG =
  'log "Tern"\nuse "../harbour.bench"\nperson AQ "Ada Quill" builder\nfastener a[1..2] torque 24 N·m\nstep "S" 2026-05-02 14:00 by AQ with TW1\n  torque a[1 2] to 24 N·m\n';

let dist: string;
beforeAll(() => {
  dist = mkdtempSync(join(tmpdir(), 'witnessmark-browser-'));
  const { status, stderr } = spawnSync(process.execPath, ['build.mjs', '--into', dist], { encoding: 'utf8' });
  expect(status, stderr).toBe(0);
});
afterAll(() => rmSync(dist, { recursive: true, force: true }));

/** Starts the worker's program with nothing but what it may use, and hands it these files. */
async function startWorker(files: Readonly<Record<string, string>>) {
  const self: {
    onmessage?: (event: { data: unknown }) => void;
    postMessage(message: unknown): void;
    addEventListener(): void;
  } = {
    postMessage: (message) => setTimeout(() => toEditor?.(structuredClone(message) as Message)),
    addEventListener: () => undefined,
  };
  let toEditor: DataCallback | undefined;
  vm.runInNewContext(readFileSync(join(dist, 'browser-server.js'), 'utf8'), {
    self,
    ...{ console, crypto, queueMicrotask, setInterval, clearInterval, setTimeout, clearTimeout },
    ...{ TextEncoder, TextDecoder },
  });
  const nothing = { dispose: () => undefined };
  const event = () => nothing;
  const connection = createMessageConnection(
    {
      listen: (callback: DataCallback) => {
        toEditor = callback;
        return nothing;
      },
      ...{ onError: event, onClose: event, onPartialMessage: event, dispose: () => undefined },
    },
    {
      write: async (message: Message) => {
        setTimeout(() => self.onmessage?.({ data: structuredClone(message) }));
      },
      ...{ onError: event, onClose: event, end: () => undefined, dispose: () => undefined },
    },
  );
  const published = new Map<string, readonly Diagnostic[]>();
  let look: () => void = () => undefined;
  connection.onNotification('textDocument/publishDiagnostics', (one: PublishDiagnosticsParams) => {
    published.set(one.uri, one.diagnostics);
    look();
  });
  connection.onRequest('window/workDoneProgress/create', () => null);
  connection.listen();
  const given = Object.entries(files).map(([name, text]) => ({ uri: `${ROOT}/${name}`, text }));
  await connection.sendRequest('initialize', {
    processId: null,
    rootUri: ROOT,
    capabilities: {},
    initializationOptions: { files: given, pages: PAGES },
  });
  await connection.sendNotification('initialized', {});
  return {
    connection,
    /** Resolves once what is published of a file is as wanted. */
    found: (name: string, wanted: (codes: readonly unknown[]) => boolean) =>
      new Promise<readonly Diagnostic[]>((resolve) => {
        look = () => {
          const diagnostics = published.get(`${ROOT}/${name}`);
          if (diagnostics !== undefined && wanted(diagnostics.map(({ code }) => code))) resolve(diagnostics);
        };
        look();
      }),
  };
}

/** Diagnostics as text, whatever the folder of the files and of the pages. */
function placeless(diagnostics: readonly Diagnostic[], folder: string): string {
  return JSON.stringify(diagnostics, null, 1)
    .replaceAll(folder, 'FOLDER')
    .replace(/"href": ".*\/([a-z-]+\.md)"/g, '"href": "$1"');
}

test('what is found in a sample is what the server over standard output finds', async () => {
  const files = Object.fromEntries(SAMPLE.map((name) => [name, readFileSync(`samples/${name}`, 'utf8')]));
  const log = SAMPLE[0]!;

  const editor = await startEditor(join(dist, 'server.cjs'), {}, (write) => {
    for (const [name, text] of Object.entries(files)) write(name, text);
  });
  const onDisk = await editor.diagnostics((one) => one.uri.endsWith(log));
  const folder = onDisk.uri.slice(0, -log.length - 1);
  await editor.close();

  const worker = await startWorker(files);
  const uri = `${ROOT}/${log}`;
  await worker.connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'rebuild-log', version: 1, text: files[log] },
  });
  const inWorker = await worker.found(log, () => true);
  expect(inWorker.length).toBeGreaterThan(5);
  expect(inWorker.map(({ codeDescription }) => codeDescription?.href)).toContain(
    `${PAGES}/${inWorker[0]!.code}.md`,
  );
  expect(placeless(inWorker, ROOT)).toBe(placeless(onDisk.diagnostics, folder));
});

test('a file that is not open is checked, and again when the editor hands over another text of it', async () => {
  const worker = await startWorker({
    'harbour.bench': BENCH,
    'logs/a.rebuild': LOG.replace('to 24', 'to 240'),
  });
  await worker.found('logs/a.rebuild', (codes) => codes.includes('torque-out-of-spec'));
  const uri = `${ROOT}/logs/a.rebuild`;
  const change = async (text: string | null, name: string) => {
    await worker.connection.sendNotification('witnessmark/given', {
      files: [{ uri: `${ROOT}/${name}`, text }],
    });
    await worker.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: `${ROOT}/${name}`, type: text === null ? 3 : 2 }],
    });
  };
  await change(LOG, 'logs/a.rebuild');
  await worker.found('logs/a.rebuild', (codes) => !codes.includes('torque-out-of-spec'));
  await change(null, 'harbour.bench');
  await worker.found('logs/a.rebuild', (codes) => codes.includes('import-missing'));
  const report = await worker.connection.sendRequest<string>('witnessmark/reportPage', { uri });
  expect(report).toContain('<title>');
});

test('witnessmark.json holds for the logs below it', async () => {
  const worker = await startWorker({
    'harbour.bench': BENCH,
    'logs/a.rebuild': LOG.replace('to 24', 'to 240'),
    'witnessmark.json': '{ "severities": { "torque-out-of-spec": "information" } }\n',
  });
  const found = await worker.found('logs/a.rebuild', (codes) => codes.includes('torque-out-of-spec'));
  expect(found.find(({ code }) => code === 'torque-out-of-spec')?.severity).toBe(
    DiagnosticSeverity.Information,
  );
});

test('the server on Node takes what lies on no disk too', async () => {
  const editor = await startEditor(join(dist, 'server.cjs'));
  const given = [{ uri: `${ROOT}/harbour.bench`, text: BENCH }];
  await editor.connection.sendNotification('witnessmark/given', { files: given });
  await editor.open(
    `${ROOT}/logs/a.rebuild`,
    LOG.replace('../harbour', '../absent').replace('to 24', 'to 240'),
  );
  await editor.open(`${ROOT}/logs/b.rebuild`, LOG.replace('to 24', 'to 240'));
  const codesOf = async (name: string) =>
    (await editor.diagnostics((one) => one.uri === `${ROOT}/logs/${name}`)).diagnostics.map(
      ({ code }) => code,
    );
  expect(await codesOf('a.rebuild')).toContain('import-missing');
  expect(await codesOf('b.rebuild')).not.toContain('import-missing');
  await editor.close();
});

test('what an editor hands over amiss is passed over', async () => {
  const worker = await startWorker({ 'a.rebuild': 'log "Tern"\nuse "b.limits"\n' });
  await worker.found('a.rebuild', (codes) => codes.includes('import-missing'));
  await worker.connection.sendNotification('witnessmark/given', { files: 'all' });
  await worker.connection.sendNotification('witnessmark/given', {
    files: [null, { uri: 1 }, { uri: `${ROOT}/b.limits`, text: 'limits "Tern"\n' }],
  });
  await worker.connection.sendNotification('workspace/didChangeWatchedFiles', {
    changes: [{ uri: `${ROOT}/b.limits`, type: 1 }],
  });
  await worker.found('a.rebuild', (codes) => !codes.includes('import-missing'));
});
