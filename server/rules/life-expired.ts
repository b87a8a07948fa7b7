/** Parts past their life, and sealants past the day they were to be used by. */
import { formatAmount } from '../quantities/index.ts';
import {
  daysBetween,
  type Entry,
  type Life,
  livesOf,
  locate,
  logDate,
  machineHours,
  type Rebuild,
  type Report,
} from '../rebuild/index.ts';
import { livesTogether, writeLife, writeLives } from './life-ahead.ts';
import { rule } from './rule.ts';

/** Reports, on the log's own day, parts past their calendar or running life, and sealants used past their date. */
export const lifeExpired = rule({
  id: 'life-expired',
  severity: 'error',
  title: 'past its life',
  subject: 'rebuild',
  *check(rebuild) {
    const date = logDate(rebuild);
    const hours = machineHours(rebuild);
    for (const lives of livesTogether(livesOf(rebuild))) {
      const life = lives[0] as Life;
      const { endsOn, endsAtHours, fitted, newSince, declaration } = life;
      const days = endsOn === undefined || date === undefined ? undefined : daysBetween(endsOn, date);
      const over = endsAtHours === undefined || hours === undefined ? undefined : hours - endsAtHours;
      const ended = [
        ...(days !== undefined && days > 0
          ? [`on ${endsOn}, ${days} ${days === 1 ? 'day' : 'days'} before this log's last day`]
          : []),
        ...(over !== undefined && over > 1e-9 && endsAtHours !== undefined
          ? [
              `at ${formatAmount(endsAtHours, 'h', 1)}, ${formatAmount(over, 'h', 1)} before the machine's ${formatAmount(endsAtHours + over, 'h', 1)}`,
            ]
          : []),
      ];
      if (ended.length === 0) continue;
      const target = fitted.targets.find((one) => one.name === life.name)?.node ?? fitted.statement;
      const at = locate(fitted.path, fitted.block, target);
      yield {
        at,
        message: `${writeLives(lives)} went in new${life.since === undefined ? '' : ` on ${life.since}`}, and ${lives.length === 1 ? 'its' : 'their'} life of ${writeLife(declaration)} ended ${ended.join(', and ')}: fit ${lives.length === 1 ? 'a new one' : 'new ones'}.`,
        related: [
          { at: locate(newSince.path, newSince.block, newSince.statement), message: 'it went in new here' },
          { at: declaration.at, message: 'its life stands here' },
        ],
      };
    }
    if (![...rebuild.scope.sealants.values()].some((sealant) => sealant.due !== undefined)) return;
    for (const entry of rebuild.byKind.get('apply') ?? []) {
      const report = pastItsDate(entry, rebuild);
      if (report !== undefined) yield report;
    }
  },
});

/** A sealant that went on after the day it was to be used by, while it is still there. */
function pastItsDate(entry: Entry, { scope, joints, fastenerGroups }: Rebuild): Report | undefined {
  const name = entry.statement.name;
  const sealant = name === undefined ? undefined : scope.sealants.get(name.text);
  const used = (entry.moment ?? entry.step?.moment)?.date;
  if (name === undefined || sealant?.due === undefined || used === undefined) return undefined;
  const days = daysBetween(sealant.due, used);
  if (days === undefined || days <= 0) return undefined;
  const stands = entry.targets.some(({ name: target, declaration }) => {
    if (declaration?.kind === 'joint') return joints.find((one) => one.name === target)?.sealed === entry;
    if (declaration?.kind !== 'fastener') return true;
    const group = fastenerGroups.find((one) => one.name === target);
    return group?.members.some((member) => member.locked === entry) ?? true;
  });
  if (!stands) return undefined;
  return {
    at: locate(entry.path, entry.block, name),
    message: `${name.text} (${sealant.text}) was to be used by ${sealant.due}, and went on ${days} ${days === 1 ? 'day' : 'days'} later: clean it off and use fresh.`,
    related: [{ at: sealant.at, message: 'its date stands here' }],
  };
}
