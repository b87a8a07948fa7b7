/** A finding that somebody accepted: shown where the finding would have been. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity, quantityOf } from '../quantities/index.ts';
import {
  type Characteristic,
  type Entry,
  hoursAtEnd,
  locate,
  logDate,
  machineHours,
  type Rebuild,
  type Related,
  type Report,
  writeTarget,
  writeValue,
} from '../rebuild/index.ts';
import { judgedValues } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { missedBy, refOf } from './wording.ts';

/** Who accepted it, why, and until when: in the builder's words, or in those of `until`. */
function accepted(entry: Entry, until = untilWords(entry)): string {
  const by = entry.by.map((person) => person.text).join(', ');
  const because = clauseValue(entry.statement, 'because')?.text;
  return `accepted by ${by === '' ? '?' : by}${because === undefined ? '' : `: "${because}"`}${until === undefined ? '' : `, ${until}`}`;
}

function untilWords({ statement, block }: Entry): string | undefined {
  const until = clauseNode(statement, 'until');
  return until === undefined ? undefined : block.text.slice(until.start, until.end).replace(/\s+/g, ' ');
}

/** `350 h, and the machine has 352.1 h`, once that is past; undefined while the concession stands. */
function expired(entry: Entry, rebuild: Rebuild): string | undefined {
  const until = clauseValue(entry.statement, 'until');
  if (until === undefined) return undefined;
  if (!('kind' in until)) {
    const today = logDate(rebuild);
    return until.date === undefined || today === undefined || today <= until.date
      ? undefined
      : `until ${until.date}, and the log has come to ${today}`;
  }
  const limit = quantityOf(until);
  const most = limit === undefined ? undefined : convert(limit.value, limit.unit, 'h');
  const hours = rebuild.release === undefined ? machineHours(rebuild) : hoursAtEnd(rebuild);
  if (limit === undefined || most === undefined || hours === undefined || hours <= most + 1e-9)
    return undefined;
  return `until ${formatQuantity(limit)}, and the machine has ${formatAmount(hours, 'h', Math.max(1, limit.decimals))}`;
}

const REMEDY = 'Put it right, or have an inspector accept it anew.';

function acceptedHere(entry: Entry): Related {
  return { at: locate(entry.path, entry.block, entry.statement), message: 'it is accepted here' };
}

/**
 * Reports every value past its limit (or past the range for new parts) that a concession lets stand, and every
 * concession whose time has passed: by the hours and the dates of the log itself.
 */
export const concession = rule({
  id: 'concession',
  severity: 'information',
  title: 'accepted as it is',
  subject: 'rebuild',
  *check(rebuild) {
    for (const characteristic of rebuild.characteristics) {
      if (!characteristic.instances.some(({ accepted }) => accepted !== undefined)) continue;
      for (const { instance, judgement, value, at, subject } of judgedValues(characteristic)) {
        const entry = instance.accepted;
        if (entry === undefined || judgement.verdict === 'inside') continue;
        const unit = judgement.bound?.unit ?? value.unit;
        const over = expired(entry, rebuild);
        const past = `${subject} is ${writeValue(value, judgement, unit)}, ${missedBy(judgement)}${refOf(instance.declaration)}`;
        yield {
          at,
          ...(over === undefined ? {} : { severity: 'error' as const }),
          message:
            over === undefined
              ? `${past}; ${accepted(entry)}.`
              : `${past}; it was ${accepted(entry, over)}. ${REMEDY}`,
          related: [acceptedHere(entry), { at: instance.declaration.at, message: 'the limit stands here' }],
        };
      }
      yield* leftOver(characteristic, rebuild);
    }
  },
});

/** Concessions of earlier logs whose time has passed, and nothing of the kind has been measured since. */
function* leftOver({ name, instances }: Characteristic, rebuild: Rebuild): Iterable<Report> {
  for (const { item, accepted: entry, standing, worked } of instances) {
    if (entry === undefined || entry.path === rebuild.path || worked?.value !== undefined) continue;
    if (standing.some((reading) => !reading.placeholder)) continue;
    const over = expired(entry, rebuild);
    if (over === undefined) continue;
    const here = acceptedHere(entry);
    yield {
      at: here.at,
      severity: 'error',
      message: `${writeTarget(name, item)} was ${accepted(entry, over)}. ${REMEDY}`,
      related: [here],
    };
  }
}
