/** How long the parts with a life have left at the release. */
import { formatAmount, formatQuantity } from '../quantities/index.ts';
import {
  daysBetween,
  type Life,
  livesOf,
  locate,
  logDate,
  machineHours,
  type PartDeclaration,
  spanInWords,
  writeMembers,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** As good as new, and not told: no more of the life than this share is used. */
const AS_NEW = 0.1;

/** Reports, at the release, when the life of each part that has used some of it ends. */
export const lifeAhead = rule({
  id: 'life-ahead',
  severity: 'information',
  title: 'life left at the release',
  subject: 'rebuild',
  *check(rebuild) {
    if (rebuild.release === undefined) return;
    const date = logDate(rebuild);
    const hours = machineHours(rebuild);
    for (const lives of livesTogether(livesOf(rebuild))) {
      const life = lives[0] as Life;
      const { endsOn, endsAtHours, fitted, declaration, since, sinceHours } = life;
      const ends: string[] = [];
      const left: string[] = [];
      let used = 0;
      if (endsOn !== undefined && date !== undefined) {
        if ((daysBetween(date, endsOn) ?? -1) < 0) continue;
        used = Math.max(used, share(daysBetween(since ?? date, date), daysBetween(since ?? date, endsOn)));
        ends.push(`on ${endsOn}`);
        left.push(spanInWords(date, endsOn) ?? '');
      }
      if (endsAtHours !== undefined && hours !== undefined) {
        if (hours > endsAtHours + 1e-9) continue;
        const from = sinceHours ?? hours;
        used = Math.max(used, share(hours - from, endsAtHours - from));
        ends.push(`at ${formatAmount(endsAtHours, 'h', 1)}`);
        left.push(formatAmount(endsAtHours - hours, 'h', 1));
      }
      if (ends.length === 0 || used <= AS_NEW) continue;
      const target = fitted.targets.find((one) => one.name === life.name)?.node ?? fitted.statement;
      yield {
        at: locate(fitted.path, fitted.block, target),
        message: `${writeLives(lives)}: the life of ${writeLife(declaration)} ends ${ends.join(' or ')}${ends.length > 1 ? ', whichever comes first' : ''}; ${left.join(' or ')} left.`,
        related: [
          {
            at: locate(life.newSince.path, life.newSince.block, life.newSince.statement),
            message: 'it went in new here',
          },
          { at: declaration.at, message: 'its life stands here' },
        ],
      };
    }
  },
});

/** What part of a whole is gone; of nothing, all. */
function share(gone: number | undefined, whole: number | undefined): number {
  return gone === undefined || whole === undefined || whole <= 0 ? 1 : gone / whole;
}

/** Lives of members that went in by the same lines, which end together. */
export function livesTogether(lives: readonly Life[]): readonly (readonly Life[])[] {
  const groups: Life[][] = [];
  for (const life of lives) {
    const same = groups.find(
      ([one]) => one?.fitted === life.fitted && one.newSince === life.newSince && one.name === life.name,
    );
    if (same === undefined) groups.push([life]);
    else same.push(life);
  }
  return groups;
}

/** `crank-seal[front and rear]`. */
export function writeLives(lives: readonly Life[]): string {
  return writeMembers(
    lives[0]?.name ?? '',
    lives.map((life) => life.item),
  );
}

/** `2 years, 200 h`, as the table writes it. */
export function writeLife({ life }: PartDeclaration): string {
  return life.map(formatQuantity).join(' or ');
}
