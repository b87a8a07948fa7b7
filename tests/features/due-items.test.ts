/** What a release would still ask of a log, as the status item and the tree of open items show it. */
import { expect, test } from 'vitest';
import { logStateOf } from '../../server/features/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const limits = `limits "Tern 460"
assembly top-end "Top end"
limit ring-gap[front rear] 0.20..0.40 mm
fastener head-m8[1..2] M8 class 8.8 torque 22 ± 1 N·m
`;

function stateOf(log: string) {
  const workspace = createWorkspace();
  workspace.set('t.limits', limits);
  workspace.set('a.rebuild', log);
  const checked = workspace.check('a.rebuild');
  if (checked === undefined) throw new Error('not checked');
  return { checked, state: logStateOf(checked) };
}

const open = `log "one"
use "t.limits"
covers top-end
step "Close" 2026-05-03 09:00
  torque head-m8[1] to 22 N·m
  open R1 "order a gasket"
  measure ring-gap[front] = 0.30 mm
`;

test('an open log: what is due by the rule that asks, in the order of the file, with its place', () => {
  const { checked, state } = stateOf(open);
  expect(state.state).toBe('open');
  expect(state.due.map(({ rule, items }) => [rule, items.length])).toEqual([
    ['missing-reading', 1],
    ['torque-skipped', 1],
    ['open-item', 1],
  ]);
  const item = state.due.at(-1)?.items[0];
  const at = item?.at;
  expect(checked.file.text.slice((at?.block.start ?? 0) + (at?.start ?? 0)).startsWith('R1')).toBe(true);
  expect(item?.message).toBe('R1 is open: order a gasket.');
  expect(state.counts.warning + state.counts.information).toBeGreaterThanOrEqual(3);
});

test('nothing is due where all is done', () => {
  const { state } = stateOf(
    open
      .replace('[1]', '[1 2]')
      .replace('  open R1 "order a gasket"\n', '')
      .replace('ring-gap[front]', 'ring-gap[front rear]'),
  );
  expect(state.due).toEqual([]);
});

test('a table of limits has no state', () => {
  const workspace = createWorkspace();
  workspace.set('t.limits', limits);
  const checked = workspace.check('t.limits');
  expect(checked && logStateOf(checked).state).toBeNull();
});
