/** The quick fix Write the mark, as an editor asks for it. */
import { createHash } from 'node:crypto';
import { rmSync } from 'node:fs';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CodeAction } from 'vscode-languageserver';
import { type Bundle, bundleServer, startEditor } from './editor.ts';

let bundle: Bundle;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));

test('is offered on a signature without a mark, pins the table and the photograph, and the hint goes', async () => {
  const editor = await startEditor(bundle.server);
  editor.write('tern.limits', 'limits "Tern 460"\n');
  editor.write('dial.jpg', 'not really a picture');
  const lines = [
    'log "Tern 460 no. 0117"',
    'use "tern.limits"',
    'person AQ "Ada Quill" builder',
    'step "Look" 2026-05-02 14:00',
    '  photo "dial.jpg"',
    'sign AQ "Looked at" 2026-05-02 16:00',
    '',
  ];
  const uri = editor.write('log.rebuild', lines.join('\n'));
  await editor.open(uri, lines.join('\n'));
  const { diagnostics } = await editor.diagnostics((one) => one.uri === uri);
  expect(diagnostics.map(({ code }) => code)).toEqual(['unmarked']);
  const [action] = await editor.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
    textDocument: { uri },
    range: diagnostics[0]!.range,
    context: { diagnostics },
  });
  expect(action).toMatchObject({ title: 'Write the mark; pins tern.limits, dial.jpg', kind: 'quickfix' });
  for (const { range, newText } of action!.edit!.changes![uri]!) {
    const { line, character } = range.start;
    lines[line] = lines[line]!.slice(0, character) + newText + lines[line]!.slice(character);
  }
  const digest = createHash('sha256').update('not really a picture').digest('hex');
  expect(lines[4]).toBe(`  photo "dial.jpg" mark ${digest.slice(0, 16)}`);
  await editor.change(uri, 2, [{ text: lines.join('\n') }]);
  const after = await editor.diagnostics((one) => one.uri === uri && one.version === 2);
  expect(after.diagnostics).toEqual([]);

  // Another picture under the name: told when the log is opened the next time.
  editor.write('dial.jpg', 'another picture');
  await editor.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  await editor.open(uri, lines.join('\n'));
  const again = await editor.diagnostics(
    (one) => one.uri === uri && one.diagnostics.some(({ code }) => code === 'import-changed'),
  );
  expect(again.diagnostics.map(({ code }) => code)).toEqual(['import-changed']);
  await editor.close();
});

test('nothing is pinned that is not saved', async () => {
  const editor = await startEditor(bundle.server);
  const table = editor.write('tern.limits', 'limits "Tern 460"\n');
  const text =
    'log "Tern 460 no. 0117"\nuse "tern.limits"\nperson AQ "Ada Quill" builder\nstep "Look" 2026-05-02 14:00\n  note x\nsign AQ "Looked at" 2026-05-02 16:00\n';
  const uri = editor.write('log.rebuild', text);
  await editor.open(uri, text);
  // Opened with other line breaks it is the same file.
  await editor.open(table, 'limits "Tern 460"\r\n');
  const ask = () =>
    Promise.all([
      editor.connection.sendRequest<object>('witnessmark/mark', { uri }),
      editor.connection.sendRequest<CodeAction[]>('textDocument/codeAction', {
        textDocument: { uri },
        range: { start: { line: 5, character: 0 }, end: { line: 5, character: 0 } },
        context: { diagnostics: [] },
      }),
    ]);
  const [saved, offered] = await ask();
  expect(saved).toHaveProperty('mark');
  expect(offered.map(({ title }) => title)).toEqual(['Write the mark; pins tern.limits']);
  await editor.change(table, 2, [{ text: 'limits "Tern 460, tried out"\n' }]);
  const [unsaved, nothing] = await ask();
  expect(unsaved).toEqual({
    refused:
      'tern.limits has changes that are not saved, and a mark pins it as it is kept. Save it, then write the mark.',
  });
  expect(nothing).toEqual([]);
  await editor.close();
});
