/** A folder of logs, most of them not open: what is found in them, what reaches them, and how reading them is shown. */
import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type {
  Location,
  PublishDiagnosticsParams,
  SymbolInformation,
  WorkDoneProgressBegin,
  WorkDoneProgressEnd,
  WorkDoneProgressReport,
  WorkspaceDiagnosticReport,
  WorkspaceEdit,
} from 'vscode-languageserver';
import { type Bundle, bundleServer, type Editor, startEditor } from './editor.ts';

const BENCH = 'bench "Harbour workshop"\ntool TW1 "wrench" range 10..60 N·m\n';
const LOG =
  'log "Tern"\nuse "harbour.bench"\nperson AQ "Ada Quill" builder\nfastener a[1..2] torque 24 N·m\n';
const SLIP = `${LOG}step "S" 2026-05-02 14:00 by AQ with TW1\n  torque a[1 2] to 240 N·m\n`;

let bundle: Bundle;
let editor: Editor;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));
afterEach(() => editor.close());

/** Starts a server on a folder that holds these files already. */
async function openFolder(files: Readonly<Record<string, string>>, capabilities: object = {}) {
  const uris: Record<string, string> = {};
  editor = await startEditor(bundle.server, capabilities, (write) => {
    for (const [name, text] of Object.entries(files)) uris[name] = write(name, text);
  });
  return uris;
}

const ask = <T>(method: string, params: object) => editor.connection.sendRequest<T>(method, params);
const codes = (one: { diagnostics: readonly { code?: unknown }[] }) =>
  one.diagnostics.map(({ code }) => code);

test('what is found in files that are not open is published, and taken back once it is mended on disk', async () => {
  const uris = await openFolder({
    'harbour.bench': BENCH,
    'logs/a.rebuild': SLIP.replace('harbour', '../harbour'),
    '.gitignore': 'copies/\n',
    'copies/a.rebuild': SLIP,
    'node_modules/a.rebuild': SLIP,
  });
  const uri = uris['logs/a.rebuild']!;
  const found = await editor.diagnostics((one) => one.uri === uri);
  expect(codes(found)).toContain('torque-out-of-spec');
  expect(found.version).toBeUndefined();
  editor.write('logs/a.rebuild', SLIP.replace('harbour', '../harbour').replace('240', '24'));
  await editor.connection.sendNotification('workspace/didChangeWatchedFiles', {
    changes: [{ uri, type: 2 }],
  });
  await editor.diagnostics((one) => one.uri === uri && !codes(one).includes('torque-out-of-spec'));
  expect(new Set(editor.published.map((one) => one.uri))).toEqual(new Set([uri]));
});

test('an edit of an open table reaches a log that is not open; closing a log keeps what is found in it', async () => {
  const uris = await openFolder({ 'harbour.bench': BENCH, 'a.rebuild': SLIP });
  const uri = uris['a.rebuild']!;
  await editor.diagnostics((one) => one.uri === uri);
  await editor.open(uris['harbour.bench']!, BENCH);
  await editor.change(uris['harbour.bench']!, 2, [{ text: BENCH.replace('TW1', 'TW2') }]);
  await editor.diagnostics((one) => one.uri === uri && codes(one).includes('unknown-name'));
  await editor.open(uri, SLIP);
  const shown = await editor.diagnostics((one) => one.uri === uri && one.version === 1);
  await editor.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  const after = await editor.diagnostics(
    (one) => one.uri === uri && editor.published.indexOf(one) > editor.published.indexOf(shown),
  );
  expect(codes(after)).toEqual(codes(shown));
  expect(after.version).toBeUndefined();
});

test('a rename, references and a search reach logs that are not open', async () => {
  const uris = await openFolder({ 'harbour.bench': BENCH, 'a.rebuild': SLIP, 'b.rebuild': SLIP });
  await editor.open(uris['harbour.bench']!, BENCH);
  const at = { textDocument: { uri: uris['harbour.bench']! }, position: { line: 1, character: 6 } };
  const edit = await ask<WorkspaceEdit>('textDocument/rename', { ...at, newName: 'TW9' });
  expect(Object.keys(edit.changes!).sort()).toEqual(Object.values(uris).sort());
  const places = await ask<Location[]>('textDocument/references', {
    ...at,
    context: { includeDeclaration: false },
  });
  expect(places.map((one) => one.uri).sort()).toEqual([uris['a.rebuild'], uris['b.rebuild']]);
  const symbols = await ask<SymbolInformation[]>('workspace/symbol', { query: 'aq' });
  expect(symbols.map((one) => one.location.uri).sort()).toEqual([uris['a.rebuild'], uris['b.rebuild']]);
});

test('a register that gets another name gets it in the logs that use it', async () => {
  const uris = await openFolder({ 'harbour.bench': BENCH, 'a.rebuild': SLIP });
  const edit = await ask<WorkspaceEdit>('workspace/willRenameFiles', {
    files: [
      { oldUri: uris['harbour.bench'], newUri: uris['harbour.bench']!.replace('harbour', 'my%20bench') },
    ],
  });
  expect(edit.changes).toEqual({
    [uris['a.rebuild']!]: [
      {
        range: { start: { line: 1, character: 5 }, end: { line: 1, character: 18 } },
        newText: 'my bench.bench',
      },
    ],
  });
});

test('an editor that pulls gets every file, and then only what changed', async () => {
  const uris = await openFolder(
    { 'harbour.bench': BENCH, 'a.rebuild': SLIP },
    { textDocument: { diagnostic: {} }, workspace: { diagnostics: {} } },
  );
  const pull = (previous: WorkspaceDiagnosticReport['items'] = []) =>
    ask<WorkspaceDiagnosticReport>('workspace/diagnostic', {
      previousResultIds: previous.map(({ uri, resultId }) => ({ uri, value: resultId! })),
    });
  const { items } = await pull();
  expect(items.map(({ uri, kind }) => [uri, kind]).sort()).toEqual(
    Object.values(uris)
      .map((uri) => [uri, 'full'])
      .sort(),
  );
  expect((await pull(items)).items.map((one) => one.kind)).toEqual(['unchanged', 'unchanged']);
  await editor.open(uris['a.rebuild']!, LOG, 3);
  const again = (await pull(items)).items;
  expect(again.map(({ kind, version }) => [kind, version]).sort()).toEqual([
    ['full', 3],
    ['unchanged', null],
  ]);
  expect(editor.published).toEqual([]);
});

test('a folder that cannot be searched leaves what is open', async () => {
  const uris = await openFolder({ 'harbour.bench': BENCH }, { workspace: { workspaceFolders: true } });
  await editor.connection.sendNotification('workspace/didChangeWorkspaceFolders', {
    event: { added: [{ uri: 'vault://elsewhere/logs', name: 'logs' }], removed: [] },
  });
  await editor.open(uris['harbour.bench']!, BENCH);
  const edit = await ask<WorkspaceEdit>('textDocument/rename', {
    textDocument: { uri: uris['harbour.bench']! },
    position: { line: 1, character: 6 },
    newName: 'TW9',
  });
  expect(Object.keys(edit.changes!)).toEqual([uris['harbour.bench']]);
});

test('who wants to see open files only says so, and may change that', async () => {
  const uris = await openFolder(
    { 'harbour.bench': BENCH, 'a.rebuild': SLIP },
    { workspace: { didChangeConfiguration: {} } },
  );
  const uri = uris['a.rebuild']!;
  const configure = (folder: boolean) =>
    editor.connection.sendNotification('workspace/didChangeConfiguration', {
      settings: { witnessmark: { check: { folder } } },
    });
  await editor.diagnostics((one) => one.uri === uri && one.diagnostics.length > 0);
  await configure(false);
  await editor.diagnostics((one) => one.uri === uri && one.diagnostics.length === 0);
  await editor.open(uri, SLIP);
  const shown = await editor.diagnostics((one) => one.uri === uri && one.version === 1);
  await editor.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  const after = (one: PublishDiagnosticsParams) =>
    editor.published.indexOf(one) > editor.published.indexOf(shown);
  await editor.diagnostics((one) => one.uri === uri && after(one) && one.diagnostics.length === 0);
  await configure(true);
  await editor.diagnostics((one) => one.uri === uri && after(one) && one.diagnostics.length > 0);
});

test('reading a large folder is shown and can be stopped; what needs all of it goes on with it', async () => {
  // No line stands twice, so that each is read.
  const entries = (file: number) =>
    Array.from({ length: 500 }, (_, i) => `  torque a[${(i % 2) + 1}] to 24 N·m with TW1 # ${file} ${i}\n`);
  const long = (file: number) => `${LOG}step "S" 2026-05-02 14:00 by AQ\n${entries(file).join('')}`;
  const files: Record<string, string> = { 'harbour.bench': BENCH };
  for (let i = 0; i < 400; i++) files[`${i}.rebuild`] = long(i);
  type Progress = {
    readonly token: string;
    readonly value: WorkDoneProgressBegin | WorkDoneProgressReport | WorkDoneProgressEnd;
  };
  const seen: Progress['value'][] = [];
  let ended: () => void;
  const end = new Promise<void>((resolve) => {
    ended = resolve;
  });
  let stopped = false;
  const uris = await openFolder(files, { window: { workDoneProgress: true } });
  editor.connection.onNotification('$/progress', ({ token, value }: Progress) => {
    seen.push(value);
    if (value.kind === 'begin' && !stopped) {
      stopped = true;
      void editor.connection.sendNotification('window/workDoneProgress/cancel', { token });
    }
    if (value.kind === 'end') ended();
  });
  await end;
  expect(seen[0]).toMatchObject({ kind: 'begin', title: 'Reading logs', cancellable: true });
  const last = seen.filter((one) => one.kind === 'report').at(-1)?.percentage ?? 0;
  expect(last).toBeLessThan(100);
  await editor.open(uris['harbour.bench']!, BENCH);
  const edit = await ask<WorkspaceEdit>('textDocument/rename', {
    textDocument: { uri: uris['harbour.bench']! },
    position: { line: 1, character: 6 },
    newName: 'TW9',
  });
  expect(Object.keys(edit.changes!)).toHaveLength(401);
});

test('what the configuration excludes is not looked at, and is again once it does not', async () => {
  const uris = await openFolder({
    'harbour.bench': BENCH,
    'witnessmark.json': '{ "exclude": ["archive/"] }',
    'a.rebuild': SLIP,
    'archive/old.rebuild': SLIP.replace('harbour', '../harbour'),
  });
  const old = uris['archive/old.rebuild']!;
  await editor.diagnostics((one) => one.uri === uris['a.rebuild'] && one.diagnostics.length > 0);
  await editor.open(uris['harbour.bench']!, BENCH);
  const at = { textDocument: { uri: uris['harbour.bench']! }, position: { line: 1, character: 6 } };
  const edit = await ask<WorkspaceEdit>('textDocument/rename', { ...at, newName: 'TW9' });
  expect(Object.keys(edit.changes!).sort()).toEqual([uris['a.rebuild'], uris['harbour.bench']].sort());
  expect(editor.published.some((one) => one.uri === old)).toBe(false);

  const configuration = uris['witnessmark.json']!;
  const save = async (text: string) => {
    editor.write('witnessmark.json', text);
    await editor.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: configuration, type: 2 }],
    });
  };
  await save('{ "exclude": [] }');
  const found = await editor.diagnostics((one) => one.uri === old && one.diagnostics.length > 0);
  await save('{ "exclude": ["*/old.rebuild"] }');
  await editor.diagnostics(
    (one) =>
      one.uri === old &&
      one.diagnostics.length === 0 &&
      editor.published.indexOf(one) > editor.published.indexOf(found),
  );
});

test('a configuration counts as it is typed, before it is saved; closed without saving, as it is on the disk', async () => {
  const uris = await openFolder(
    { 'harbour.bench': BENCH, 'a.rebuild': SLIP, 'witnessmark.json': '{}' },
    { textDocument: { synchronization: { dynamicRegistration: true } } },
  );
  const uri = uris['a.rebuild']!;
  const severityIs = (severity: number) => (one: PublishDiagnosticsParams) =>
    one.uri === uri &&
    one.diagnostics.some((found) => found.code === 'torque-out-of-spec' && found.severity === severity);
  await editor.diagnostics(severityIs(1));
  for (const method of ['textDocument/didOpen', 'textDocument/didChange', 'textDocument/didClose'])
    expect(editor.registered.find((one) => one.method === method)?.registerOptions).toMatchObject({
      documentSelector: [{ scheme: 'file', pattern: '**/witnessmark.json' }],
    });
  const configuration = uris['witnessmark.json']!;
  await editor.open(configuration, '{}');
  await editor.change(configuration, 2, [
    {
      range: { start: { line: 0, character: 1 }, end: { line: 0, character: 1 } },
      text: '\n  "severities": {\n    "torque-out-of-spec": "information"\n  }\n',
    },
  ]);
  const typed = await editor.diagnostics(severityIs(3));
  await editor.change(configuration, 3, [
    {
      range: { start: { line: 2, character: 28 }, end: { line: 2, character: 39 } },
      text: 'off',
    },
  ]);
  const refused = await editor.diagnostics((one) => one.uri === configuration && one.version === 3);
  expect(refused.diagnostics[0]).toMatchObject({ code: 'configuration', range: { start: { line: 2 } } });
  await editor.connection.sendNotification('textDocument/didClose', { textDocument: { uri: configuration } });
  await editor.diagnostics(
    (one) => severityIs(1)(one) && editor.published.indexOf(one) > editor.published.indexOf(typed),
  );
});
