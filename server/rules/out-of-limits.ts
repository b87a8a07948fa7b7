/** A value past its limit. */
import { formatQuantity } from '../quantities/index.ts';
import {
  acceptedAt,
  type Characteristic,
  type Instance,
  type Judgement,
  judgeReading,
  judgeValue,
  type Location,
  liesInside,
  locate,
  type Reading,
  readingValue,
  type Value,
  workedValue,
  writeTarget,
  writeValue,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { missedBy, refOf } from './wording.ts';

/** One value that stands, with its judgement: a reading, or what a derived limit comes to. */
export interface Judged {
  readonly instance: Instance;
  readonly reading: Reading | undefined;
  readonly value: Value;
  readonly judgement: Judgement;
  readonly at: Location;
  /** `bore[rear] @ top/thrust`. */
  readonly subject: string;
}

/** Every standing value that does not lie inside its range for new parts; for a derived limit also what it comes to. */
export function judgedValues(characteristic: Characteristic): readonly Judged[] {
  let judged = kept.get(characteristic);
  if (judged === undefined) {
    judged = [...judgeAll(characteristic)];
    kept.set(characteristic, judged);
  }
  return judged;
}

/** Several rules ask for the same. */
const kept = new WeakMap<Characteristic, readonly Judged[]>();

function* judgeAll(characteristic: Characteristic): Iterable<Judged> {
  const { name } = characteristic;
  for (const instance of characteristic.instances) {
    const asNew = instance.fittedNew !== undefined;
    for (const reading of instance.standing) {
      if (liesInside(reading, instance.declaration)) continue;
      const judged = judgeReading(reading, instance.declaration, asNew);
      if (judged === undefined || judged.judgement.verdict === 'inside') continue;
      const subject = writeTarget(name, reading.item, reading.place);
      yield { instance, reading, ...judged, at: reading.at, subject };
    }
    const value = workedValue(instance);
    const judgement = value === undefined ? undefined : judgeValue(value, instance.declaration, asNew);
    if (value === undefined || judgement === undefined || judgement.verdict === 'inside') continue;
    if (instance.worked === undefined) continue;
    const at = placeOfWorked(instance);
    if (at === undefined) continue;
    yield {
      instance,
      reading: undefined,
      value,
      judgement,
      at,
      subject: writeTarget(name, instance.item),
    };
  }
}

/** A worked-out value is reported at the target of the last reading that it stands on; undefined without any. */
export function placeOfWorked({ worked }: Instance): Location | undefined {
  const last = worked?.readings.reduce<Reading | undefined>(
    (latest, reading) =>
      latest === undefined || reading.entry.index >= latest.entry.index ? reading : latest,
    undefined,
  );
  if (last === undefined) return undefined;
  const { entry } = last;
  return locate(entry.path, entry.block, entry.statement.target ?? entry.statement);
}

/** The readings that a worked-out value stands on, for the related places: the first few. */
export function relatedReadings(instance: Instance) {
  return (instance.worked?.readings ?? []).slice(0, 6).map((reading) => ({
    at: reading.at,
    message: `${writeTarget(reading.name, reading.item, reading.place)} is ${readingValue(reading)?.text ?? '?'}`,
  }));
}

/** A reading in words that its limit does not allow, or a number where words are wanted. */
interface WrongWord {
  readonly instance: Instance;
  readonly reading: Reading;
  /** `main-jet is "160"`. */
  readonly what: string;
  /** `the limit allows "165" or "168"`. */
  readonly wanted: string;
  readonly allowed: string;
  /** The word that stands there without its quotes. */
  readonly unquoted: string | undefined;
}

/** Every standing reading that its limit's words do not allow. */
export function* wrongWords({ name, instances }: Characteristic): Iterable<WrongWord> {
  for (const instance of instances) {
    const { words } = instance.declaration;
    if (words === undefined) continue;
    const allowed = words.map((word) => `"${word}"`).join(' or ');
    for (const reading of instance.standing) {
      if (reading.word !== undefined ? words.includes(reading.word) : reading.placeholder) continue;
      const written = reading.entry.block.text.slice(reading.at.start, reading.at.end);
      const unquoted = words.includes(written) ? written : undefined;
      yield {
        instance,
        reading,
        what: `${writeTarget(name, reading.item, reading.place)} is ${written}`,
        wanted:
          unquoted === undefined
            ? `the limit allows ${allowed}`
            : `words as values stand in quotes: write "${unquoted}"`,
        allowed,
        unquoted,
      };
    }
  }
}

/** Reports standing values past the wear limit, or past the range for new parts where that is what holds. */
export const outOfLimits = rule({
  id: 'out-of-limits',
  severity: 'error',
  title: 'value past its limit',
  subject: 'characteristic',
  *check(characteristic) {
    for (const { instance, reading, what, wanted, allowed, unquoted } of wrongWords(characteristic)) {
      if (acceptedAt(instance, reading.place) !== undefined) continue;
      yield {
        at: reading.at,
        message: `${what}: ${wanted}${refOf(instance.declaration)}.`,
        related: [{ at: instance.declaration.at, message: `the limit is ${allowed}` }],
        ...(unquoted === undefined
          ? {}
          : { fixes: [{ title: `Write "${unquoted}"`, edits: [{ ...reading.at, text: `"${unquoted}"` }] }] }),
      };
    }
    for (const { instance, judgement, value, at, subject, reading } of judgedValues(characteristic)) {
      if (judgement.verdict !== 'outside' || acceptedAt(instance, reading?.place) !== undefined) continue;
      const { declaration, fittedNew } = instance;
      const unit = judgement.bound?.unit ?? value.unit;
      const because =
        fittedNew !== undefined && judgement.limit === 'new' && declaration.wear !== undefined
          ? ' for a new part'
          : '';
      const bare = judgement.limit === 'new' ? declaration.limit?.bare : undefined;
      const only =
        bare === undefined
          ? ''
          : ` The table gives ${formatQuantity(bare)} alone, which nothing but that meets: if the manual leaves room, write the range there.`;
      yield {
        at,
        message: `${subject} is ${writeValue(value, judgement, unit)}: ${missedBy(judgement)}${because}${refOf(declaration)}.${only}`,
        related: [
          { at: declaration.at, message: 'the limit stands here' },
          ...(reading === undefined ? relatedReadings(instance) : []),
        ],
      };
    }
  },
});
