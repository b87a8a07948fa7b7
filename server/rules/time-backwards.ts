/** An entry or step earlier than what stands before it. */
import { formatInstant, minutesBetween } from '../calculations/index.ts';
import {
  type Entry,
  type Location,
  locate,
  type Moment,
  type Rebuild,
  type Report,
  type Step,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';

function write(moment: Moment): string {
  return formatInstant(moment.instant) ?? moment.date;
}

/** What is told of a log's times: they stay the same list while an edit changes none of them. */
const told = new WeakMap<Rebuild['timed'], readonly Report[]>();

function* backwardsIn({ path, timed }: Rebuild): Iterable<Report> {
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
}

/** Reports steps, times and signatures that run backwards. */
export const timeBackwards = rule({
  id: 'time-backwards',
  severity: 'warning',
  title: 'time runs backwards',
  subject: 'rebuild',
  *check(rebuild) {
    const { path, timed, carried, imports } = rebuild;
    const known = told.get(timed) ?? [...backwardsIn(rebuild)];
    told.set(timed, known);
    yield* known;
    const began = timed.find((one) => one.moment !== undefined)?.moment;
    for (const { declaration, rebuild: earlier } of imports) {
      const { release } = earlier ?? {};
      if (earlier === undefined || !carried?.logs.includes(earlier) || release?.moment === undefined)
        continue;
      if (began === undefined || !isEarlier(began, release.moment)) continue;
      yield {
        at: locate(path, declaration.block, declaration.statement.text ?? declaration.statement),
        message: `${declaration.file} was released ${write(release.moment)}, after this log began (${write(began)}): it is no earlier log. Mend the time that is wrong.`,
        related: [{ at: placeOf(release.path, release), message: 'it was released here' }],
      };
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
