/** A finding that somebody accepted: shown where the finding would have been. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity, quantityOf } from '../quantities/index.ts';
import {
  acceptedAt,
  type CarriedConcession,
  type Characteristic,
  concessionForPart,
  type Entry,
  type FastenerGroup,
  hoursAtEnd,
  type InspectionHistory,
  type Instance,
  type Location,
  listItems,
  locate,
  logDate,
  type MemberState,
  machineHours,
  membersByEntry,
  type PartHistory,
  type Rebuild,
  type Related,
  type Report,
  type Severity,
  valueOutgrown,
  writeMembers,
  writeTarget,
  writeValue,
} from '../rebuild/index.ts';
import { dragAt, dragsOutside } from './drag-out-of-range.ts';
import { foundPast } from './found-worn.ts';
import { judgedValues, wrongWords } from './out-of-limits.ts';
import { severityOfWear } from './past-new.ts';
import { rule } from './rule.ts';
import { isAccepted, torqueAt, torquesOutside } from './torque-out-of-spec.ts';
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
  worst: 'error',
  title: 'accepted as it is',
  subject: 'rebuild',
  *check(rebuild) {
    for (const characteristic of rebuild.characteristics) {
      if (characteristic.instances.every(({ concessions }) => concessions.length === 0)) continue;
      for (const { instance, place, at, what, worn, outgrown } of pastLimits(characteristic)) {
        const entry = acceptedAt(instance, place);
        if (entry === undefined) continue;
        const related = { at: instance.declaration.at, message: 'the limit stands here' };
        const before = outgrown === undefined ? undefined : outgrown(entry);
        const report =
          before !== undefined && expired(entry, rebuild) === undefined
            ? {
                at,
                severity: 'error' as const,
                message: `${what}; at ${before} it was ${accepted(entry)}, and this is worse. ${REMEDY}`,
                related: [acceptedHere(entry), related],
              }
            : tellOf(what, entry, rebuild, { at, related });
        // What is worn inside its wear limit needs nobody's leave: when that ends, it is worn as before.
        const over = worn === undefined ? undefined : expired(entry, rebuild);
        if (worn === undefined || over === undefined) yield report;
        else {
          const message = `${what}, inside the wear limit; it was ${accepted(entry, over)}.`;
          yield { ...report, severity: worn, message };
        }
      }
      yield* leftOver(characteristic, rebuild);
    }
    const { fastenerGroups, parts, inspections, scope, carried } = rebuild;
    if (rebuild.byKind.has('accept')) {
      for (const group of fastenerGroups) yield* fasteners(group, rebuild);
      for (const part of parts) yield* missingParts(part, rebuild);
      for (const one of inspections) if (one.state === 'failed') yield* failedInspection(one, rebuild);
    }
    for (const concessions of carried?.concessions.values() ?? [])
      for (const one of concessions)
        if (scope.limits.get(one.name) === undefined) yield* leftOverOfOthers(one, rebuild);
  },
});

/** What may be accepted of a limit: values, words and readings as found; `place` is undefined for what is worked out. */
interface PastLimit {
  readonly instance: Instance;
  readonly place: string | undefined;
  readonly at: Location;
  readonly what: string;
  /** How much it matters of itself, where it is past the range for new parts and inside the wear limit. */
  readonly worn?: Severity;
  /** What was read there when it was accepted, where the log has come to worse since. */
  readonly outgrown?: (entry: Entry) => string | undefined;
}

function* pastLimits(characteristic: Characteristic): Iterable<PastLimit> {
  for (const { instance, reading, judgement, value, at, subject } of judgedValues(characteristic)) {
    const unit = judgement.bound?.unit ?? value.unit;
    const what = `${subject} is ${writeValue(value, judgement, unit)}, ${missedBy(judgement)}${refOf(instance.declaration)}`;
    const worn = judgement.verdict === 'past-new' ? severityOfWear(judgement.used) : undefined;
    yield {
      instance,
      place: reading?.place,
      at,
      what,
      ...(worn === undefined ? {} : { worn }),
      ...(reading === undefined || worn !== undefined
        ? {}
        : { outgrown: (entry) => valueOutgrown(instance, reading, entry) }),
    };
  }
  for (const { instance, reading, what, wanted } of wrongWords(characteristic))
    yield {
      instance,
      place: reading.place,
      at: reading.at,
      what: `${what}, and ${wanted}${refOf(instance.declaration)}`,
    };
  for (const { instance, reading, what } of foundPast(characteristic))
    yield { instance, place: reading.place, at: reading.at, what };
}

/** What is told of something that an inspector accepted: what it is, by whom, and whether the time has passed. */
function tellOf(
  what: string,
  entry: Entry,
  rebuild: Rebuild,
  { at, related }: { readonly at: Location; readonly related: Related },
): Report {
  const over = expired(entry, rebuild);
  return {
    at,
    ...(over === undefined ? {} : { severity: 'error' as const }),
    message:
      over === undefined
        ? `${what}; ${accepted(entry)}.`
        : `${what}; it was ${accepted(entry, over)}. ${REMEDY}`,
    related: [acceptedHere(entry), related],
  };
}

/** Fasteners that were accepted with a torque or a drag outside its range, or without their last torque. */
function* fasteners(group: FastenerGroup, rebuild: Rebuild): Iterable<Report> {
  const { name, declaration, members } = group;
  for (const entry of new Set(members.map(({ accepted }) => accepted))) {
    if (entry === undefined) continue;
    const told = new Set<string>();
    const tell = (items: readonly string[], what: string, at: Location) => {
      for (const item of items) told.add(item);
      return tellOf(`${writeMembers(name, items)} ${what}`, entry, rebuild, {
        at,
        related: { at: declaration.at, message: `${name} is declared here` },
      });
    };
    for (const { items, text, entry: line } of dragsOutside(group, ({ accepted }) => accepted === entry))
      yield tell(items, text, dragAt(line));
    const isOwn = (member: MemberState, line: Entry) => member.accepted === entry && isAccepted(member, line);
    for (const { items, text, entry: line } of torquesOutside(group, isOwn))
      yield tell(items, `${items.length === 1 ? 'is' : 'are'} torqued to ${text}`, torqueAt(line));
    const due = members
      .filter(({ accepted, done, item }) => accepted === entry && !done && !told.has(item))
      .map(({ item }) => item);
    if (due.length > 0) {
      const target = entry.targets.find((one) => one.name === name)?.node ?? entry.statement;
      const what = `${due.length === 1 ? 'has' : 'have'} no final torque${refOf(declaration)}`;
      yield tell(due, what, locate(entry.path, entry.block, target));
    }
  }
}

function* missingParts(part: PartHistory, rebuild: Rebuild): Iterable<Report> {
  const accepted = new Map(
    part.members.map((member) => [member, concessionForPart(part, member, rebuild.scope.people)]),
  );
  for (const [entry, members] of membersByEntry(part.members, (member) => accepted.get(member))) {
    const who = writeMembers(
      part.name,
      members.map(({ item }) => item),
    );
    const removal = members[0]?.removed ?? entry;
    const target = removal.targets.find((one) => one.name === part.name)?.node ?? removal.statement;
    yield tellOf(
      `${who} came out and nothing has gone in ${members.length === 1 ? 'its' : 'their'} place`,
      entry,
      rebuild,
      {
        at: locate(removal.path, removal.block, target),
        related: { at: part.declaration.at, message: `${part.name} is declared here` },
      },
    );
  }
}

function* failedInspection(
  { name, declaration, last, accepted: entry }: InspectionHistory,
  rebuild: Rebuild,
): Iterable<Report> {
  if (last === undefined || entry === undefined || declaration === undefined) return;
  const { path, block, statement } = last.entry;
  const because = clauseValue(statement, 'because')?.text;
  yield tellOf(
    `${name} failed${because === undefined ? '' : ` ("${because}")`}${refOf(declaration)}`,
    entry,
    rebuild,
    {
      at: locate(path, block, clauseNode(statement, 'verdict') ?? statement),
      related: { at: declaration.at, message: `it is asked for here: ${declaration.text}` },
    },
  );
}

/** A concession of an earlier log for a fastener, a part or an inspection, past its time and nothing done since. */
function* leftOverOfOthers({ name, item, entry }: CarriedConcession, rebuild: Rebuild): Iterable<Report> {
  const over = expired(entry, rebuild);
  if (over === undefined) return;
  const since = rebuild.byName.get(name) ?? [];
  if (since.some(({ targets, kind }) => kind === 'inspect' || speakOf(targets, name, item))) return;
  const here = acceptedHere(entry);
  yield {
    at: here.at,
    severity: 'error',
    message: `${writeTarget(name, item)} was ${accepted(entry, over)}. ${REMEDY}`,
    related: [here],
  };
}

function speakOf(targets: Entry['targets'], name: string, item: string): boolean {
  return targets.some((target) => target.name === name && target.items.includes(item));
}

/** Concessions of earlier logs whose time has passed, and nothing of the kind has been measured since. */
function* leftOver({ name, instances }: Characteristic, rebuild: Rebuild): Iterable<Report> {
  for (const { item, concessions, readings, worked } of instances) {
    if (worked?.value !== undefined || readings.some(({ reading }) => !reading.placeholder)) continue;
    for (const { entry, places } of concessions) {
      const over = entry.path === rebuild.path ? undefined : expired(entry, rebuild);
      if (over === undefined) continue;
      const here = acceptedHere(entry);
      const where = places === undefined ? '' : ` @ ${listItems(places)}`;
      yield {
        at: here.at,
        severity: 'error',
        message: `${writeTarget(name, item)}${where} was ${accepted(entry, over)}. ${REMEDY}`,
        related: [here],
      };
    }
  }
}
