/** Facts for a database: their shape, their numbers, and a question asked with SQL. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import Ajv2020 from 'ajv/dist/2020.js';
import { expect, test } from 'vitest';
import {
  type ExportRow,
  exportColumns,
  exportFacts,
  exportRows,
  exportSchema,
  exportSql,
} from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { exportPage, withTables } from '../harness/export-page.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

const page = readFileSync(exportPage, 'utf8');

const LIMITS = `limits "Tern 460"
limit bore 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
limit crank-runout 0..0.05 mm wear <= 0.08 mm
fastener cover[1 2] M6 class 8.8 torque 88 ± 8 in·lbf stages 40 in·lbf ref "4.2"
`;

/** The rows of a small log of one machine. */
function rowsOf(serial: string, entries: string, head = ''): readonly ExportRow[] {
  const workspace = createWorkspace();
  workspace.set('tern.limits', LIMITS);
  workspace.set(
    `${serial}.rebuild`,
    `log "Tern 460 no. ${serial}"\nuse "tern.limits"\nmachine tern-460 serial "${serial}" hours 312.4 h\n${head}step "Work" 2026-05-02 14:00\n${entries}`,
  );
  return [...exportRows(checkedIn(workspace, `${serial}.rebuild`))];
}

const only = (rows: readonly ExportRow[], fact: string) => rows.filter((row) => row.fact === fact);

test('the page has the columns and facts that there are (node tests/harness/export-page.ts writes them)', () => {
  expect(page).toBe(withTables(page));
});

test('every row of the samples has the shape of the schema, and every kind of fact is one the page names', () => {
  const validate = new Ajv2020({ formats: { date: /^\d{4}-\d\d-\d\d$/ } }).compile(exportSchema());
  const workspace = sampleWorkspace();
  const seen = new Set<unknown>();
  for (const path of workspace.paths())
    for (const row of exportRows(checkedIn(workspace, path))) {
      expect(validate(row), JSON.stringify(validate.errors)).toBe(true);
      expect(Object.keys(row)).toEqual(exportColumns.map(({ name }) => name));
      seen.add(row.fact);
    }
  // Nothing was accepted by concession in one of the samples, perhaps; all the rest must be met.
  expect(Object.keys(exportFacts).filter((fact) => !seen.has(fact) && fact !== 'concession')).toEqual([]);
});

test('numbers are in one unit a kind, text is as written', () => {
  const rows = rowsOf(
    '1',
    '  measure bore = 2.6583 in\n  torque cover[1] to 40 in·lbf\n  torque cover[1] to 10 N·m\n  run 30 min "idle"\n  measure crank-runout = 0.03 mm\n',
  );
  // 2.6583 × 25.4 = 67.52082; an inch is 25.4 mm exactly (NIST SP 811).
  expect(only(rows, 'reading')[0]).toMatchObject({
    name: 'bore',
    text: '2.6583 in',
    low: 67.52082,
    unit: 'mm',
    new_upper: 67.52,
    wear_upper: 67.56,
    day: '2026-05-02',
    hours: 312.4,
  });
  // An inch-pound is 0.1129848290276167 N·m (NIST SP 811, Appendix B.8).
  expect(only(rows, 'torque')).toMatchObject([
    { name: 'cover', item: '1', text: '40 in·lbf', stage: 1, verdict: 'stage', unit: 'N·m' },
    { name: 'cover', item: '1', text: '10 N·m', low: 10, stage: 2, verdict: 'final' },
  ]);
  expect(only(rows, 'torque')[0]?.low).toBeCloseTo(40 * 0.1129848290276167, 9);
  expect(only(rows, 'torque-due')).toMatchObject([{ item: '2', verdict: 'due' }]);
  expect(only(rows, 'run')).toMatchObject([{ low: 0.5, high: 0.5, unit: 'h', hours: 312.9 }]);
  expect(only(rows, 'reading')[1]).toMatchObject({ name: 'crank-runout', hours: 312.9 });
});

test('a reading that no longer stands says why', () => {
  const rows = rowsOf(
    '1',
    '  measure bore = 67.51 mm\n  measure bore = 67.52 mm as corrected because "misread"\n',
  );
  expect(only(rows, 'reading').map(({ low, standing }) => [low, standing])).toEqual([
    [67.51, 'corrected'],
    [67.52, 'stands'],
  ]);
});

test('what was put on, run down and undone; notes; people with their roles', () => {
  const rows = rowsOf(
    '1',
    '  finger-tight cover[1 2]\n  apply stripe to cover[1 2] by AQ\n  loosen cover[2] because "washer forgotten"\n  note 3/8" drive # all of this\n',
    'person AQ "Ada Quill" builder\n',
  );
  for (const fact of ['finger-tight', 'apply', 'loosen', 'note', 'person'])
    expect([fact, only(rows, fact).length]).toEqual([fact, 1]);
  expect(only(rows, 'finger-tight')).toMatchObject([{ name: 'cover', item: '1 2', text: null }]);
  expect(only(rows, 'apply')).toMatchObject([{ name: 'cover', item: '1 2', text: 'stripe', people: 'AQ' }]);
  expect(only(rows, 'loosen')).toMatchObject([{ name: 'cover', item: '2', because: 'washer forgotten' }]);
  expect(only(rows, 'note')).toMatchObject([{ text: '3/8" drive # all of this', day: '2026-05-02' }]);
  expect(only(rows, 'person')).toMatchObject([{ name: 'AQ', text: 'Ada Quill', verdict: 'builder' }]);
});

test('every line of a log that says what happened is in some row', () => {
  const checked = checkedIn(sampleWorkspace(), 'tern-460/0117-second-rebuild.rebuild');
  const lines = new Set([...exportRows(checked)].map(({ line }) => line));
  const told = checked.rebuild.entries.filter(({ kind }) => kind !== 'close');
  // A reading of a table stands on the line of its row; a torque before the fastener was undone is history.
  const left = told.filter(
    ({ kind, block }) => kind !== 'measure' && kind !== 'torque' && !lines.has(block.line + 1),
  );
  expect(left.map(({ block }) => block.text.trim())).toEqual([]);
  expect(told.length).toBeGreaterThan(60);
});

test('a table of limits has no facts', () => {
  const workspace = createWorkspace();
  workspace.set('tern.limits', LIMITS);
  expect([...exportRows(checkedIn(workspace, 'tern.limits'))]).toEqual([]);
});

test('the question of the page, asked of a fleet in an engine', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-facts-'));
  try {
    const fleet = [
      ['0117', '67.530', '0.02'],
      ['0118', '67.540', '0.03'],
      ['0119', '67.564', '0.04'],
    ].flatMap(([serial = '', bore, runout]) =>
      rowsOf(serial, `  measure bore = ${bore} mm\n  measure crank-runout = ${runout} mm\n`),
    );
    const file = join(folder, 'facts.ndjson');
    writeFileSync(file, fleet.map((row) => `${JSON.stringify(row)}\n`).join(''));
    const instance = await DuckDBInstance.create(':memory:');
    const connection = await instance.connect();
    try {
      await connection.run(`CREATE TABLE facts (${exportSql()})`);
      await connection.run(`COPY facts FROM '${file}' (FORMAT json)`);
      const count = await connection.runAndReadAll(
        "SELECT count(*) FROM facts WHERE day = DATE '2026-05-02'",
      );
      expect(Number(count.getRows()[0]?.[0])).toBe(fleet.filter(({ day }) => day !== null).length);
      const question = /```sql\n([^`]*)```/.exec(page)?.[1] ?? '';
      const answer = await connection.runAndReadAll(question);
      // Shares of the wear allowance, 67.520 to 67.560 mm: 0.25, 0.5 and 1.1. None of the runouts has used any.
      expect(answer.getRowsJson()).toEqual([
        ['tern-460', 'bore', '3', 1.1, 0.62, '1'],
        ['tern-460', 'crank-runout', '3', 0, 0, '0'],
      ]);
    } finally {
      connection.closeSync();
      instance.closeSync();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test('a log that an editor names by its address has the same facts on the same lines', () => {
  const text = 'log "Pump"\nstep "Work" 2026-05-02 14:00\n  note Dry.\n  run 5 min "idle"\n';
  const rowsAt = (path: string) => {
    const workspace = createWorkspace();
    workspace.set(path, text);
    return [...exportRows(checkedIn(workspace, path))];
  };
  const uri = 'file:///home/ada/a.rebuild';
  expect(rowsAt(uri)).toEqual(rowsAt('a.rebuild').map((row) => ({ ...row, log: uri })));
  expect(rowsAt(uri).find((row) => row.fact === 'note')?.line).toBe(3);
});
