/** An entry or step earlier than what stands before it. */
import { formatInstant, minutesBetween } from '../calculations/index.ts';
import { type Location, locate, type Moment } from '../rebuild/index.ts';
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
  *check({ path, bound, file }) {
    let last: { moment: Moment; at: Location } | undefined;
    for (const [i, one] of bound.entries()) {
      const moment = one?.moment;
      const block = file.blocks[i];
      if (one === undefined || moment === undefined || block === undefined) continue;
      const at = locate(
        path,
        block,
        one.statement.when ?? one.statement.clauses.find((clause) => clause.name === 'at') ?? one.statement,
      );
      // A day without a time can be any time of that day.
      const dayOnly = moment.time === undefined || last?.moment.time === undefined;
      const earlier =
        last !== undefined &&
        (dayOnly ? moment.date < last.moment.date : minutesBetween(last.moment.instant, moment.instant) < 0);
      if (last !== undefined && earlier)
        yield {
          at,
          message: `${write(moment)} is before ${write(last.moment)} above. Mend the time, or move the line.`,
          related: [{ at: last.at, message: 'the later time stands here' }],
        };
      last = { moment, at };
    }
  },
});
