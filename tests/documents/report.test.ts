/** Reports: what the page, the Markdown, the CSV and the JSON say of a log, and that nobody's text can break them. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import {
  recordEntry,
  recordEntryText,
  reportBody,
  reportColumns,
  reportCsv,
  reportFacts,
  reportHtml,
  reportMarkdown,
} from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { readCheckValues } from '../checkvalues/read.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

const released = 'tern-460/0117-second-rebuild.rebuild';
const open = 'tern-460/0122-first-rebuild.rebuild';
const logs = [released, open, 'pump-gearbox/no-4.rebuild'];

const samples = sampleWorkspace();
const factsOf = (path: string) => reportFacts(checkedIn(samples, path))!;
const pageOf = (path: string) => reportHtml(checkedIn(samples, path))!;

/** A log with its table of limits, checked. */
function checkedLog(log: string, limits = '') {
  const workspace = createWorkspace();
  workspace.set('table.limits', `limits "Pump"\n${limits}`);
  workspace.set('log.rebuild', `log "Pump no. 1"\nuse "table.limits"\n${log}`);
  return checkedIn(workspace, 'log.rebuild');
}

test('a table of limits is told by its title, also when its first line is broken by its path', () => {
  const limitsOf = (first: string) => {
    const workspace = createWorkspace();
    workspace.set('table.limits', `${first}\nlimit runout 0..0.05 mm\n`);
    workspace.set('log.rebuild', 'log "Pump no. 1"\nuse "table.limits"\n');
    return />Limits<\/dt>\s*<dd[^>]*>([^<]*)</.exec(
      reportBody(checkedIn(workspace, 'log.rebuild')) ?? '',
    )?.[1];
  };
  expect(limitsOf('limits "Pump, issue 2"')).toBe('Pump, issue 2');
  expect(limitsOf('source "Shop sheet"\nlimits "Pump, issue 2"')).toBe('Pump, issue 2');
  expect(limitsOf('limit "Pump')).toBe('table.limits');
});

test('of an editor’s address the page tells the name of the file alone', () => {
  const workspace = createWorkspace();
  workspace.set('file:///home/ada/log.rebuild', 'log "Pump no. 1"\n');
  const body = reportBody(checkedIn(workspace, 'file:///home/ada/log.rebuild'));
  expect(body).toContain('Made by Witnessmark from log.rebuild.');
  expect(body).not.toContain('/home/ada');
});

/** Reads RFC 4180 text by its own grammar. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let rest = text;
  while (rest !== '') {
    const [whole, quoted, plain, end] = /^(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/.exec(rest) ?? [];
    if (whole === undefined) throw new Error(`not RFC 4180: ${rest.slice(0, 60)}`);
    rows.at(-1)!.push(quoted?.replaceAll('""', '"') ?? plain!);
    rest = rest.slice(whole.length);
    if (end === '\r\n' && rest !== '') rows.push([]);
  }
  return rows;
}

describe.each(logs)('the page of %s', (path) => {
  const html = pageOf(path);

  test('stands alone: no script, nothing fetched, no handler', () => {
    expect(html).not.toMatch(/<script|<link|<iframe|<object|<embed|<img|@import|\bon\w+=/i);
    expect(
      html
        .match(/\b(?:src|href|action|srcset|poster|data)="[^"]*"/g)!
        .filter((one) => !/^href="#[a-z]+"$/.test(one)),
    ).toEqual([]);
    expect(html).not.toMatch(/url\(/);
    expect(html.replaceAll('xmlns="http://www.w3.org/2000/svg"', '')).not.toMatch(/https?:/);
    expect(html).toContain("default-src 'none'");
  });

  test('every drawing is an image with words', () => {
    const drawings = html.match(/<svg[^>]*>.*?<\/svg>/gs)!;
    expect(drawings.length).toBeGreaterThan(5);
    for (const drawing of drawings) {
      expect(drawing).toMatch(/^<svg[^>]* role="img"/);
      expect(/<title>([^<]+)<\/title>/.exec(drawing)![1]!.length).toBeGreaterThan(10);
    }
  });

  test('is well formed: tags close in order, ids are there once, headings go down by one', () => {
    const stack: string[] = [];
    const empty = new Set(['meta', 'br', 'wbr', '!doctype']);
    for (const [, close, name, selfClosed] of html.matchAll(/<(\/?)([a-z!][a-z0-9]*)\b[^>]*?(\/?)>/gi)) {
      const tag = name!.toLowerCase();
      if (empty.has(tag) || selfClosed === '/') continue;
      if (close === '') stack.push(tag);
      else expect([stack.pop(), tag]).toEqual([tag, tag]);
    }
    expect(stack).toEqual([]);
    const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, target] of html.matchAll(/href="#([^"]+)"|aria-labelledby="([^"]+)"/g))
      if (target !== undefined) expect(ids).toContain(target);
    const levels = [...html.matchAll(/<h([1-6])/g)].map(([, level]) => Number(level));
    expect(levels[0]).toBe(1);
    levels.forEach((level, i) => {
      expect(level - (levels[i - 1] ?? 0)).toBeLessThanOrEqual(1);
    });
  });

  test('every table heads its columns and rows; none is empty', () => {
    for (const [table] of html.matchAll(/<table.*?<\/table>/gs)) {
      const columns = table.match(/<th scope="col"/g)!.length;
      for (const [row] of table.matchAll(/<tr(?: data-line="\d+")?>.*?<\/tr>/gs)) {
        if (row.includes('scope="col"')) expect(row).not.toMatch(/<th scope="col"[^>]*><\/th>/);
        else expect(row.match(/<th scope="row"/g)).toHaveLength(1);
        expect(row.match(/<t[hd][ >]/g)).toHaveLength(columns);
      }
    }
  });

  test('rows lead back to their lines', () => {
    const { file } = checkedIn(samples, path);
    const last = file.text.split('\n').length;
    const lines = [...html.matchAll(/data-line="(\d*)"/g)].map(([, line]) => Number(line));
    expect(lines.length).toBeGreaterThan(20);
    for (const line of lines) expect(line).toSatisfy((n: number) => n >= 1 && n <= last);
  });

  test('has light and dark, and breaks no row in print', () => {
    expect(html).toContain('prefers-color-scheme:dark');
    expect(html).toMatch(/@media print\{/);
    expect(html).toMatch(/tr,figure,.keep\{break-inside:avoid\}/);
    expect(html).toContain('<html lang="en">');
  });

  test('carries the caution, and the words of every finding', () => {
    expect(html).toContain("The maker's current manual");
    const text = html
      .replaceAll(/<\/?(?:code|wbr)[^>]*>/g, '')
      .replaceAll('&quot;', '"')
      .replaceAll('&#39;', "'")
      .replaceAll('&lt;', '<')
      .replaceAll('&gt;', '>')
      .replaceAll('&amp;', '&');
    for (const { message, severity } of checkedIn(samples, path).findings)
      if (severity !== 'hint') expect(text).toContain(message.replaceAll('`', ''));
  });
});

test('a log that states no hours shows those that the earlier one ended with, in tenths', () => {
  const workspace = createWorkspace();
  const machine = 'machine pump serial "4"';
  workspace.set(
    'first.rebuild',
    `log "Pump"\n${machine} hours 310 h\nperson JM "Jory Marsh" inspector\nstep "Run" 2026-05-02\n  run 24 min\nrelease JM "Done" 2026-05-02 18:00\n`,
  );
  workspace.set('log.rebuild', `log "Pump again"\nuse "first.rebuild"\n${machine}\n`);
  const checked = checkedIn(workspace, 'log.rebuild');
  expect(reportFacts(checked)?.machine).toMatchObject({ hoursBefore: '310.4 h', hoursAfter: '310.4 h' });
  expect(reportMarkdown(checked)).toContain('pump no. 4, 310.4 h ·');
});

describe('what the released log comes to', () => {
  const facts = factsOf(released);
  const member = (target: string) =>
    facts.characteristics.flatMap((one) => one.members).find((one) => one.target === target)!;

  test('machine, hours, people', () => {
    expect(facts.machine).toEqual({
      name: 'tern-460',
      serial: '0117',
      hoursBefore: '312.4 h',
      hoursRun: '0.5 h',
      hoursAfter: '312.9 h',
    });
    expect([facts.from, facts.to]).toEqual(['2026-05-02', '2026-05-20']);
    expect(facts.people.map(({ name, worked }) => [name, worked])).toEqual([
      ['AQ', true],
      ['JM', false],
    ]);
  });

  test('readings: what stands, what was found, in which size', () => {
    const rear = member('bore[rear]');
    expect(rear.grade).toBe('os1');
    expect(rear.readings.filter((one) => one.history === null)).toHaveLength(6);
    expect(rear.readings[0]).toMatchObject({
      text: '67.571 mm',
      history: 'as found',
      verdict: 'outside',
      used: 1.275,
    });
    expect(rear.verdict).toBe('inside');
    expect(member('seal-bore[front]').readings.map((one) => one.history)).toEqual(['corrected', null]);
    expect(member('piston-clearance[front]').workedOut?.text).toBe('0.075..0.082 mm');
    expect(member('leak-drop').readings[0]?.conditions).toBe('0.5 bar, 3 min');
    expect(member('piston-skirt[front]').readings[0]?.uncertainty).toBeCloseTo(
      // U of the micrometer, and the thermometer's half degree with what al-si and steel differ by.
      2 * Math.hypot(0.00075, (67.432 * 8.5e-6 * 0.5) / Math.sqrt(3)),
      12,
    );
    expect(
      facts.characteristics.flatMap((one) => one.members).filter((one) => one.verdict !== 'inside'),
    ).toEqual([]);
  });

  test('fasteners: stages, order, lock and stripe', () => {
    const group = (name: string) => facts.fastenerGroups.find((one) => one.name === name)!;
    expect(group('case-m8').passes.map((pass) => [pass.torque, pass.order?.join(' ')])).toEqual([
      ['12 N·m', '5 6 4 7 3 8 2 9 1 10'],
      ['24 N·m', '5 6 4 7 3 8 2 9 1 10'],
    ]);
    expect(group('case-m8').members.every((one) => one.striped && one.progress === 'done')).toBe(true);
    expect(group('hub-nut').members[0]).toMatchObject({ lock: 'cotter', tightenings: [{ drag: '2.2 N·m' }] });
    expect(group('coupling-bolt').members[0]!.tightenings[0]).toMatchObject({
      torque: '15 N·m',
      angle: '60 °',
    });
  });

  test('parts share a row where they share their lines', () => {
    const part = (target: string) => facts.parts.find((one) => one.target === target);
    expect(part('crank-seal[front rear]')).toMatchObject({
      out: { scrapped: true, because: 'lip hardened' },
      in: { condition: 'new', pn: 'TN-2217', batch: 'B40', at: '2026-05-10' },
    });
    expect(part('cylinder[rear]')?.in?.grade).toBe('os1');
    expect(part('bung[1 2 3 4]')).toMatchObject({ in: { line: 118 }, out: { line: 120 } });
  });

  test('cures: the wait between sealing and torque', () => {
    const [seal, lock] = facts.cures;
    expect(seal).toMatchObject({ to: 'case-joint', cure: '12 h', applied: '2026-05-10 17:52' });
    expect(seal!.until - seal!.from).toBe(720);
    expect(seal!.loaded).toMatchObject({ what: 'torque case-m8' });
    // 17:52 to 09:15 the next day.
    expect(seal!.loaded!.minutes - seal!.from).toBe(923);
    expect(lock!.loaded?.what).toBe('run');
  });

  test('the page tells it', () => {
    const html = pageOf(released);
    expect(html).toContain('<strong>No errors and no warnings.</strong>');
    expect(html).toMatch(/<dt>Values in limits<\/dt><dd>40 of 40</);
    expect(html).toMatch(/<dt>Fasteners torqued<\/dt><dd>63 of 63</);
    expect(html).toContain('15 h 23 min');
    expect(html).toContain('bore[rear]. top: thrust 67.762 mm, pin 67.760 mm');
  });
});

test('an open log: what is wrong comes first, and what is due is said', () => {
  const facts = factsOf(open);
  expect(facts.findings[0]?.severity).toBe('error');
  const html = pageOf(open);
  expect(html).toContain('past its limit');
  expect(html).toMatch(/case-m6: 2 of 4 torqued/);
  expect(html).toContain('still open');
  expect(html).toContain('9f3c0d1e7a55b2c4: BROKEN');
  expect(facts.signatures.map(({ markHolds }) => markHolds)).toEqual([false]);
  expect(factsOf(released).signatures.map(({ markHolds }) => markHolds)).toEqual([true, true, true]);
});

test('whoever builds and releases alone is named as having done so', () => {
  const alone = sampleWorkspace();
  const path = 'pump-gearbox/no-4.rebuild';
  alone.set(path, samples.file(path)!.text.replaceAll(/\bJM\b/g, 'AQ'));
  expect(reportHtml(checkedIn(alone, path))).toContain('nobody else looked at it');
  expect(pageOf(released)).not.toContain('nobody else looked at it');
});

test('a table of limits and a register have no report', () => {
  for (const path of ['tern-460/tern-460.limits', 'tern-460/harbour.bench'])
    for (const write of [reportHtml, reportBody, reportMarkdown, reportCsv, reportFacts])
      expect(write(checkedIn(samples, path))).toBeUndefined();
});

test('a log with nothing in it yet', () => {
  for (const text of ['', 'log "?"\n', 'step\n', 'log "x"\nmachine m serial ? hours ? h\nrun ? h\n']) {
    const workspace = createWorkspace();
    workspace.set('new.rebuild', text);
    const checked = checkedIn(workspace, 'new.rebuild');
    expect(reportHtml(checked)).toContain('Not signed yet.');
    expect(reportMarkdown(checked)).toContain('# ');
    expect(readCsv(reportCsv(checked)!)[0]).toEqual([...reportColumns]);
  }
});

describe('text of a user', () => {
  const nasty = `</pre><script>alert(1)</script>&"'|\`*_#`;
  const written = nasty.replaceAll('\\', '\\\\').replaceAll('"', '\\"');
  const checked = checkedLog(
    `machine m serial "${written}" hours 1 h
person AQ "${written}" builder inspector licence "${written}"
tool T1 "${written}" range 0..9 mm
step "${written}" 2026-05-03 10:00 by AQ with T1
  measure gap = 1.5 mm as found because "${written}"
  fit seal new pn "${written}" batch "${written}" facing "${written}" because "${written}"
  inspect "${written}" pass
  photo "${written}" "${written}"
  open R1 "${written}"
  accept gap because "${written}" by AQ
  run 5 min "${written}"
  note ${nasty}
sign AQ "${written}" 2026-05-04
`,
    `limit gap 1..2 mm ref "${written}"\npart seal "${written}"\n`,
  );

  test('is escaped in the page', () => {
    const html = reportHtml(checked)!;
    expect(html).not.toContain('<script');
    expect(html.match(/&lt;script&gt;alert\(1\)/g)!.length).toBeGreaterThan(12);
  });

  test('is escaped in Markdown, in a table too', () => {
    const markdown = reportMarkdown(checked)!;
    const outside = markdown.replace(/```[\s\S]*?```/g, '');
    expect(outside).not.toMatch(/[^\\]<script/);
    const cells = outside
      .split('\n')
      .filter((line) => line.startsWith('|'))
      .map((line) => line.replaceAll('\\|', '').split('|').length);
    const widths = outside
      .split('\n\n')
      .map((part) => part.split('\n').filter((line) => line.startsWith('|')));
    for (const rows of widths)
      expect(
        new Set(rows.map((line) => line.replaceAll('\\|', '').split('|').length)).size,
      ).toBeLessThanOrEqual(1);
    expect(cells.length).toBeGreaterThan(10);
  });
});

describe('CSV', () => {
  test.each(logs)('%s: every row has every column', (path) => {
    const rows = readCsv(reportCsv(checkedIn(samples, path))!);
    expect(rows[0]).toEqual([...reportColumns]);
    for (const row of rows) expect(row).toHaveLength(reportColumns.length);
  });

  test('a reading and its limits', () => {
    const rows = readCsv(reportCsv(checkedIn(samples, released))!).map((row) =>
      Object.fromEntries(row.map((cell, i) => [reportColumns[i], cell])),
    );
    expect(rows.find((row) => row.target === 'bore[front]' && row.place === 'top/thrust')).toMatchObject({
      kind: 'reading',
      line: '42',
      low: '67.512',
      unit: 'mm',
      new_lower: '67.5',
      new_upper: '67.52',
      wear_upper: '67.56',
      verdict: 'inside',
      standing: 'stands',
      tool: 'BG1',
      at: '2026-05-09',
    });
    expect(rows.filter((row) => row.kind === 'torque' && row.target === 'case-m8[3]')).toHaveLength(2);
  });

  test('text that a spreadsheet would run is held back, numbers below zero are not', () => {
    const checked = checkedLog(
      'step "x" 2026-05-03\n  measure gap = -0.02 mm because "=HYPERLINK(1)"\n  open R1 "+1"\n  open R2 "@SUM(A1)"\n  open R3 "-2+3"\n',
      'limit gap -1..2 mm\n',
    );
    const cells = readCsv(reportCsv(checked)!).flat();
    expect(cells).toEqual(
      expect.arrayContaining(["'=HYPERLINK(1)", "'+1", "'@SUM(A1)", "'-2+3", '-0.02', '-1']),
    );
    expect(cells.filter((cell) => /^[=+@]/.test(cell))).toEqual([]);
  });
});

test('the JSON form has no field that its page does not explain, and loses nothing', () => {
  const page = readFileSync(join(import.meta.dirname, '../../server/documents/report.md'), 'utf8');
  const keys = new Set<string>();
  const visit = (value: unknown): void => {
    expect(value).not.toBeUndefined();
    if (Array.isArray(value)) for (const one of value) visit(one);
    else if (typeof value === 'object' && value !== null)
      for (const [key, one] of Object.entries(value)) {
        keys.add(key);
        visit(one);
      }
  };
  for (const path of logs) {
    const facts = factsOf(path);
    visit(facts);
    expect(JSON.parse(JSON.stringify(facts))).toEqual(facts);
  }
  expect([...keys].filter((key) => !page.includes(`\`${key}\``))).toEqual([]);
  expect(reportColumns.filter((column) => !page.includes(`\`${column}\``))).toEqual([]);
});

// tests/checkvalues/record_content_rules.csv: what US 14 CFR 43 and 91, NZ CAR 43 and AC 43.13-1B ask of an entry.
describe('the entry for the paper logbook', () => {
  const asked = readCheckValues('record_content_rules.csv');
  const fieldsOf = (path: string) => recordEntry(factsOf(path)).flatMap((section) => section.fields);

  test.each(asked.map((row) => [`${row.rule} ${row.item}`, row.field!]))('%s: %s', (_, field) => {
    const names = field.split(';').map((name) => name.trim());
    // 43.2 names what an overhaul and a rebuild are made of; each part is a field.
    for (const path of logs)
      for (const name of names)
        expect(
          fieldsOf(path).filter((one) => (one.answers as readonly string[]).includes(name)),
        ).toHaveLength(1);
  });

  test('says what the released log says, and leaves blanks where it does not', () => {
    const text = recordEntryText(factsOf(released));
    const field = (name: string) =>
      fieldsOf(released).find((one) => (one.answers as readonly string[]).includes(name))!;
    expect(field('total_time').lines).toEqual(['312.9 h (312.4 h before the work, 0.5 h run in it)']);
    expect(field('completion_date').lines).toEqual(['2026-05-20 18:00']);
    expect(field('performed_by').lines).toEqual(['Ada Quill (AQ)']);
    expect(field('certificate_number').lines).toEqual(['demo-4471']);
    expect(field('discrepancy_statement').lines).toEqual(['None recorded in the log.']);
    expect(field('measurements').lines).toContain('crank-runout 0.03 mm (new 0..0.05 mm, wear <= 0.08 mm)');
    expect(field('wrench_calibration').lines).toContain(
      'TW1 3/8 click wrench: calibrated 2026-03-02, due 2027-03-02',
    );
    for (const name of [
      'cleaned',
      'inspection_type',
      'certificate_kind',
      'time_since_overhaul',
      'inspection_status',
      'ad_status',
    ])
      expect(field(name).lines).toEqual([]);
    for (const name of ['approver_signature', 'return_to_service_statement'])
      expect(field(name).blank).toBe(true);
    expect(text).toMatch(/^Signature +_{10,}$/m);
    expect(text).toMatch(/^Cleaned +_{10,}$/m);
    for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(92);
  });

  test('an open log is not approved, and lists what is wrong with dates', () => {
    const field = fieldsOf(open).find((one) => one.answers.includes('discrepancy_statement'))!;
    expect(field.lines.length).toBeGreaterThan(20);
    for (const line of field.lines) expect(line).toMatch(/^(\d{4}-\d{2}-\d{2}|_+) /);
    expect(recordEntryText(factsOf(open))).toContain('Not released: the log is open.');
  });
});

test('an inspection that something since made history is not shown as passed', () => {
  const checked = checkedLog(
    'step "Work" 2026-05-02 14:00\ninspect seals pass\nremove seal scrap\nfit seal new\n',
    'part seal "seal"\ninspection seals "Seals seated" of seal\n',
  );
  expect(reportFacts(checked)!.inspections).toMatchObject([{ verdict: 'pass', dueAgain: true }]);
  for (const write of [reportHtml, reportMarkdown, reportCsv]) expect(write(checked)).toContain('due again');
  expect(recordEntryText(reportFacts(checked)!)).toContain('Seals seated: pass, due again');
});

test('a fastener that is accepted as it is does not count as torqued', () => {
  const checked = checkedLog(
    `person JM "Jory Marsh" inspector
step "Torque" 2026-05-01 10:00
  torque case[1..3] to 24 N·m
  torque case[4] to 20 N·m
  accept case[4] because "thread tired" by JM
`,
    'fastener case[1..4] M8 torque 24 ± 2 N·m\n',
  );
  expect(reportMarkdown(checked)).toContain('| case | 22..26 N·m | 3 of 4 |');
  expect(checked.findings.map(({ rule }) => rule)).toEqual(['concession']);
});

test('a member is accepted only where all that is past its limit is', () => {
  const verdicts = (accept: string, since = '') =>
    reportFacts(
      checkedLog(
        `person JM "Jory Marsh" inspector
step "Measure" 2026-05-01 10:00
  measure journal[1] @ (x y) = 41.89 mm
  ${accept} because "polished" by JM
${since}`,
        'limit journal[1 2] @ (x y) 41.95..41.98 mm wear >= 41.90 mm\n',
      ),
    )!.characteristics.flatMap(({ members }) => members.slice(0, 1).map(({ verdict }) => verdict));
  expect(verdicts('accept journal[1] @ x')).toEqual(['outside']);
  expect(verdicts('accept journal[1] @ (x y)')).toEqual(['accepted']);
  expect(verdicts('accept journal')).toEqual(['accepted']);
  // What was known then was accepted, and no more.
  const again = (value: string) => verdicts('accept journal', `  measure journal[1] @ x = ${value} mm\n`);
  expect(again('41.89')).toEqual(['accepted']);
  expect(again('41.87')).toEqual(['outside']);
});

test('one of a thing is written in the singular', () => {
  const checked = checkedLog(
    `machine pump serial "1"
step "Test" 2026-05-02 by RP
  inspect seats pass
  measure leak = 0.2 bar when 2 bar, 3 min
`,
    `person RP "Ruth Penn" builder
inspection seats "seats clean"
limit leak <= 0.1 bar when 2 bar, 3 min
`,
  );
  const markdown = reportMarkdown(checked);
  expect(markdown).toContain(' · 1 error, 0 warnings · ');
  expect(markdown).toContain('1 of 1 values measured or worked out, 1 inspection passed');
  expect(markdown).toContain('1 test reading, above');
});

test('what was read under other conditions, or on no side of the dead centre, is not said to be in limits', () => {
  const checked = checkedLog(
    `machine pump serial "1"
step "Test" 2026-05-02
  measure leak[a] = 0.1 bar when 2 bar, 5 min
  measure leak[b] = 0.1 bar when 2 bar, 3 min
  measure leak[c] = 0.9 bar when 2 bar, 3 min
  measure leak[d] = 0.1 bar
  measure timing = 2.0 mm
`,
    `limit leak[a b c d] <= 0.2 bar when 2 bar, 5 min
limit timing 1.9..2.1 mm BTDC
`,
  );
  const members = reportFacts(checked)!.characteristics.flatMap((one) => one.members);
  expect(members.map(({ target, verdict }) => [target, verdict])).toEqual([
    ['leak[a]', 'inside'],
    ['leak[b]', 'recorded'],
    ['leak[c]', 'outside'],
    ['leak[d]', 'recorded'],
    ['timing', 'recorded'],
  ]);
  expect(members.map(({ fresh }) => fresh!.text).slice(3)).toEqual([
    '<= 0.2 bar when 2 bar, 5 min',
    '1.9..2.1 mm BTDC',
  ]);
});

test('a release with errors in it does not read as one without', () => {
  const tooEarly = 'tern-460/0119-released-too-early.rebuild';
  const stateOf = (page: string) => /class="state (\w+)">([^<]*)</.exec(page)?.slice(1);
  expect(stateOf(pageOf(released))).toEqual(['good', 'released']);
  expect(stateOf(pageOf(open))).toEqual(['worn', 'open']);
  const { errors } = factsOf(tooEarly).summary;
  expect(errors).toBeGreaterThan(0);
  expect(stateOf(pageOf(tooEarly))).toEqual(['bad', `released with ${errors} errors`]);
  expect(reportMarkdown(checkedIn(samples, tooEarly))).toContain(`**released with ${errors} errors**`);
});

describe('a machine that was taken apart twice in one log', () => {
  const checked = checkedLog(
    `machine pump serial "1" hours 100.0 h
person AQ "Ada Quill" builder
person JM "Jory Marsh" inspector
step "First try" 2026-05-02 14:00 by AQ
  remove bearing scrap
  remove wheel
  fit bearing new pn "B-1" batch "7"
  fit wheel
  fit bung
  measure tooth = 5.8 mm
  accept tooth because "wheel on order" by JM
  inspect pattern pass by JM
  torque cap[1 2] to 24 N·m
  run 30 min
step "Again" 2026-05-09 14:00 by AQ
  remove bung
  remove wheel
  remove bearing
  fit bearing
  fit wheel new
  measure tooth = 6.2 mm
  inspect pattern pass by JM
  loosen cap[all]
  fit cap[all] new
  torque cap[1 3 2 4] to 24 N·m
`,
    `part bearing "bearing" life 800 h
part wheel "wheel" life 2 years, 1200 h
part bung "bung" temporary
limit tooth 6.1..6.3 mm wear >= 5.9 mm of wheel
inspection pattern "Contact pattern" of wheel
fastener cap[1..4] M8 torque 24 ± 2 N·m order 1 3 2 4
`,
  );
  const facts = reportFacts(checked)!;
  const fields = recordEntry(facts).flatMap((section) => section.fields);
  const field = (label: string) => fields.find((one) => one.label === label)!.lines;

  test('each part is told once, as it is at the end, with the fasteners that were replaced', () => {
    expect(field('Parts fitted')).toEqual([
      'bearing: new, part no. B-1, batch 7',
      'wheel: new',
      'cap[1..4]: new',
    ]);
    expect(field('Disassembled')).toEqual(['removed: bearing, wheel']);
    expect(field('Repaired')).toEqual(['replaced: bearing, wheel, cap[1..4]']);
    expect(facts.parts.find(({ name }) => name === 'cap')).toMatchObject({
      items: ['1', '2', '3', '4'],
      out: null,
      in: { condition: 'new', at: '2026-05-09' },
    });
  });

  test('lives count from the day on which the part that is in went in new', () => {
    expect(field('Life-limited parts')).toEqual([
      'bearing: life 800 h, new 2026-05-02 at 100.0 h, ends at 900.0 h',
      'wheel: life 2 years or 1200 h, new 2026-05-09 at 100.5 h, ends on 2028-05-09 or at 1300.5 h',
    ]);
  });

  test('what was inspected again is due no more, and counts once; a concession that was put right is over', () => {
    expect(field('Inspected')).toEqual([
      '2026-05-02 Contact pattern: pass (JM)',
      '2026-05-09 Contact pattern: pass (JM)',
    ]);
    expect(fields.filter(({ label }) => label === 'Inspected')[1]?.lines).toEqual([
      '1 of 1 values measured or worked out, 1 inspection passed',
    ]);
    expect(facts.concessions).toMatchObject([{ target: 'tooth', over: true }]);
    expect(field('Discrepancies').join()).not.toContain('wheel on order');
    for (const write of [reportHtml, reportMarkdown, reportCsv])
      expect(write(checked)).toContain('superseded');
  });

  test('members in a row are told as a run, on the page and in Markdown', () => {
    expect(reportHtml(checked)).toContain('cap<wbr>[1..4]');
    expect(reportMarkdown(checked)).toContain('| cap\\[1..4\\] |  | 2026-05-09, new |');
  });

  test('only passes that were not undone are told', () => {
    const [group] = facts.fastenerGroups;
    expect(group!.passes.map(({ order }) => order?.join(' '))).toEqual(['1 3 2 4']);
  });
});
