/** An entry or step earlier than what stands before it. */
import { formatInstant, minutesBetween } from '../calculations/index.ts';
import { type Entry, type Location, locate, type Moment, type Step } from '../rebuild/index.ts';
import { rule } from './rule.ts';

function write(moment: Moment): string {
  return formatInstant(moment.instant) ?? moment.date;
}

/** Reports steps, times and signatures that run backwards. */
export const timeBackwards = rule({
  id: 'time-backwards',
  severity: 'warning',
  title: 'time runs backwards',
  subject: 'rebuild',
  *check({ path, timed }) {
    let last: Step | Entry | undefined;
    for (const one of timed) {
      if (one.moment === undefined) continue;
      const [before, now] = [last?.moment, one.moment];
      if (last !== undefined && before !== undefined && isEarlier(now, before))
        yield {
          at: placeOf(path, one),
          message: `${write(now)} is before ${write(before)} above. Mend the time, or move the line.`,
          related: [{ at: placeOf(path, last), message: 'the later time stands here' }],
        };
      last = one;
    }
  },
});

/** A day without a time can be any time of that day. */
function isEarlier(now: Moment, before: Moment): boolean {
  const dayOnly = now.time === undefined || before.time === undefined;
  return dayOnly ? now.date < before.date : minutesBetween(before.instant, now.instant) < 0;
}

/** Where a line states its time. */
function placeOf(path: string, { block, statement }: Step | Entry): Location {
  const at = statement.when ?? statement.clauses.find((clause) => clause.name === 'at') ?? statement;
  return locate(path, block, at);
}
