/** The language server, spoken to over standard input and output as an editor does. */
import { rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type {
  CodeAction,
  DocumentDiagnosticReport,
  DocumentSymbol,
  FoldingRange,
  Hover,
  MarkupContent,
  Position,
} from 'vscode-languageserver';
import { type Bundle, bundleServer, type Editor, startEditor } from './editor.ts';

const LIMITS = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
`;
const LOG = `log "Tern 460 no. 0117"
use "tern.limits"
step "Measure" 2026-05-02 14:00
  measure bore[rear] = 67.564 mm
`;

let bundle: Bundle;
let editor: Editor;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));
afterEach(() => editor.close());

/** Where a piece of text stands. */
function positionOf(text: string, part: string): Position {
  const before = text.slice(0, text.indexOf(part)).split('\n');
  return { line: before.length - 1, character: before.at(-1)!.length };
}

test('publishes what is found, at its place, with the version, the rule and its page', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG, 7);
  const { diagnostics, version } = await editor.diagnostics((one) => one.uri === uri);
  const found = diagnostics.find((one) => one.code === 'out-of-limits')!;
  expect(version).toBe(7);
  expect(found.range.start).toEqual(positionOf(LOG, '67.564 mm'));
  expect(found.severity).toBe(1);
  expect(found.source).toBe('witnessmark');
  expect(fileURLToPath(found.codeDescription!.href)).toBe(
    fileURLToPath(new URL('rules/out-of-limits.md', `file://${bundle.folder}/`)),
  );
});

test('a change is applied where it stands and what is found follows it', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  await editor.diagnostics((one) => one.uri === uri);
  const start = positionOf(LOG, '564 mm');
  const end = { ...start, character: start.character + 3 };
  await editor.change(uri, 2, [{ range: { start, end }, text: '511' }]);
  const after = await editor.diagnostics((one) => one.version === 2);
  expect(after.diagnostics.filter((one) => one.code === 'out-of-limits')).toEqual([]);
});

test('several changes in one message apply in their order; columns count UTF-16 units', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const log = LOG.replace('"Measure"', '"Measure 🔧 µ"');
  const uri = editor.write('a.rebuild', log);
  await editor.open(uri, log);
  const at = positionOf(log, ' 2026-05-02');
  const quote = { line: at.line, character: at.character - 1 };
  await editor.change(uri, 2, [
    { range: { start: quote, end: quote }, text: ' 🔩' },
    { range: { start: { line: 3, character: 0 }, end: { line: 3, character: 0 } }, text: '  note "🔧"\n' },
  ]);
  const after = await editor.diagnostics((one) => one.version === 2);
  expect(after.diagnostics.map((one) => [one.code, one.range.start.line])).toEqual([['out-of-limits', 4]]);
  const symbols = await editor.connection.sendRequest<DocumentSymbol[]>('textDocument/documentSymbol', {
    textDocument: { uri },
  });
  expect(symbols.map((one) => one.name)).toContain('Measure 🔧 µ 🔩');
});

test('nothing is published for a version that is no longer current', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const end = { line: 4, character: 0 };
  for (let version = 2; version <= 40; version++)
    void editor.change(uri, version, [{ range: { start: end, end }, text: '\n' }]);
  await editor.diagnostics((one) => one.version === 40);
  const versions = editor.published.map((one) => one.version!);
  expect(versions).toEqual([...versions].sort((a, b) => a - b));
  expect(versions.at(-1)).toBe(40);
});

test('a log is told of again when a table that it uses changes, open or on disk', async () => {
  editor = await startEditor(bundle.server);
  const limits = editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  await editor.diagnostics((one) => one.diagnostics.some(({ code }) => code === 'out-of-limits'));
  const before = editor.published.length;
  editor.write('tern.limits', LIMITS.replace('67.560', '67.570'));
  await editor.connection.sendNotification('workspace/didChangeWatchedFiles', {
    changes: [{ uri: limits, type: 2 }],
  });
  const quiet = await editor.diagnostics((one) => editor.published.indexOf(one) >= before && one.uri === uri);
  expect(quiet.diagnostics.filter((one) => one.code === 'out-of-limits')).toEqual([]);
  const then = editor.published.length;
  await editor.open(limits, LIMITS);
  const loud = await editor.diagnostics((one) => editor.published.indexOf(one) >= then && one.uri === uri);
  expect(loud.diagnostics.map((one) => one.code)).toContain('out-of-limits');
});

test('a table that is missing is found once it appears', async () => {
  editor = await startEditor(bundle.server);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  await editor.diagnostics((one) => one.diagnostics.some(({ code }) => code === 'import-missing'));
  const limits = editor.write('tern.limits', LIMITS);
  await editor.connection.sendNotification('workspace/didChangeWatchedFiles', {
    changes: [{ uri: limits, type: 1 }],
  });
  const after = await editor.diagnostics((one) =>
    one.diagnostics.some(({ code }) => code === 'out-of-limits'),
  );
  expect(after.diagnostics.map((one) => one.code)).not.toContain('import-missing');
});

test('an editor that refuses all that it is asked still gets findings', async () => {
  const dynamicRegistration = true;
  editor = await startEditor(
    bundle.server,
    {
      textDocument: { synchronization: { dynamicRegistration }, codeAction: { dynamicRegistration } },
      workspace: {
        configuration: true,
        didChangeWatchedFiles: { dynamicRegistration },
        didChangeConfiguration: { dynamicRegistration },
      },
    },
    (write) => write('tern.limits', LIMITS),
    true,
  );
  const registrations = 6;
  await expect
    .poll(() => editor.logged.filter((line) => line.startsWith('The editor refused')).length, {
      timeout: 30_000,
    })
    .toBe(registrations);
  await editor.connection.sendNotification('workspace/didChangeConfiguration', { settings: null });
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const { diagnostics } = await editor.diagnostics((one) => one.uri === uri);
  expect(diagnostics.map(({ code }) => code)).toContain('out-of-limits');
});

test('a pull is answered in full, then as unchanged, then in full after an edit', async () => {
  editor = await startEditor(bundle.server, { textDocument: { diagnostic: {} } });
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const pull = (previousResultId?: string) =>
    editor.connection.sendRequest<DocumentDiagnosticReport>('textDocument/diagnostic', {
      textDocument: { uri },
      previousResultId,
    });
  const first = await pull();
  expect(first.kind).toBe('full');
  expect(await pull(first.resultId)).toEqual({ kind: 'unchanged', resultId: first.resultId });
  await editor.change(uri, 2, [{ text: LOG.replace('67.564', '67.511') }]);
  const second = await pull(first.resultId);
  expect(second.kind === 'full' && second.items.map((one) => one.code)).toEqual([]);
  expect(editor.published).toEqual([]);
});

test('a hover gives the value in other units, its limit and the verdict', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const hover = await editor.connection.sendRequest<Hover>('textDocument/hover', {
    textDocument: { uri },
    position: positionOf(LOG, '.564'),
  });
  const { value } = hover.contents as MarkupContent;
  // 67.564 mm / 25.4 mm (the inch is 25.4 mm exactly) = 2.66000 in.
  expect(value).toMatch(/2\.6600\d* in\b/);
  expect(value).toContain('67.560 mm');
  expect(value).toContain('past its limit');
});

test('steps hold their entries in the outline, and fold', async () => {
  editor = await startEditor(bundle.server);
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const textDocument = { uri };
  const symbols = await editor.connection.sendRequest<DocumentSymbol[]>('textDocument/documentSymbol', {
    textDocument,
  });
  const step = symbols.find((one) => one.name === 'Measure')!;
  expect(step.children!.map((one) => one.name)).toEqual(['measure bore[rear] = 67.564 mm']);
  const folds = await editor.connection.sendRequest<FoldingRange[]>('textDocument/foldingRange', {
    textDocument,
  });
  expect(folds.map((one) => [one.startLine, one.endLine])).toEqual([[2, 3]]);
});

test('a fix is offered where its finding stands, and mends it', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const log = LOG.replace('67.564 mm', '67,511 mm');
  const uri = editor.write('a.rebuild', log);
  await editor.open(uri, log);
  const { diagnostics } = await editor.diagnostics((one) => one.uri === uri);
  const found = diagnostics.find((one) => one.code === 'decimal-comma')!;
  const actions = await editor.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
    textDocument: { uri },
    range: found.range,
    context: { diagnostics: [found] },
  });
  // Three digits after the comma: thousands or a decimal, so neither fix goes before the other.
  expect(actions.map((one) => [one.title, one.isPreferred])).toEqual([
    ['Write `67511`', false],
    ['Write `67.511`', false],
  ]);
  const action = actions[1];
  expect(action!.kind).toBe('quickfix');
  const edits = action!.edit!.changes![uri]!;
  await editor.change(uri, 2, edits.map(({ range, newText }) => ({ range, text: newText })).reverse());
  const after = await editor.diagnostics((one) => one.version === 2);
  expect(after.diagnostics).toEqual([]);
});

test('no fix that says something new is taken unseen, and none changes what is signed', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const slip = LOG.replace('67.564 mm', '6.7511 mm');
  const typo = '  mesure bore[rear] = 67.511 mm\n';
  const uri = editor.write('a.rebuild', slip + typo);
  await editor.open(uri, slip + typo);
  const offered = async (version: number) => {
    const { diagnostics } = await editor.diagnostics((one) => one.uri === uri && one.version === version);
    const found = diagnostics.filter(({ code }) => code === 'unit-slip' || code === 'syntax');
    const actions = await Promise.all(
      found.map(({ range }) =>
        editor.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
          textDocument: { uri },
          range,
          context: { diagnostics: [], only: ['quickfix'] },
        }),
      ),
    );
    expect(found).toHaveLength(2);
    return actions
      .flat()
      .filter(({ diagnostics: own }) => own !== undefined)
      .map(({ title, isPreferred }) => [title, isPreferred]);
  };
  expect(await offered(1)).toEqual([
    ['Write `measure`', true],
    ['Write 67.511 mm', false],
  ]);
  const signed = `${slip}${typo}sign AQ "Measured" 2026-05-02 16:00 mark 0123456789abcdef\n`;
  await editor.change(uri, 2, [{ text: signed }]);
  expect(await offered(2)).toEqual([]);
});

test('a document that was never saved is what it opens with', async () => {
  editor = await startEditor(bundle.server);
  const uri = 'untitled:Untitled-1';
  await editor.open(uri, LIMITS);
  expect((await editor.diagnostics((one) => one.uri === uri)).diagnostics).toEqual([]);
  await editor.change(uri, 2, [{ text: `# A log, then.\n${LIMITS.replace('limits', 'log')}` }]);
  const log = await editor.diagnostics((one) => one.uri === uri && one.version === 2);
  expect(log.diagnostics).toEqual([]);
});

test('closing a document that lies in no folder clears what was found in it', async () => {
  editor = await startEditor(bundle.server);
  const uri = 'untitled:Untitled-1';
  await editor.open(uri, LOG);
  await editor.diagnostics((one) => one.uri === uri && one.diagnostics.length > 0);
  await editor.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  const cleared = await editor.diagnostics((one) => one.uri === uri && one.diagnostics.length === 0);
  expect(cleared.version).toBeUndefined();
});

test('the configuration above a log decides severities, and a change of it is followed', async () => {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const configuration = editor.write('witnessmark.json', '{ "severities": { "out-of-limits": "warning" } }');
  const uri = editor.write('a.rebuild', LOG);
  await editor.open(uri, LOG);
  const first = await editor.diagnostics((one) => one.uri === uri);
  expect(first.diagnostics.map(({ code, severity }) => [code, severity])).toEqual([['out-of-limits', 2]]);
  editor.write('witnessmark.json', '{ "severities": { "out-of-limits": "information" } }');
  await editor.connection.sendNotification('workspace/didChangeWatchedFiles', {
    changes: [{ uri: configuration, type: 2 }],
  });
  const after = await editor.diagnostics(
    (one) => one.uri === uri && one.diagnostics.some(({ severity }) => severity === 3),
  );
  expect(after.diagnostics).toHaveLength(1);
});

test('a finding on a table leads to its limit, not to each of the cells that it underlines', async () => {
  editor = await startEditor(bundle.server);
  editor.write(
    'tern.limits',
    'limits "Tern"\nlimit bore[rear] @ (top bottom)/(thrust pin) 67.5..67.6 mm\nlimit oval[rear] = out-of-round(bore) <= 0.02 mm\n',
  );
  const log =
    'log "Tern"\nuse "tern.limits"\nstep "Measure" 2026-05-02\n  measure bore[rear] in mm\n    | | thrust | pin |\n    | top | 67.55 | 67.51 |\n    | bottom | 67.52 | 67.51 |\n';
  const uri = editor.write('a.rebuild', log);
  await editor.open(uri, log);
  const { diagnostics } = await editor.diagnostics((one) => one.uri === uri);
  const found = diagnostics.find((one) => one.code === 'out-of-limits')!;
  expect(found.relatedInformation!.map((one) => one.message)).toEqual(['the limit stands here']);
});
