/** A value that its tool cannot read or set. */
import { formatQuantity, formatSpread, type Quantity, type Spread, standing } from '../quantities/index.ts';
import {
  clauseAt,
  type Entry,
  type Location,
  locate,
  type Reading,
  type Report,
  settingOf,
  wrenchMustRead,
} from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { doneAgain } from './standing.ts';

function outside(
  entry: Entry,
  range: Spread,
  quantity: Quantity,
  at: Location,
  verb: string,
): Report | undefined {
  const where = standing(range, quantity);
  if (where.where !== 'above' && where.where !== 'below') return undefined;
  const tool = entry.tool;
  if (tool === undefined) return undefined;
  const { torque } = entry;
  const asked =
    torque === undefined || torque.value === quantity.value
      ? ''
      : ` (for ${formatQuantity(torque)} at the fastener)`;
  return {
    at,
    message: `${tool.name} ${verb} ${formatSpread(range)}, so ${formatQuantity(quantity)}${asked} was not ${verb === 'sets' ? 'set with it' : 'measured with it'} but guessed. Use a tool that reaches it.`,
    related: [{ at: tool.at, message: `${tool.name} is registered here` }],
  };
}

/** What the wrench was set to: as recorded, else as its adapter and the drag ask for, else the torque itself. */
function wrenchSet(entry: Entry, torque: Quantity): Quantity {
  return settingOf(entry) ?? wrenchMustRead(entry) ?? torque;
}

/** Reports readings and torques outside the range of the tool they were made with. */
export const toolOutOfRange = rule({
  id: 'tool-out-of-range',
  severity: 'error',
  title: 'value outside the range of its tool',
  subject: 'entry',
  kinds: ['measure', 'torque'],
  check(entry, { scope }) {
    const range = entry.tool?.range;
    if (range === undefined) return nothing;
    const reports: Report[] = [];
    if (entry.torque !== undefined) {
      const at = clauseAt(entry, 'to') ?? locate(entry.path, entry.block, entry.statement);
      const report = outside(entry, range, wrenchSet(entry, entry.torque), at, 'sets');
      if (report !== undefined) reports.push({ ...report, mended: doneAgain(entry) });
    }
    for (const reading of entry.readings) {
      // One that has a limit is looked at with the others of its kind: a slip that was corrected is none any more.
      const report = scope.limits.has(reading.name) ? undefined : outsideOf(reading);
      if (report !== undefined) reports.push(report);
    }
    return reports;
  },
  also: {
    *characteristic({ instances }) {
      // One value may be written for several members: it is told once.
      const told = new Set<string>();
      for (const { readings } of instances)
        for (const { reading, history } of readings) {
          const report = history === 'corrected' ? undefined : outsideOf(reading);
          const value = `${reading.entry.index} ${reading.at.start}`;
          if (report === undefined || told.has(value)) continue;
          told.add(value);
          yield report;
        }
    },
  },
});

function outsideOf(reading: Reading): Report | undefined {
  const range = reading.entry.tool?.range;
  const quantity = reading.high ?? reading.low;
  return range === undefined || quantity === undefined
    ? undefined
    : outside(reading.entry, range, quantity, reading.at, 'reads');
}
