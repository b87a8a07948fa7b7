/** The documents of the command line, as the extension asks the server for them: over all logs of the folder. */
import { rmSync } from 'node:fs';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { dueList, exportRows, worksheetHtml } from '../../server/documents/index.ts';
import type { ViewResult } from '../../server/lsp/methods.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { type Bundle, bundleServer, startEditor } from './editor.ts';

const TABLE = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
part reed[rear] "reed block" life 5 years
`;
const log = (serial: string, bore: string) => `log "Tern 460 no. ${serial}"
use "tern.limits"
machine tern-460 serial "${serial}" hours 300 h
step "Work" 2020-05-02 14:00
  measure bore[rear] = ${bore} mm
  fit reed[rear] new
`;
const FILES = {
  'tern.limits': TABLE,
  'harbour.bench': 'bench "Harbour workshop"\ntool BG1 "bore gauge" range 50..100 mm due 2021-01-15\n',
  'a.rebuild': log('0117', '67.511'),
  'b ü.rebuild': log('0122', '67.565'),
  'c.rebuild': 'log "A machine without a name"\n',
};

let bundle: Bundle;
beforeAll(() => {
  bundle = bundleServer();
});
afterAll(() => rmSync(bundle.folder, { recursive: true, force: true }));

/** A server on the folder, nothing of it open, and the same files in a workspace of the test's own. */
async function openFolder() {
  const workspace = createWorkspace();
  const uris: Record<string, string> = {};
  const editor = await startEditor(bundle.server, {}, (write) => {
    for (const [name, text] of Object.entries(FILES)) {
      uris[name] = write(name, text);
      workspace.set(name, text);
    }
  });
  return { editor, workspace, uris };
}

test('what comes due, by every log and register of the folder', async () => {
  const { editor, workspace } = await openFolder();
  const { body } = await editor.connection.sendRequest<ViewResult>('witnessmark/due', {});
  const rebuilds = Object.keys(FILES).map((path) => workspace.check(path)!.rebuild);
  const wanted = dueList(rebuilds, { on: '2026-01-01' }).items;
  expect(wanted.map(({ what }) => what).sort()).toEqual(['BG1', 'reed[rear]', 'reed[rear]']);
  expect(body.split('<tr><th scope="row">')).toHaveLength(wanted.length + 1);
  expect(body).toContain('<h2 class="bad">Overdue</h2>');
  // A file is named, not addressed.
  expect(body).toContain('b ü.rebuild:6');
  expect(body).toContain('c.rebuild at unknown hours');
  expect(body).not.toContain('file:');
  expect(body).not.toContain('<script');
  await editor.close();
});

test('facts of every log, as the command line exports them', async () => {
  const { editor, workspace, uris } = await openFolder();
  const text = await editor.connection.sendRequest<string>('witnessmark/facts', {
    root: uris['a.rebuild']!.replace(/\/a\.rebuild$/, ''),
  });
  const rows = text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as object);
  const own = ['a.rebuild', 'b ü.rebuild', 'c.rebuild'].flatMap((path) => [
    ...exportRows(workspace.check(path)!),
  ]);
  expect(rows).toEqual(own);
  await editor.close();
});

test('without a log there are no facts', async () => {
  const editor = await startEditor(bundle.server, {}, (write) => write('tern.limits', TABLE));
  expect(await editor.connection.sendRequest('witnessmark/facts', {})).toBeNull();
  await editor.close();
});

test('a bench card of a table, and none of a log', async () => {
  const { editor, workspace, uris } = await openFolder();
  await editor.open(uris['tern.limits']!, TABLE);
  const card = await editor.connection.sendRequest('witnessmark/benchCard', {
    uri: uris['tern.limits'],
    as: 'tern.limits',
  });
  expect(card).toBe(
    worksheetHtml({ path: 'tern.limits', scope: workspace.check('tern.limits')!.rebuild.scope }),
  );
  await editor.open(uris['a.rebuild']!, FILES['a.rebuild']);
  expect(
    await editor.connection.sendRequest('witnessmark/benchCard', { uri: uris['a.rebuild'], as: 'a.rebuild' }),
  ).toBeNull();
  await editor.close();
});
