/** While somebody types: nothing comes and goes with the keys. */
import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { DocumentDiagnosticReport } from 'vscode-languageserver';
import { isTyping } from '../../server/lsp/held-findings.ts';
import { type Bundle, bundleServer, type Editor, startEditor } from './editor.ts';

const LIMITS = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
limit skirt[rear] 67.425..67.440 mm
limit clearance[rear] = bore - skirt 0.060..0.120 mm
`;
const LOG = `log "Tern 460 no. 0117"
use "tern.limits"
step "Measure" 2026-05-02 14:00
  measure skirt[rear] = 67.430 mm
  measure bore[rear] = `;

let bundle: Bundle;
let editor: Editor;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));

/** Types at the end of the log, a key at a time as fast as what is found comes back; gives the rules of each answer. */
async function typed(keys: string, log = LOG): Promise<{ rules: string[][]; uri: string; version: number }> {
  editor = await startEditor(bundle.server);
  editor.write('tern.limits', LIMITS);
  const uri = editor.write('a.rebuild', log);
  await editor.open(uri, log);
  const rulesOf = async (version: number) =>
    (await editor.diagnostics((one) => one.uri === uri && one.version === version)).diagnostics.map((one) =>
      String(one.code),
    );
  const rules = [await rulesOf(1)];
  const lines = log.split('\n');
  const line = lines.length - 1;
  let character = lines.at(-1)!.length;
  let version = 1;
  for (const key of keys) {
    const at = { line, character };
    await editor.change(uri, ++version, [{ range: { start: at, end: at }, text: key }]);
    rules.push(await rulesOf(version));
    character++;
  }
  return { rules, uri, version };
}

// Keys of one person follow each other within the pause; a machine that is busy may take longer, once.
describe('in an editor', { retry: 2 }, () => {
  afterEach(() => editor.close());

  test('a good reading typed digit by digit raises nothing on its way', async () => {
    const { rules } = await typed('67.511 mm\n');
    expect(rules[0]).toContain('syntax');
    // The text that lacked its value is whole with the first digit: that goes at once.
    expect(rules.slice(1).flat()).toEqual([]);
  });

  test('a line typed letter by letter raises nothing on its way but what it lacks in the end', async () => {
    const { rules } = await typed('  measure skirt[rear] = 67.430 mm with', `${LOG}67.511 mm\n`);
    expect(rules.slice(1).flat()).toEqual([]);
  });

  test('a bad one is told after a pause, and at once when the line is left', async () => {
    const { rules, uri, version } = await typed('67.571 mm');
    expect(rules.slice(1).flat()).toEqual([]);
    const told = await editor.diagnostics(
      (one) => one.uri === uri && one.version === version && one.diagnostics.length > 0,
    );
    expect(told.diagnostics.map((one) => one.code)).toContain('out-of-limits');
    await editor.close();
    const left = await typed('67.571 mm\n');
    expect(left.rules.at(-1)).toContain('out-of-limits');
  });

  test('a digit changed amid the line is told of at once', async () => {
    const log = `${LOG}67.511 mm\n`;
    editor = await startEditor(bundle.server);
    editor.write('tern.limits', LIMITS);
    const uri = editor.write('a.rebuild', log);
    await editor.open(uri, log);
    const line = log.split('\n').length - 2;
    const start = { line, character: '  measure bore[rear] = 67.5'.length };
    const range = { start, end: { line, character: start.character + 1 } };
    await editor.change(uri, 2, [{ range, text: '9' }]);
    const first = await editor.diagnostics((one) => one.uri === uri && one.version === 2);
    expect(first.diagnostics.map((one) => one.code)).toContain('out-of-limits');
  });

  test('what was told of the line stays and follows its digits', async () => {
    const { uri } = await typed('1 mm', `${LOG}67.57`);
    const messages = editor.published
      .filter((one) => one.uri === uri)
      .map((one) => one.diagnostics.find(({ code }) => code === 'missing-unit')?.message);
    // The text after `1` and after the unit; both while the number is typed.
    expect(messages.map((one) => String(one ?? '').split('`')[1])).toEqual([
      '67.57',
      '67.571',
      '67.571',
      undefined,
      undefined,
    ]);
  });
});

describe('in an editor that asks', { retry: 2 }, () => {
  afterEach(() => editor.close());

  /** Types a bad reading digit by digit and asks after each; gives what each answer told, and what more there is. */
  async function asked(refreshSupport: boolean) {
    editor = await startEditor(bundle.server, {
      textDocument: { diagnostic: {} },
      workspace: { diagnostics: { refreshSupport } },
    });
    let refreshed = () => {};
    const refresh = () =>
      new Promise<void>((resolve) => {
        refreshed = resolve;
      });
    editor.connection.onRequest('workspace/diagnostic/refresh', () => {
      refreshed();
      return null;
    });
    editor.write('tern.limits', LIMITS);
    const log = `${LOG}67`;
    const uri = editor.write('a.rebuild', log);
    await editor.open(uri, log);
    let previousResultId: string | undefined;
    const pull = async (): Promise<unknown> => {
      const report = await editor.connection.sendRequest<DocumentDiagnosticReport>(
        'textDocument/diagnostic',
        { textDocument: { uri }, ...(previousResultId === undefined ? {} : { previousResultId }) },
      );
      previousResultId = report.resultId;
      return report.kind === 'full' ? report.items.map(({ code }) => code) : report.kind;
    };
    const told = [await pull()];
    const lines = log.split('\n');
    let character = lines.at(-1)!.length;
    for (const [i, text] of [...'.571 mm'].entries()) {
      const at = { line: lines.length - 1, character: character++ };
      // A person's next key and the editor's question go out together.
      const change = editor.change(uri, i + 2, [{ range: { start: at, end: at }, text }]);
      told.push(await pull());
      await change;
    }
    return { told, pull, refresh };
  }

  test('the answer waits in the same way, and the editor is told to ask again', async () => {
    const { told, pull, refresh } = await asked(true);
    expect(told[0]).toEqual(['missing-unit']);
    expect(told.slice(1).flat()).not.toContain('out-of-limits');
    for (;;) {
      const again = refresh();
      const answer = await pull();
      if (answer !== 'unchanged') {
        expect(answer).toContain('out-of-limits');
        break;
      }
      await again;
    }
    expect(await pull()).toBe('unchanged');
  });

  test('one that cannot be told so gets all at once', async () => {
    const { told } = await asked(false);
    expect(told.at(-1)).toContain('out-of-limits');
  });
});

test.each([
  ['a letter', 'm', '', '', true],
  ['a blank', ' ', '', '', true],
  ['a letter of two units', '🔩', '', '', true],
  ['one taken away', '', '5', '', true],
  ['a quote that the editor closes', '""', '', '', true],
  ['a bracket that it closes', '[]', '', '', true],
  ['a letter between them', 'a', '', '"', true],
  ['a digit in a cell of a table', '5', '', ' |       |\r', true],
  ['one for another', '6', '5', '', false],
  ['a digit amid what is written', '5', '', ' mm', false],
  ['one taken away there', '', '5', ' mm', false],
  ['a digit above other cells', '5', '', ' | 67.514 |', false],
  ['what is pasted or completed', 'bore', '', '', false],
  ['what is cut', '', 'bore', '', false],
  ['a line break', '\n', '', '', false],
  ['a line break taken away', '', '\r\n', '', false],
])(
  '%s is a key of somebody who writes a line: %j for %j before %j, %s',
  (_, inserted, removed, after, expected) => {
    expect(isTyping(inserted, removed, after)).toBe(expected);
  },
);
