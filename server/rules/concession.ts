/** A finding that somebody accepted: shown where the finding would have been. */
import { clauseValue } from '../../grammar/index.ts';
import { type Entry, writeValue } from '../rebuild/index.ts';
import { judgedValues } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { missedBy, refOf } from './wording.ts';

/** Who accepted it, why, and until when, in the builder's words. */
function accepted(entry: Entry): string {
  const by = entry.by.map((person) => person.text).join(', ');
  const because = clauseValue(entry.statement, 'because')?.text;
  const until = entry.statement.clauses.find((clause) => clause.name === 'until');
  const words =
    until === undefined ? '' : `, ${entry.block.text.slice(until.start, until.end).replace(/\s+/g, ' ')}`;
  return `accepted by ${by === '' ? '?' : by}${because === undefined ? '' : `: "${because}"`}${words}`;
}

/** Reports every value past its limit (or past the range for new parts) that a concession lets stand. */
export const concession = rule({
  id: 'concession',
  severity: 'information',
  title: 'accepted as it is',
  subject: 'characteristic',
  *check(characteristic) {
    for (const { instance, judgement, value, at, subject } of judgedValues(characteristic)) {
      const entry = instance.accepted;
      if (entry === undefined || judgement.verdict === 'inside') continue;
      const unit = judgement.bound?.unit ?? value.unit;
      yield {
        at,
        message: `${subject} is ${writeValue(value, judgement, unit)}, ${missedBy(judgement)}${refOf(instance.declaration)}; ${accepted(entry)}.`,
        related: [
          {
            at: {
              path: entry.path,
              block: entry.block,
              start: entry.statement.start,
              end: entry.statement.end,
            },
            message: 'it is accepted here',
          },
          { at: instance.declaration.at, message: 'the limit stands here' },
        ],
      };
    }
  },
});
