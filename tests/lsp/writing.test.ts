/** What helps while writing, over the wire: completion and the rest, with what each kind of editor can take. */
import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type {
  CodeAction,
  CodeLens,
  CompletionItem,
  InlayHint,
  Position,
  SignatureHelp,
} from 'vscode-languageserver';
import { type Bundle, bundleServer, type Editor, startEditor } from './editor.ts';

const LIMITS = `limits "Tern 460"
limit bore[rear] @ (top bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m stages 12 N·m, 24 N·m order 2 3 1 4 ref "4.1"
`;
const HEAD = `log "Tern 460 no. 0117"
use "tern.limits"
person AQ "Ada Quill" builder
tool TW1 "3/8 click wrench" range 10..60 N·m due 2099-03-02
step "Work" 2026-05-02 14:00
`;

let bundle: Bundle;
let editor: Editor;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));
afterEach(() => editor.close());

interface Opened {
  readonly uri: string;
  readonly position: Position;
}

/** Opens a log with these lines after its head; `‸` is the cursor. */
async function openLog(lines: string, capabilities: object = {}): Promise<Opened> {
  editor = await startEditor(bundle.server, capabilities);
  editor.write('tern.limits', LIMITS);
  const text = HEAD + lines;
  const before = text.slice(0, text.indexOf('‸')).split('\n');
  const uri = editor.write('a.rebuild', text.replace('‸', ''));
  await editor.open(uri, text.replace('‸', ''));
  return { uri, position: { line: before.length - 1, character: before.at(-1)!.length } };
}

const complete = ({ uri, position }: Opened, context?: object) =>
  editor.connection.sendRequest<CompletionItem[]>('textDocument/completion', {
    textDocument: { uri },
    position,
    ...(context === undefined ? {} : { context }),
  });

test('completion replaces the word begun and keeps the order of the core', async () => {
  const opened = await openLog('  torque case-m8[ordered] to 12 N·m wi‸\n');
  const items = await complete(opened);
  const withTool = items.find((item) => item.label === 'with')!;
  expect(withTool.textEdit).toEqual({
    newText: 'with ',
    range: { start: { ...opened.position, character: opened.position.character - 2 }, end: opened.position },
  });
  expect(items.map((item) => item.sortText)).toEqual(items.map((item) => item.sortText).sort());
});

test('a template is a snippet only for an editor that takes snippets', async () => {
  const lines = '  ‸\n';
  const label = 'measure bore[rear]: table';
  const plain = (await complete(await openLog(lines))).find((item) => item.label === label)!;
  expect(plain.insertTextFormat).toBeUndefined();
  expect(plain.textEdit?.newText).toContain('| top    | ?      | ?   |');
  await editor.close();
  const snippets = { textDocument: { completion: { completionItem: { snippetSupport: true } } } };
  const filled = (await complete(await openLog(lines, snippets))).find((item) => item.label === label)!;
  expect(filled.insertTextFormat).toBe(2);
  expect(filled.textEdit?.newText).toMatch(/\$\{1:\?\}/);
});

test('a blank typed after a whole line offers nothing', async () => {
  const opened = await openLog('  torque case-m8[ordered] to 12 N·m ‸\n');
  expect(await complete(opened, { triggerKind: 2, triggerCharacter: ' ' })).toEqual([]);
  expect((await complete(opened)).length).toBeGreaterThan(0);
});

test('what an offer is about comes when it is asked for', async () => {
  const items = await complete(await openLog('  torque ‸\n'));
  const group = items.find((item) => item.label === 'case-m8')!;
  expect(group.documentation).toBeUndefined();
  const resolved = await editor.connection.sendRequest<CompletionItem>('completionItem/resolve', group);
  const { value } = resolved.documentation as { value: string };
  expect(value).toContain('0 of 4 torqued');
  // An editor that is not ours may not show images: the words stand.
  expect(value).not.toContain('data:image');
});

test('the form of a statement stays away from a whole line unless it is asked for', async () => {
  const ask = (opened: Opened, context: object) =>
    editor.connection.sendRequest<SignatureHelp | null>('textDocument/signatureHelp', {
      textDocument: { uri: opened.uri },
      position: opened.position,
      context: { isRetrigger: false, ...context },
    });
  const typed = { triggerKind: 2, triggerCharacter: ' ' };
  const whole = await openLog('  torque case-m8[1] to 24 N·m ‸\n');
  expect(await ask(whole, typed)).toBeNull();
  expect((await ask(whole, { triggerKind: 1 }))?.signatures[0]?.label).toContain('torque name[items]');
  await editor.close();
  const wanting = await ask(await openLog('  torque case-m8[1] to ‸\n'), typed);
  const { signatures, activeParameter } = wanting!;
  const [start, end] = signatures[0]!.parameters![activeParameter!]!.label as [number, number];
  expect(signatures[0]!.label.slice(start, end)).toBe('[to number unit]');
});

test('hints follow the settings', async () => {
  editor = await startEditor(bundle.server, { workspace: { configuration: false } });
  editor.write('tern.limits', LIMITS);
  const text = `${HEAD}  torque case-m8[1 2] to 24 N·m\n`;
  const uri = editor.write('a.rebuild', text);
  await editor.open(uri, text);
  const hints = async () =>
    (
      await editor.connection.sendRequest<InlayHint[]>('textDocument/inlayHint', {
        textDocument: { uri },
        range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
      })
    ).map(({ label }) => label);
  expect(await hints()).toEqual(['2 of 4']);
  await editor.connection.sendNotification('workspace/didChangeConfiguration', {
    settings: { witnessmark: { inlayHints: { units: 'on', progress: 'off' } } },
  });
  expect(await hints()).toEqual(['17.7 ft·lbf']);
});

test('lenses of a step at once, of a table when they are looked at', async () => {
  const { uri } = await openLog('  torque case-m8[1 2] to 24 N·m‸\n');
  const lenses = (of: string) =>
    editor.connection.sendRequest<CodeLens[]>('textDocument/codeLens', { textDocument: { uri: of } });
  expect((await lenses(uri)).map(({ command }) => command?.title)).toEqual(['case-m8 2 of 4']);
  const table = editor.write('tern.limits', LIMITS);
  await editor.open(table, LIMITS);
  const unresolved = await lenses(table);
  expect(unresolved.map(({ command }) => command)).toEqual([undefined, undefined]);
  const resolved = await Promise.all(
    unresolved.map((lens) => editor.connection.sendRequest<CodeLens>('codeLens/resolve', lens)),
  );
  expect(resolved.map(({ command }) => command?.title)).toEqual([
    'no log speaks of it',
    '1 log speaks of it',
  ]);
});

test('safe fixes all at once only where that is asked for', async () => {
  const { uri, position } = await openLog('  torque case-m8[1] to 24,5 N·m‸\n');
  const ask = (context: object) =>
    editor.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
      textDocument: { uri },
      range: { start: position, end: position },
      context: { diagnostics: [], ...context },
    });
  expect((await ask({})).map(({ kind }) => kind)).not.toContain('source.fixAll.witnessmark');
  const [all, ...others] = await ask({ only: ['source.fixAll'] });
  expect(others).toEqual([]);
  expect(all?.edit?.changes?.[uri]?.map(({ newText }) => newText)).toEqual(['24.5']);
});

test('hints for the line of the cursor only, in an editor that is not ours: the line it asked about or typed on last', async () => {
  const { uri } = await openLog('  torque case-m8[1] to 12 N·m\n  torque case-m8[2] to 12 N·m\n‸', {
    workspace: { inlayHint: { refreshSupport: true }, didChangeConfiguration: {} },
  });
  let refreshed = 0;
  let told: () => void = () => undefined;
  editor.connection.onRequest('workspace/inlayHint/refresh', () => {
    refreshed++;
    told();
    return null;
  });
  const nextRefresh = () =>
    new Promise<void>((resolve) => {
      told = resolve;
    });
  const lines = async () => {
    const hints = await editor.connection.sendRequest<InlayHint[]>('textDocument/inlayHint', {
      textDocument: { uri },
      range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
    });
    return hints.map((hint) => hint.position.line);
  };
  const settings = nextRefresh();
  await editor.connection.sendNotification('workspace/didChangeConfiguration', {
    settings: { witnessmark: { inlayHints: { units: 'currentLine', progress: 'off' } } },
  });
  await settings;
  expect(await lines()).toEqual([]);
  for (const line of [5, 6]) {
    const moved = nextRefresh();
    await editor.connection.sendRequest('textDocument/documentHighlight', {
      textDocument: { uri },
      position: { line, character: 4 },
    });
    await moved;
    expect(await lines()).toEqual([line]);
  }
  const before = refreshed;
  await editor.connection.sendRequest('textDocument/hover', {
    textDocument: { uri },
    position: { line: 6, character: 9 },
  });
  expect(refreshed).toBe(before);
});

test('what belongs to an item stands beside each in the list, where the editor has room for it', async () => {
  const opened = await openLog('  torque ‸\n', {
    textDocument: { completion: { completionItem: { labelDetailsSupport: true } } },
  });
  const wide = (await complete(opened)).find((item) => item.label === 'case-m8')!;
  expect(wide.labelDetails!.description).toMatch(/22\.\.26 N·m/);
  expect(wide.detail).toBeUndefined();
  await editor.close();
  const narrow = (await complete(await openLog('  torque ‸\n'))).find((item) => item.label === 'case-m8')!;
  expect(narrow.detail).toBe(wide.labelDetails!.description);
});

test('a step that begins behind an indent takes it away', async () => {
  const opened = await openLog('  note x\n  st‸\n');
  const items = await complete(opened);
  const [step, torque] = ['step', 'torque'].map((label) => items.find((item) => item.label === label)!);
  const { line } = opened.position;
  expect(step!.additionalTextEdits).toEqual([
    { range: { start: { line, character: 0 }, end: { line, character: 2 } }, newText: '' },
  ]);
  expect(torque!.additionalTextEdits).toBeUndefined();
});
