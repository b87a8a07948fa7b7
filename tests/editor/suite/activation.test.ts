/** The extension is there, wakes up for its three languages, and says which languages they are. */
import assert from 'node:assert/strict';
import { suite, test } from 'mocha';
import { commands, extensions } from 'vscode';
import { extension, open } from './editor.ts';

suite('activation', () => {
  test('the extension sleeps until a file of its own is opened, then is active', async () => {
    assert.equal(extension().isActive, false);
    await open('gearbox.rebuild');
    await extension().activate();
    assert.equal(extension().isActive, true);
  });

  for (const [file, language] of Object.entries({
    'gearbox.rebuild': 'rebuild-log',
    'gearbox.limits': 'rebuild-limits',
    'harbour.bench': 'rebuild-bench',
  })) {
    test(`${file} is of the language ${language}, which wakes the extension`, async () => {
      const { document } = await open(file);
      assert.equal(document.languageId, language);
      assert.ok(extension().packageJSON.activationEvents.includes(`onLanguage:${language}`));
    });
  }

  test('every command of the manifest is registered', async () => {
    const registered = await commands.getCommands(true);
    const declared: { command: string }[] = extension().packageJSON.contributes.commands;
    assert.ok(declared.length > 0);
    for (const { command } of declared) assert.ok(registered.includes(command), command);
  });

  test('the manifest reads in plain words: every placeholder has its text', () => {
    const manifest = JSON.stringify(extensions.getExtension('witnessmark.witnessmark')?.packageJSON);
    assert.doesNotMatch(manifest, /"%[^"]*%"/);
  });
});
