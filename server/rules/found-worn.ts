/** A reading as found past its limit, with nothing since that puts it right. */
import {
  isOpenFinding,
  judgeValue,
  readingValue,
  takenAs,
  writeTarget,
  writeValue,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { missedBy, refOf } from './wording.ts';

/** Reports readings `as found` past their limit until a later reading of the same place stands. */
export const foundWorn = rule({
  id: 'found-worn',
  severity: 'by-state',
  title: 'found past its limit, and not put right yet',
  subject: 'characteristic',
  *check({ name, instances }) {
    for (const instance of instances) {
      if (instance.accepted !== undefined) continue;
      for (const judged of instance.readings) {
        const { reading } = judged;
        if (takenAs(reading.entry) !== 'found' || !isOpenFinding(instance, judged)) continue;
        const { words } = instance.declaration;
        if (words !== undefined && reading.word !== undefined && !words.includes(reading.word))
          yield {
            at: reading.at,
            message: `${writeTarget(name, reading.item, reading.place)} was found to be "${reading.word}", where the limit allows ${words.map((word) => `"${word}"`).join(' or ')}${refOf(instance.declaration)}, and nothing taken since shows that it was put right.`,
            touched: true,
            related: [{ at: instance.declaration.at, message: 'the limit stands here' }],
          };
        const value = readingValue(reading);
        const judgement = value === undefined ? undefined : judgeValue(value, instance.declaration, false);
        if (value === undefined || judgement?.verdict !== 'outside') continue;
        const unit = judgement.bound?.unit ?? value.unit;
        yield {
          at: reading.at,
          message: `${writeTarget(name, reading.item, reading.place)} was found at ${writeValue(value, judgement, unit)}, ${missedBy(judgement)}${refOf(instance.declaration)}, and nothing taken since shows that it was put right.`,
          touched: true,
          related: [{ at: instance.declaration.at, message: 'the limit stands here' }],
        };
      }
    }
  },
});
