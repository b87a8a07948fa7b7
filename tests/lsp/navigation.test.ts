/** Ways through the files, over the wire: what only the protocol's own side can get wrong. */
import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import {
  CancellationTokenSource,
  type Location,
  type LocationLink,
  LSPErrorCodes,
  type SelectionRange,
  type SemanticTokens,
  type SemanticTokensDelta,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { type Bundle, bundleServer, type Editor, startEditor } from './editor.ts';

const BENCH = 'bench "Harbour workshop"\r\ntool TW1 "🔧 3/8 click wrench" range 10..60 N·m\r\n';
const LOG = 'log "🔩"\r\nuse "harbour bench.bench"\r\nstep "🔩 µ" 2026-05-04 with TW1\r\n';

let bundle: Bundle;
let editor: Editor;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));
afterEach(() => editor.close());

async function open(capabilities: object = {}) {
  editor = await startEditor(bundle.server, capabilities);
  const bench = editor.write('harbour bench.bench', BENCH);
  const log = editor.write('a.rebuild', LOG);
  await editor.open(log, LOG, 7);
  return { bench, log };
}

/** Where a piece of the log stands, characters counted as UTF-8 bytes, UTF-16 units or letters. */
function at(text: string, part: string, count = (line: string) => line.length) {
  const before = text.slice(0, text.indexOf(part)).split('\r\n');
  return { line: before.length - 1, character: count(before.at(-1)!) };
}

const ask = <T>(method: string, params: object) => editor.connection.sendRequest<T>(method, params);

test.each([
  ['utf-8', (line: string) => Buffer.byteLength(line)],
  ['utf-16', (line: string) => line.length],
  ['utf-32', (line: string) => [...line].length],
] as const)('%s is agreed on, and holds for what comes in and what goes out', async (encoding, count) => {
  const { bench, log } = await open({ general: { positionEncodings: [encoding] } });
  expect(editor.capabilities.positionEncoding).toBe(encoding);
  // An edit behind an emoji, then a way from behind it to behind another.
  const end = at(LOG, '\r\nstep', count);
  await editor.change(log, 8, [
    { range: { start: end, end }, text: ' # 🔩' },
    { range: { start: at(LOG, ' µ', count), end: at(LOG, '" 2026', count) }, text: ' 🔩🔩 Ω' },
  ]);
  const now = LOG.replace(' µ', ' 🔩🔩 Ω').replace('bench"', 'bench" # 🔩');
  const places = await ask<Location[]>('textDocument/references', {
    textDocument: { uri: log },
    position: at(now, 'W1', count),
    context: { includeDeclaration: true },
  });
  const stretch = (text: string) => ({
    start: at(text, 'TW1', count),
    end: { ...at(text, 'TW1', count), character: at(text, 'TW1', count).character + 3 },
  });
  expect(places).toEqual([
    { uri: bench, range: stretch(BENCH) },
    { uri: log, range: stretch(now) },
  ]);
});

test('an editor that takes links sees where the way begins; another only where it ends', async () => {
  const { bench, log } = await open({ textDocument: { definition: { linkSupport: true } } });
  const params = { textDocument: { uri: log }, position: at(LOG, 'W1') };
  const [link] = await ask<LocationLink[]>('textDocument/definition', params);
  expect(link!.targetUri).toBe(bench);
  expect(link!.originSelectionRange!.start).toEqual(at(LOG, 'TW1'));
  expect(link!.targetRange.start).toEqual(at(BENCH, 'tool'));
  expect(link!.targetSelectionRange.start).toEqual(at(BENCH, 'TW1'));
  await editor.close();
  const again = await open();
  const [place] = await ask<Location[]>('textDocument/definition', {
    ...params,
    textDocument: { uri: again.log },
  });
  expect(place).toEqual({ uri: again.bench, range: link!.targetSelectionRange });
});

test('a rename states the version that it was made for; a refusal says why', async () => {
  const { bench, log } = await open({
    workspace: { workspaceEdit: { documentChanges: true } },
    textDocument: { rename: { prepareSupport: true } },
  });
  const params = { textDocument: { uri: log }, position: at(LOG, 'TW1') };
  expect(await ask('textDocument/prepareRename', params)).toMatchObject({ placeholder: 'TW1' });
  const edit = await ask<WorkspaceEdit>('textDocument/rename', { ...params, newName: 'TW9' });
  expect(edit.documentChanges!.map((one) => 'textDocument' in one && one.textDocument)).toEqual([
    { uri: bench, version: null },
    { uri: log, version: 7 },
  ]);
  await expect(ask('textDocument/rename', { ...params, newName: '9' })).rejects.toThrow(
    'A name begins with a letter: 9 does not.',
  );
  await expect(ask('textDocument/prepareRename', { ...params, position: at(LOG, 'step') })).rejects.toThrow(
    'Put the cursor on a name',
  );
});

test('an edit of what is signed is refused where the editor cannot ask, and asked about where it can', async () => {
  const signed = `log "A"\r\ntool T1 "x"\r\nsign AQ "x" 2026-05-04 mark 9f3c0d1e7a55b2c4\r\n`;
  const rename = async (capabilities: object) => {
    editor = await startEditor(bundle.server, capabilities);
    const uri = editor.write('s.rebuild', signed);
    await editor.open(uri, signed);
    return ask<WorkspaceEdit>('textDocument/rename', {
      textDocument: { uri },
      position: at(signed, 'T1'),
      newName: 'T2',
    });
  };
  await expect(rename({})).rejects.toThrow('Not renamed: s.rebuild is signed with a mark');
  await editor.close();
  const edit = await rename({
    workspace: { workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} } },
  });
  expect(Object.values(edit.changeAnnotations!)).toMatchObject([{ needsConfirmation: true }]);
});

test('selections grow, one chain for each cursor', async () => {
  const { log } = await open();
  const chains = await ask<SelectionRange[]>('textDocument/selectionRange', {
    textDocument: { uri: log },
    positions: [at(LOG, 'W1'), at(LOG, 'og "')],
  });
  expect(chains.map((one) => one.range.start)).toEqual([at(LOG, 'TW1'), at(LOG, 'log')]);
  expect(chains[0]!.parent!.range.start).toEqual(at(LOG, 'with TW1'));
});

test('a request that is taken back before it was begun is answered as cancelled', async () => {
  const { log } = await open();
  const asked = Array.from({ length: 20 }, async () => {
    const cancel = new CancellationTokenSource();
    const answer = editor.connection.sendRequest(
      'textDocument/documentSymbol',
      { textDocument: { uri: log } },
      cancel.token,
    );
    cancel.cancel();
    return answer.then(
      () => 'answered',
      (error: { code: number }) => error.code,
    );
  });
  const answers = await Promise.all(asked);
  expect(answers.filter((one) => one === LSPErrorCodes.RequestCancelled).length).toBeGreaterThan(10);
});

test('words for colours: whole, then only the difference, and a stretch', async () => {
  const { log } = await open({ textDocument: { semanticTokens: { requests: {}, tokenTypes: [] } } });
  const textDocument = { uri: log };
  const whole = await ask<SemanticTokens>('textDocument/semanticTokens/full', { textDocument });
  const legend = editor.capabilities.semanticTokensProvider!.legend.tokenTypes;
  const kinds = (data: readonly number[]) => data.filter((_, i) => i % 5 === 3).map((kind) => legend[kind]);
  expect(kinds(whole.data)).toEqual(
    'keyword string keyword string keyword string date clause tool'.split(' '),
  );
  await editor.change(log, 8, [{ text: LOG.replace('2026-05-04', '?') }]);
  const { edits } = await ask<SemanticTokensDelta>('textDocument/semanticTokens/full/delta', {
    textDocument,
    previousResultId: whole.resultId,
  });
  const data = [...whole.data];
  for (const edit of edits) data.splice(edit.start, edit.deleteCount, ...(edit.data ?? []));
  const again = await ask<SemanticTokens>('textDocument/semanticTokens/full', { textDocument });
  expect(data).toEqual(again.data);
  expect(edits[0]!.data!.length).toBeLessThan(again.data.length);
  const stretch = await ask<SemanticTokens>('textDocument/semanticTokens/range', {
    textDocument,
    range: { start: { line: 1, character: 0 }, end: { line: 1, character: 3 } },
  });
  expect(kinds(stretch.data)).toEqual(['keyword', 'string']);
});

test('a stretch is laid out, a row is begun by Enter, the next fastener is offered', async () => {
  editor = await startEditor(bundle.server, { textDocument: { inlineCompletion: {} } });
  const head = 'log "A"\nfastener a[1..3] torque 24 N·m order 1 3 2\nstep "🔩" 2026-05-04\n';
  const text = `${head}torque a[1] to 24 Nm\n  \nmeasure x in mm\n| | pin |\n| top | 1 |\n\n`;
  const textDocument = { uri: editor.write('a.rebuild', text) };
  const options = { tabSize: 2, insertSpaces: true };
  await editor.open(textDocument.uri, text);
  const laidOut = await ask<TextEdit[]>('textDocument/rangeFormatting', {
    textDocument,
    options,
    range: { start: { line: 3, character: 0 }, end: { line: 4, character: 0 } },
  });
  expect(laidOut.map((one) => one.newText)).toEqual(['  torque a[1] to 24 N·m']);
  const row = await ask<TextEdit[]>('textDocument/onTypeFormatting', {
    textDocument,
    options,
    position: { line: 8, character: 0 },
    ch: '\n',
  });
  expect(row.at(-1)).toEqual({
    range: { start: { line: 8, character: 0 }, end: { line: 8, character: 0 } },
    newText: '| ',
  });
  const position = { line: 4, character: 2 };
  expect(
    await ask('textDocument/inlineCompletion', { textDocument, position, context: { triggerKind: 1 } }),
  ).toEqual([{ insertText: 'torque a[3] to 24 Nm', range: { start: position, end: position } }]);
});
