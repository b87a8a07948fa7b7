/** What helps while writing, over the wire: completion and the rest, with what each kind of editor can take. */
import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type { CompletionItem, Position } from 'vscode-languageserver';
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
