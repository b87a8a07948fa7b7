/** Ways through the files in the editor: a name is followed, found everywhere, and given another one. */
import assert from 'node:assert/strict';
import { suite, test } from 'mocha';
import {
  type CodeLens,
  commands,
  type Location,
  type LocationLink,
  Uri,
  WorkspaceEdit,
  workspace,
} from 'vscode';
import { fileOf, findings, has, open, placeOf, readFromDisk, writeOnDisk } from './editor.ts';

suite('names', () => {
  /** A register and a log of their own, the log only on disk. */
  function write(name: string): { bench: string; log: string } {
    writeOnDisk(`${name}.bench`, 'bench "Spare bench"\ntool SP1 "spare wrench" range 2..20 N·m\n');
    writeOnDisk(
      `${name}.rebuild`,
      readFromDisk('gearbox.rebuild')
        .replace('use "harbour.bench"', `use "harbour.bench"\nuse "${name}.bench"`)
        .replace('with TW2', 'with SP1'),
    );
    return { bench: `${name}.bench`, log: `${name}.rebuild` };
  }

  test('a tool is renamed in the register and in a log that is not open', async () => {
    const { bench, log } = write('renamed');
    const { document } = await open(bench);
    // What is found in the log tells that the server has read it.
    writeOnDisk(log, readFromDisk(log).replace('89 in·lbf', '88 ft·lbf'));
    await findings(fileOf(log), has('equivalent-disagrees'));
    const edit = await commands.executeCommand<WorkspaceEdit>(
      'vscode.executeDocumentRenameProvider',
      document.uri,
      placeOf(document, 'SP1').start,
      'SP9',
    );
    assert.ok(await workspace.applyEdit(edit));
    placeOf(document, 'tool SP9');
    placeOf(await workspace.openTextDocument(fileOf(log)), 'with SP9');
  });

  test('a tool in a log leads to the register', async () => {
    const { bench, log } = write('followed');
    const { document } = await open(log);
    const [way] = await commands.executeCommand<(Location | LocationLink)[]>(
      'vscode.executeDefinitionProvider',
      document.uri,
      placeOf(document, 'SP1').start,
    );
    assert.ok(way);
    assert.equal(('targetUri' in way ? way.targetUri : way.uri).toString(), fileOf(bench).toString());
  });

  test('what is found in a log shows before it is opened', async () => {
    writeOnDisk('closed.rebuild', readFromDisk('gearbox.rebuild').replace('89 in·lbf', '88 ft·lbf'));
    await findings(fileOf('closed.rebuild'), has('equivalent-disagrees'));
  });

  test('a register that gets another name gets it in the log', async () => {
    const { bench, log } = write('moved');
    const { document } = await open(log);
    const edit = new WorkspaceEdit();
    edit.renameFile(fileOf(bench), Uri.joinPath(fileOf(bench), '../spare.bench'));
    assert.ok(await workspace.applyEdit(edit));
    placeOf(document, 'use "spare.bench"');
  });

  test('a line of a table says how many logs use it', async () => {
    writeOnDisk('counted.limits', readFromDisk('gearbox.limits'));
    for (const name of ['counted', 'counted-again'])
      writeOnDisk(
        `${name}.rebuild`,
        readFromDisk('gearbox.rebuild')
          .replace('gearbox.limits', 'counted.limits')
          .replace('0.05 mm with DT1', '0.09 mm with DT1'),
      );
    const { document } = await open('counted.limits');
    await findings(fileOf('counted-again.rebuild'), has('out-of-limits'));
    const lenses = await commands.executeCommand<CodeLens[]>(
      'vscode.executeCodeLensProvider',
      document.uri,
      50,
    );
    const { line } = placeOf(document, 'limit shaft-runout').start;
    assert.match(lenses.find((lens) => lens.range.start.line === line)?.command?.title ?? '', /\b2 logs\b/);
  });
});
