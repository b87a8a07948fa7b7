/** What the editor itself does for the languages: words, comments, indentation, snippets. */
import assert from 'node:assert/strict';
import { suite, test } from 'mocha';
import { commands, Position, Selection, type TextEditor, window, workspace } from 'vscode';
import { placeOf } from './editor.ts';

/** A new log that was never saved, with the cursor at its end. */
async function newLog(content: string): Promise<TextEditor> {
  const document = await workspace.openTextDocument({ language: 'rebuild-log', content });
  const editor = await window.showTextDocument(document);
  const end = document.positionAt(content.length);
  editor.selection = new Selection(end, end);
  return editor;
}

/** Key by key: the editor indents and closes brackets by what each key does. */
async function type(text: string): Promise<void> {
  for (const key of text) await commands.executeCommand('type', { text: key });
}

suite('editing', () => {
  test('a double click takes a whole name, a whole unit, a whole number', async () => {
    const { document } = await newLog('  torque kolben-Ölpumpe_2[7] to 24.0 N·m with TW1');
    for (const word of ['kolben-Ölpumpe_2', '24.0', 'N·m', 'TW1']) {
      const place = placeOf(document, word);
      for (const at of [place.start, place.end.translate(0, -1)]) {
        assert.deepEqual(document.getWordRangeAtPosition(at), place, word);
      }
    }
  });

  test('a word made of combining marks is one word', async () => {
    const { document } = await newLog('measure schlu\u0308ssel = 1 mm');
    const word = document.getWordRangeAtPosition(new Position(0, 9));
    assert.equal(word && document.getText(word), 'schlu\u0308ssel');
  });

  test('a line is commented with a number sign', async () => {
    const { document } = await newLog('machine tern-460 serial "0117"');
    await commands.executeCommand('editor.action.commentLine');
    assert.equal(document.getText(), '# machine tern-460 serial "0117"');
  });

  test('what follows a step is indented, the next step is not', async () => {
    const { document } = await newLog('step "Measure" 2026-05-02');
    await type('\nnote a\nnote b\nstep "Close" 2026-05-03 ');
    assert.equal(
      document.getText(),
      'step "Measure" 2026-05-02\n  note a\n  note b\nstep "Close" 2026-05-03 ',
    );
  });

  test('brackets and quotes close themselves', async () => {
    const { document } = await newLog('remove ');
    await type('piston[');
    assert.equal(document.getText(), 'remove piston[]');
    await type('rear] because "');
    assert.equal(document.getText(), 'remove piston[rear] because ""');
  });

  test('a snippet writes a torque group', async () => {
    const { document } = await newLog('');
    const name = 'A torque group, from finger-tight to the stripe';
    await commands.executeCommand('editor.action.insertSnippet', { langId: 'rebuild-log', name });
    const written = document
      .getText()
      .split('\n')
      .map((line) => line.split(' ').slice(0, 2).join(' '));
    assert.deepEqual(written.slice(0, 4), [
      'finger-tight case-m8[all]',
      'torque case-m8[ordered]',
      'torque case-m8[ordered]',
      'apply stripe',
    ]);
  });
});
