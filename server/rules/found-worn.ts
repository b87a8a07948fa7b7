/** A reading as found past its limit, with nothing since that puts it right. */
import {
  acceptedAt,
  type Characteristic,
  type Instance,
  isOpenFinding,
  judgeValue,
  type Reading,
  readingValue,
  takenAs,
  writeTarget,
  writeValue,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { missedBy, refOf } from './wording.ts';

interface FoundPast {
  readonly instance: Instance;
  readonly reading: Reading;
  /** `bore[rear] was found at 67.571 mm, 0.011 mm past the wear limit of 67.560 mm (ref 3.2)`. */
  readonly what: string;
}

/** Every reading `as found` past its limit without a later reading of the same place that stands. */
export function* foundPast({ name, instances }: Characteristic): Iterable<FoundPast> {
  for (const instance of instances) {
    const { declaration } = instance;
    const { words } = declaration;
    for (const judged of instance.readings) {
      const { reading } = judged;
      if (takenAs(reading.entry) !== 'found' || !isOpenFinding(instance, judged)) continue;
      const found = `${writeTarget(name, reading.item, reading.place)} was found`;
      if (words !== undefined && reading.word !== undefined && !words.includes(reading.word)) {
        const allowed = words.map((word) => `"${word}"`).join(' or ');
        const what = `${found} to be "${reading.word}", where the limit allows ${allowed}${refOf(declaration)}`;
        yield { instance, reading, what };
      }
      const value = readingValue(reading);
      const judgement = value === undefined ? undefined : judgeValue(value, declaration, false);
      if (value === undefined || judgement?.verdict !== 'outside') continue;
      const unit = judgement.bound?.unit ?? value.unit;
      const what = `${found} at ${writeValue(value, judgement, unit)}, ${missedBy(judgement)}${refOf(declaration)}`;
      yield { instance, reading, what };
    }
  }
}

/** Reports readings `as found` past their limit until a later reading of the same place stands. */
export const foundWorn = rule({
  id: 'found-worn',
  severity: 'by-state',
  title: 'found past its limit, and not put right yet',
  subject: 'characteristic',
  *check(characteristic) {
    for (const { instance, reading, what } of foundPast(characteristic)) {
      if (acceptedAt(instance, reading.place) !== undefined) continue;
      yield {
        at: reading.at,
        message: `${what}, and nothing taken since shows that it was put right.`,
        touched: true,
        related: [{ at: instance.declaration.at, message: 'the limit stands here' }],
      };
    }
  },
});
