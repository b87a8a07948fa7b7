/** What the language server tells a person at work in the editor: findings, hovers, fixes, formatting. */
import assert from 'node:assert/strict';
import { suite, test } from 'mocha';
import {
  type CodeAction,
  CodeActionKind,
  commands,
  type DocumentSymbol,
  EndOfLine,
  type FoldingRange,
  type Hover,
  type MarkdownString,
  type TextDocument,
  type TextEdit,
  WorkspaceEdit,
  workspace,
} from 'vscode';
import { findings, has, hasNo, open, placeOf, readFromDisk, replace, ruleOf, writeOnDisk } from './editor.ts';

/** 10 N·m is 88.5 in·lbf (NIST SP 811: 1 in·lbf = 0.112 984 8 N·m), so this is the unit slipped. */
const rule = 'equivalent-disagrees';
const right = '89 in·lbf';
const wrong = '88 ft·lbf';

/** A log of its own for a test, and its document. */
async function openLog(name: string, text: string): Promise<TextDocument> {
  writeOnDisk(name, text);
  return (await open(name)).document;
}

const gearbox = () => readFromDisk('gearbox.rebuild');

suite('a fault typed in', () => {
  const variants: Record<string, () => string> = {
    'lf.rebuild': gearbox,
    'crlf.rebuild': () => gearbox().replaceAll('\n', '\r\n'),
    'emoji.rebuild': () => gearbox().replace('[all] to', '[all] because "🔧🔩 again" to'),
    'decomposed.rebuild': () => gearbox().replace('[all] to', '[all] because "schlu\u0308ssel" to'),
  };
  for (const [name, text] of Object.entries(variants)) {
    test(`shows at its place, and its quick fix makes it go: ${name}`, async () => {
      const document = await openLog(name, text());
      assert.equal(document.eol, name === 'crlf.rebuild' ? EndOfLine.CRLF : EndOfLine.LF);
      await replace(document, right, wrong);
      const found = (await findings(document.uri, has(rule))).filter((finding) => ruleOf(finding) === rule);
      assert.equal(found.length, 1);
      assert.deepEqual(found[0]?.range, placeOf(document, wrong));

      const fix = await quickFix(document, wrong);
      assert.ok(fix.edit, `${fix.title} has an edit`);
      await workspace.applyEdit(fix.edit);
      await findings(document.uri, hasNo(rule));
      placeOf(document, '(88 in·lbf)');
    });
  }

  test('is told apart from the rest: the file has no other finding of an error', async () => {
    const document = await openLog('alone.rebuild', gearbox());
    await replace(document, right, wrong);
    const found = await findings(document.uri, has(rule));
    assert.deepEqual(found.filter((finding) => finding.severity === 0).map(ruleOf), [rule]);
  });

  test('is found in a file that was never saved', async () => {
    const content = `log "Unsaved"\nstep "Cover" 2026-05-03\n  torque cover-m6[1] to 10 N·m (${wrong})\n`;
    const document = await workspace.openTextDocument({ language: 'rebuild-log', content });
    const found = await findings(document.uri, has(rule));
    assert.deepEqual(found.find((finding) => ruleOf(finding) === rule)?.range, placeOf(document, wrong));
  });

  test('is found again after the server was restarted', async () => {
    const document = await openLog('restarted.rebuild', gearbox().replace(right, wrong));
    await findings(document.uri, has(rule));
    const gone = findings(document.uri, hasNo(rule));
    await commands.executeCommand('witnessmark.restartServer');
    await gone;
    await findings(document.uri, has(rule));
  });
});

suite('while reading', () => {
  test('the hover of a torque shows it in the other unit', async () => {
    const { document } = await open('gearbox.rebuild');
    const hovers = await commands.executeCommand<Hover[]>(
      'vscode.executeHoverProvider',
      document.uri,
      placeOf(document, '10 N·m').start,
    );
    const shown = hovers
      .flatMap((hover) => hover.contents.map((part) => (part as MarkdownString).value))
      .join('\n');
    assert.match(shown, /89 in·lbf/);
  });

  test('the outline lists the steps', async () => {
    const { document } = await open('gearbox.rebuild');
    const symbols = await commands.executeCommand<DocumentSymbol[]>(
      'vscode.executeDocumentSymbolProvider',
      document.uri,
    );
    const names = symbols.flatMap((symbol) => [symbol, ...symbol.children]).map((symbol) => symbol.name);
    for (const step of ['Measure', 'Close the cover']) {
      assert.ok(
        names.some((name) => name.includes(step)),
        `${step} in ${names.join(' | ')}`,
      );
    }
  });

  test('a step folds over its entries', async () => {
    const { document } = await open('gearbox.rebuild');
    const folds = await commands.executeCommand<FoldingRange[]>(
      'vscode.executeFoldingRangeProvider',
      document.uri,
    );
    const step = placeOf(document, 'step "Measure"').start.line;
    const last = placeOf(document, 'measure end-float').start.line;
    assert.ok(
      folds.some(({ start, end }) => start === step && end === last),
      JSON.stringify(folds),
    );
  });
});

suite('formatting', () => {
  test('gives the canonical form and nothing else', async () => {
    const canonical = gearbox();
    const untidy = canonical
      .replace('  torque cover-m6', '       torque    cover-m6')
      .replace('  fit', 'fit');
    assert.notEqual(untidy, canonical);
    const document = await openLog('untidy.rebuild', untidy);
    const edits = await commands.executeCommand<TextEdit[]>(
      'vscode.executeFormatDocumentProvider',
      document.uri,
      {
        tabSize: 2,
        insertSpaces: true,
      },
    );
    const edit = new WorkspaceEdit();
    edit.set(document.uri, edits);
    await workspace.applyEdit(edit);
    assert.equal(document.getText(), canonical);
  });
});

suite('a log is checked again when its limits change', () => {
  const limits = () => readFromDisk('gearbox.limits');
  const narrower = '0.045 mm';
  const wear = '0.06 mm';

  test('in the editor, unsaved', async () => {
    writeOnDisk('edited.limits', limits());
    const log = await openLog('edited.rebuild', gearbox().replace('gearbox.limits', 'edited.limits'));
    const table = (await open('edited.limits')).document;
    await replace(table, wear, narrower);
    const found = await findings(log.uri, has('out-of-limits'));
    const place = found.find((finding) => ruleOf(finding) === 'out-of-limits')?.range;
    assert.ok(place && placeOf(log, 'measure shaft-runout = 0.05 mm with DT1').contains(place));
    await replace(table, narrower, wear);
    await findings(log.uri, hasNo('out-of-limits'));
  });

  test('on disk, while it is not open', async () => {
    writeOnDisk('on-disk.limits', limits());
    const log = await openLog('on-disk.rebuild', gearbox().replace('gearbox.limits', 'on-disk.limits'));
    writeOnDisk('on-disk.limits', limits().replace(wear, narrower));
    await findings(log.uri, has('out-of-limits'));
    writeOnDisk('on-disk.limits', limits());
    await findings(log.uri, hasNo('out-of-limits'));
  });

  test('on disk, when they come into being', async () => {
    const log = await openLog('later.rebuild', gearbox().replace('gearbox.limits', 'later.limits'));
    await findings(log.uri, has('import-missing'));
    writeOnDisk('later.limits', limits());
    await findings(log.uri, hasNo('import-missing'));
  });
});

/**
 * The quick fix that is offered for the finding at `part`. Asked again when nothing comes: the editor drops the
 * answers when another extension, still waking up, registers fixes of its own meanwhile.
 */
async function quickFix(document: TextDocument, part: string): Promise<CodeAction> {
  let offered: CodeAction[] = [];
  for (let asked = 0; asked < 5 && offered.length === 0; asked++) {
    offered = await commands.executeCommand<CodeAction[]>(
      'vscode.executeCodeActionProvider',
      document.uri,
      placeOf(document, part),
      CodeActionKind.QuickFix.value,
      10,
    );
  }
  const fix = offered.find((action) =>
    action.edit?.get(document.uri).some((edit) => edit.newText.includes('in·lbf')),
  );
  assert.ok(fix, `a fix among: ${offered.map((action) => action.title).join(' | ')}`);
  return fix;
}
