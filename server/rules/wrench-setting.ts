/** A wrench setting that does not give the torque stated, with its adapter and the drag of the nut. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity, lastPlace, type Quantity } from '../quantities/index.ts';
import {
  dragOf,
  type Entry,
  locate,
  type Report,
  settingOf,
  wrenchAccuracy,
  wrenchWork,
} from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { doneAgain } from './standing.ts';

/** ` with a 40 mm adapter at 45 °`, or nothing. */
function adapterText(entry: Entry): string {
  const adapter = clauseValue(entry.statement, 'adapter');
  if (adapter === undefined) return '';
  const text = (from: { start: number; end: number }) => entry.block.text.slice(from.start, from.end);
  return ` with its ${text(adapter.length)} adapter${adapter.angle === undefined ? '' : ` at ${text(adapter.angle)}`}`;
}

/** What the reading is made of: `22 N·m and 2.2 N·m of drag`. */
function parts(torque: Quantity, entry: Entry): string {
  const drag = dragOf(entry);
  return drag === undefined
    ? formatQuantity(torque)
    : `${formatQuantity(torque)} and ${formatQuantity(drag)} of drag`;
}

function judge(entry: Entry, set: Quantity): Report | undefined {
  const { torque, tool } = entry;
  const work = wrenchWork(entry);
  if (torque === undefined || work === undefined) return undefined;
  // Of what the line does not say yet open-item tells.
  if ('unknown' in work && work.unknown === 'not-stated') return undefined;
  const at = locate(entry.path, entry.block, clauseNode(entry.statement, 'set') ?? entry.statement);
  const related = tool === undefined ? [] : [{ at: tool.at, message: `${tool.name} is registered here` }];
  if ('unknown' in work)
    return {
      at,
      ...(work.unknown === 'impossible-adapter' ? {} : { severity: 'warning' as const }),
      message: `Whether ${formatQuantity(set)} gives ${formatQuantity(torque)} cannot be worked out: ${work.explanation}.`,
      related,
    };
  if (work.gives === undefined) return undefined;
  const off = work.gives.value - torque.value;
  // The scale is set to its last written place, and nobody sees what lies within the wrench's own accuracy.
  const place =
    ((convert(lastPlace(set), set.unit, torque.unit) ?? 0) / 2) * (torque.value / work.mustRead.value);
  const accuracy = tool === undefined ? 0 : (wrenchAccuracy(tool, torque)?.by ?? 0);
  if (Math.abs(off) <= Math.max(place, accuracy) * (1 + 1e-9)) return undefined;
  const miss = formatAmount(Math.abs(off), torque.unit, work.gives.decimals);
  return {
    at,
    message: `${formatQuantity(set)}${adapterText(entry)} gives ${formatQuantity(work.gives)} at the fastener, ${miss} ${off > 0 ? 'over' : 'under'} what is stated. For ${parts(torque, entry)} the wrench must read ${formatQuantity(work.mustRead)}.`,
    related,
  };
}

/** Reports settings that give another torque than the line states, and those that cannot be worked out. */
export const wrenchSetting = rule({
  id: 'wrench-setting',
  severity: 'error',
  title: 'wrench setting does not give the torque',
  subject: 'entry',
  kinds: ['torque'],
  check(entry) {
    const set = settingOf(entry);
    const report = set === undefined ? undefined : judge(entry, set);
    return report === undefined ? nothing : [{ ...report, mended: doneAgain(entry) }];
  },
});
