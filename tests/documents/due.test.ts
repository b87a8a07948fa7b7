/** What comes due: by hours, by days, overdue first; a later log of the same machine has the last word. */
import { expect, test } from 'vitest';
import { dueHtml, dueList, dueText } from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

const LIMITS = `limits "Pump"
limit gap 1..2 mm wear <= 2.5 mm
fastener head[1..4] M8 torque 22 ± 1 N·m retorque 5 h
part seal[front rear] "seal" life 2 years, 200 h
`;
const PEOPLE = 'person AQ "Ada Quill" builder inspector\n';

/** Logs by name, beside one table of limits and one register. */
function rebuilds(logs: Readonly<Record<string, string>>, bench = '') {
  const workspace = createWorkspace();
  workspace.set('pump.limits', LIMITS);
  workspace.set('shop.bench', `bench "Shop"\n${bench}`);
  for (const [path, text] of Object.entries(logs))
    workspace.set(path, `log "Pump"\nuse "pump.limits"\nuse "shop.bench"\n${PEOPLE}${text}`);
  return Object.keys(logs).map((path) => checkedIn(workspace, path).rebuild);
}

const FIRST = `machine pump serial "1" hours 100 h
step "Build" 2026-03-01 09:00 by AQ
  fit seal[front rear] new
  torque head[1..4] to 22 N·m
  measure gap = 2.6 mm
  accept gap because "spare on order" by AQ until 150 h
release AQ "Done" 2026-03-02 10:00 hours 100 h
`;

const kinds = (list: ReturnType<typeof dueList>) =>
  list.items.map(({ kind, what, overdue }) => `${overdue ? 'overdue ' : ''}${kind} ${what}`);

test('lives by both clocks, later torques and concessions by hours, each from where it began', () => {
  const list = dueList(rebuilds({ 'a.rebuild': FIRST }), { on: '2026-04-01', hours: 103 });
  expect(
    list.items.map(({ kind, what, dueOn, dueAtHours, hoursLeft }) => [
      kind,
      what,
      dueOn,
      dueAtHours,
      hoursLeft,
    ]),
  ).toEqual([
    ['retorque', 'head[1..4]', null, 105, 2],
    ['concession', 'gap', null, 150, 47],
    ['life', 'seal[front and rear]', '2028-03-01', 300, 197],
  ]);
  expect(list.items[0]).toMatchObject({ machine: 'pump no. 1', path: 'a.rebuild', line: 8, overdue: false });
});

test('the last hour and the last day are still in time; past them it is overdue and comes first', () => {
  const logs = rebuilds({ 'a.rebuild': FIRST });
  const at = (hours: number, on: string) => kinds(dueList(logs, { on, hours }));
  expect(at(105, '2028-03-01')).toEqual([
    'retorque head[1..4]',
    'concession gap',
    'life seal[front and rear]',
  ]);
  expect(at(105.1, '2028-03-01')[0]).toBe('overdue retorque head[1..4]');
  expect(at(100, '2028-03-02')[0]).toBe('overdue life seal[front and rear]');
  expect(at(301, '2026-04-01')).toEqual([
    'overdue retorque head[1..4]',
    'overdue concession gap',
    'overdue life seal[front and rear]',
  ]);
});

test('without --hours the hours are those of the end of the last log', () => {
  const [log] = rebuilds({
    'a.rebuild': FIRST.replace(
      'hours 100 h\n',
      'hours 100 h\nstep "Run" 2026-03-01 08:00\n  run 4 h\n',
    ).replace('10:00 hours 100 h', '10:00'),
  });
  expect(dueList([log!], { on: '2026-04-01' }).machines).toEqual([{ name: 'pump no. 1', hours: 104 }]);
});

test('a later log has the last word on what it speaks of, whether it uses the earlier one or not', () => {
  const later = (use: string) => `${use}machine pump serial "1" hours 105 h
step "Again" 2026-05-01 09:00 by AQ
  torque head[1..4] to 22 N·m retorque
  fit seal[front] new
release AQ "Done" 2026-05-02 10:00
`;
  for (const use of ['', 'use "a.rebuild"\n']) {
    const logs = rebuilds({ 'a.rebuild': FIRST, 'b.rebuild': later(use) });
    for (const order of [logs, [...logs].reverse()]) {
      const { items, machines } = dueList(order, { on: '2026-06-01' });
      expect(machines).toEqual([{ name: 'pump no. 1', hours: 105 }]);
      expect(items.map(({ kind, what, dueOn, dueAtHours }) => [kind, what, dueOn, dueAtHours])).toEqual([
        ['concession', 'gap', null, 150],
        ['life', 'seal[rear]', '2028-03-01', 300],
        ['life', 'seal[front]', '2028-05-01', 305],
      ]);
    }
  }
});

test('logs whose serial number is still to be filled in are not taken for one machine', () => {
  const unnamed = FIRST.replace('"1"', '?');
  const later = unnamed.replaceAll('2026-03', '2026-04').replace('gap = 2.6 mm', 'gap = 1.5 mm');
  const list = dueList(rebuilds({ 'a.rebuild': unnamed, 'b.rebuild': later }), { on: '2026-04-10' });
  expect(list.machines.map(({ name }) => name)).toEqual(['a.rebuild', 'b.rebuild']);
  expect(kinds(list)).toContain('concession gap');
});

test('two machines are kept apart; the workshop is listed once', () => {
  const logs = rebuilds(
    { 'a.rebuild': FIRST, 'b.rebuild': FIRST.replace('serial "1"', 'serial "2"') },
    'tool T1 "wrench" range 5..50 N·m due 2026-03-31\nsealant rtv "RTV" cure 12 h due 2026-04-01\n',
  );
  const list = dueList(logs, { on: '2026-04-01' });
  expect(list.machines.map(({ name }) => name)).toEqual(['pump no. 1', 'pump no. 2']);
  expect(kinds(list).filter((line) => /T1|rtv/.test(line))).toEqual([
    'overdue calibration T1',
    'shelf-life rtv',
  ]);
  expect(list.items.filter(({ kind }) => kind === 'retorque')).toHaveLength(2);
});

test('hours that no log gives are said to be unknown, and nothing is guessed from them', () => {
  const list = dueList(
    rebuilds({ 'a.rebuild': FIRST.replace(' hours 100 h\nstep', '\nstep').replace(' hours 100 h\n', '\n') }),
    { on: '2026-04-01' },
  );
  expect(list.machines).toEqual([{ name: 'pump no. 1', hours: null }]);
  expect(list.items.find(({ kind }) => kind === 'retorque')).toMatchObject({
    dueAtHours: null,
    hoursLeft: null,
    overdue: false,
  });
  expect(dueText(list)).toContain('unknown hours');
});

test('the released sample: its heads are due after five hours, and the words are for a person', () => {
  const { rebuild } = checkedIn(sampleWorkspace(), 'tern-460/0117-second-rebuild.rebuild');
  const text = dueText(dueList([rebuild], { on: '2026-09-01', hours: 318 }));
  expect(text).toMatch(/^On 2026-09-01: tern-460 no\. 0117 at 318\.0 h\n\nOVERDUE\n/);
  expect(text).toMatch(/retorque +head-front\[1\.\.6\] +317\.4 h +0\.6 h over/);
  expect(text).toMatch(/life +crank-seal\[front and rear\] +2031-05-10 +4 years 8 months left/);
  expect(dueText(dueList([], { on: '2026-09-01' }))).toContain('Nothing comes due');
});

test('the page says the same as the text, overdue first, and text of a log cannot break out of it', () => {
  const list = dueList([checkedIn(sampleWorkspace(), 'tern-460/0117-second-rebuild.rebuild').rebuild], {
    on: '2026-11-25',
    hours: 330,
  });
  const page = dueHtml(list);
  expect(list.items.length).toBeGreaterThan(5);
  for (const { what, text } of list.items) {
    expect(page).toContain(`<th scope="row">${what}<br>`);
    expect(page).toContain(text);
  }
  expect(page.indexOf('<h2 class="bad">Overdue')).toBeLessThan(page.indexOf('<h2>Comes due'));
  expect(page).not.toMatch(/<script|(?:src|href)=/);
  const [first] = list.items;
  const odd = dueHtml({ ...list, items: [{ ...first!, text: '<script>alert(1)</script>' }] });
  expect(odd).toContain('&lt;script&gt;');
});

test('concessions for torques and parts come due too; work on them by a later log ends them', () => {
  const first = `machine pump serial "1" hours 100 h
step "Build" 2026-03-01 09:00 by AQ
  remove seal[front]
  accept seal[front] because "on order" by AQ until 110 h
  torque head[1..3] to 22 N·m
  torque head[4] to 18 N·m
  accept head because "thread tired" by AQ until 120 h
release AQ "Done" 2026-03-02 10:00 hours 100 h
`;
  const concessions = (logs: Readonly<Record<string, string>>) =>
    kinds(dueList(rebuilds(logs), { on: '2026-04-01', hours: 115 })).filter((one) =>
      one.includes('concession'),
    );
  expect(concessions({ 'a.rebuild': first })).toEqual([
    'overdue concession seal[front]',
    'concession head[4]',
  ]);
  const second = `machine pump serial "1" hours 112 h
step "Mend" 2026-03-20 09:00 by AQ
  fit seal[front] new
  torque head[4] to 22 N·m
`;
  expect(concessions({ 'a.rebuild': first, 'b.rebuild': second })).toEqual([]);
});

test('concessions for two places of a member come due each by itself', () => {
  const first = `limit journal[1 2] @ (x y) 41.95..41.98 mm wear >= 41.90 mm
machine pump serial "1" hours 100 h
step "Build" 2026-03-01 09:00 by AQ
  measure journal[1] @ (x y) = 41.89 mm
  accept journal[1] @ x because "polished" by AQ until 110 h
  accept journal[1] @ y because "to be ground" by AQ until 120 h
release AQ "Done" 2026-03-02 10:00 hours 100 h
`;
  const due = (logs: Readonly<Record<string, string>>) =>
    dueList(rebuilds(logs), { on: '2026-04-01', hours: 105 }).items.map(
      ({ what, text, dueAtHours }) => `${what} ${text} ${dueAtHours}`,
    );
  expect(due({ 'a.rebuild': first })).toEqual([
    'journal[1] accepted at x: polished 110',
    'journal[1] accepted at y: to be ground 120',
  ]);
});
