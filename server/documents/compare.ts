/** What changed between two rebuilds, by meaning: matched by target, place and stage, never by line. */
import { parseQuantity } from '../../grammar/index.ts';
import { formatNumber, quantityAndEquivalent, quantityOf, withUnit } from '../quantities/index.ts';
import { listItems, targetOfMembers, writeTarget } from '../rebuild/index.ts';
import type {
  LimitEnds,
  LogReport,
  ReportFastener,
  ReportFinding,
  ReportGroup,
  ReportMember,
  ReportPartState,
  ReportReading,
} from './report-facts.ts';

export type CompareSection =
  | 'log'
  | 'limits'
  | 'readings'
  | 'torques'
  | 'parts'
  | 'inspections'
  | 'concessions'
  | 'open items'
  | 'findings';

/** For the worse, for the better, or another thing that must be looked at. */
export type Effect = 'worse' | 'better' | 'changed';

/** One difference. */
export interface Difference {
  readonly section: CompareSection;
  /** What it is about: `bore[rear] @ top/thrust`, `case-m8[7 9]`, `crank-seal[front]`. */
  readonly subject: string;
  /** As each log has it; null where one does not record it. */
  readonly old: string | null;
  readonly new: string | null;
  /** New less old, in the limit's unit, with its sign; null where that says nothing. */
  readonly change: string | null;
  /** Share of the wear allowance used then and now, in percent; null where there is none. */
  readonly usedOld: number | null;
  readonly usedNew: number | null;
  /** What became of the verdict: `inside its limit, now past it`; null where it is the same. */
  readonly verdict: string | null;
  /** What it does to what a reviewer must think of the machine; null where it does nothing. */
  readonly effect: Effect | null;
  /** Whether it has an effect. */
  readonly matters: boolean;
  /** Lines, from 1, in each log; null where it stands in neither or in another file. */
  readonly oldLine: number | null;
  readonly newLine: number | null;
}

/** What two logs are, side by side, and where they differ. Its JSON form is this very object. */
export interface Comparison {
  readonly version: 1;
  readonly old: ComparedLog;
  readonly new: ComparedLog;
  readonly differences: readonly Difference[];
}

export interface ComparedLog {
  readonly path: string;
  readonly title: string;
  readonly state: LogReport['state'];
  readonly machine: string | null;
  readonly hours: string | null;
  readonly from: string | null;
  readonly to: string | null;
  readonly errors: number;
  readonly warnings: number;
}

/**
 * Compares two reports. A value in another unit is no change when both say the same within the digits that were
 * written (2.6583 in and 67.52 mm); in one unit it is a change as soon as the numbers differ. Steps that moved, and
 * who stood where in the file, are not compared.
 */
export function compareReports(before: LogReport, after: LogReport): Comparison {
  return {
    version: 1,
    old: logOf(before),
    new: logOf(after),
    differences: [
      ...compareLog(before, after),
      ...compareLimits(before, after),
      ...compareReadings(before, after),
      ...compareTorques(before, after),
      ...compareParts(before, after),
      ...compareInspections(before, after),
      ...compareConcessions(before, after),
      ...compareOpenItems(before, after),
      ...compareFindings(before, after),
    ],
  };
}

function logOf(report: LogReport): ComparedLog {
  const { machine, summary } = report;
  return {
    path: report.path,
    title: report.title,
    state: report.state,
    machine:
      machine === null ? null : `${machine.name}${machine.serial === null ? '' : ` no. ${machine.serial}`}`,
    hours: machine?.hoursAfter ?? machine?.hoursBefore ?? null,
    from: report.from,
    to: report.to,
    errors: summary.errors,
    warnings: summary.warnings,
  };
}

type Sides = Pick<Difference, 'section' | 'subject' | 'old' | 'new'> & Partial<Omit<Difference, 'matters'>>;

function difference(sides: Sides): Difference {
  return {
    change: null,
    usedOld: null,
    usedNew: null,
    verdict: null,
    effect: null,
    oldLine: null,
    newLine: null,
    ...sides,
    matters: (sides.effect ?? null) !== null,
  };
}

/** The subjects of both, in the order of the new log, then those that only the old has. */
function matched<T>(
  before: readonly T[],
  after: readonly T[],
  key: (one: T) => string,
): readonly (readonly [key: string, old: T | undefined, now: T | undefined])[] {
  const old = new Map(before.map((one) => [key(one), one]));
  const now = new Map(after.map((one) => [key(one), one]));
  return [...new Set([...now.keys(), ...old.keys()])].map(
    (one) => [one, old.get(one), now.get(one)] as const,
  );
}

function compareLog(before: LogReport, after: LogReport): readonly Difference[] {
  const [old, now] = [logOf(before), logOf(after)];
  const facts: readonly (readonly [string, string | null, string | null, boolean])[] = [
    ['machine', old.machine, now.machine, true],
    ['state', before.state, after.state, true],
    ['hours', old.hours, now.hours, false],
    [
      'covers',
      before.assemblies
        .filter((one) => one.covered)
        .map((one) => one.name)
        .join(' ') || null,
      after.assemblies
        .filter((one) => one.covered)
        .map((one) => one.name)
        .join(' ') || null,
      true,
    ],
  ];
  return facts
    .filter(([, a, b]) => a !== b)
    .map(([subject, a, b, matters]) =>
      difference({ section: 'log', subject, old: a, new: b, effect: matters ? 'changed' : null }),
    );
}

/** Members of a characteristic with its name. */
function membersOf(report: LogReport) {
  return report.characteristics.flatMap(({ name, derived, members }) =>
    members.map((member) => ({ name, derived, member })),
  );
}

function limitText({ fresh, wear, words, ref }: ReportMember): string {
  const range = words === null ? (fresh?.text ?? null) : words.map((word) => `"${word}"`).join(' or ');
  const parts = [range, wear === null ? null : `wear ${wear.text}`].filter((part) => part !== null);
  return `${parts.join(', ') || 'no limit'}${ref === null ? '' : ` (ref ${ref})`}`;
}

/** Whether two limits ask for the same, whatever unit they are written in. */
function sameEnds(
  a: LimitEnds | null,
  aUnit: string | null,
  b: LimitEnds | null,
  bUnit: string | null,
): boolean {
  if (a === null || b === null) return a === b;
  if (aUnit === bUnit) return a.lower === b.lower && a.upper === b.upper;
  return a.text === b.text;
}

function compareLimits(before: LogReport, after: LogReport): readonly Difference[] {
  const found: { text: string; subject: string; difference: Difference }[] = [];
  for (const [, old, now] of matched(membersOf(before), membersOf(after), ({ member }) => member.target)) {
    if (old === undefined || now === undefined) continue;
    const [a, b] = [old.member, now.member];
    const same =
      sameEnds(a.fresh, a.unit, b.fresh, b.unit) &&
      sameEnds(a.wear, a.unit, b.wear, b.unit) &&
      a.words?.join() === b.words?.join() &&
      a.grade === b.grade;
    if (same) continue;
    const grade = (member: ReportMember) => (member.grade === null ? '' : ` for ${member.grade}`);
    const [oldText, newText] = [`${limitText(a)}${grade(a)}`, `${limitText(b)}${grade(b)}`];
    found.push({
      text: `${oldText} ${newText}`,
      subject: now.name,
      difference: difference({
        section: 'limits',
        subject: b.target,
        old: oldText,
        new: newText,
        effect: 'changed',
      }),
    });
  }
  const groups = matched(before.fastenerGroups, after.fastenerGroups, (group) => group.name).flatMap(
    ([name, old, now]): Difference[] => {
      if (old === undefined || now === undefined) return [];
      const [a, b] = [askedOf(old), askedOf(now)];
      return a === b
        ? []
        : [difference({ section: 'limits', subject: name, old: a, new: b, effect: 'changed' })];
    },
  );
  return [...merged(found), ...groups];
}

/** What the table asks of a group, in words. */
function askedOf(group: ReportGroup): string {
  return [
    [group.thread, group.propertyClass === null ? null : `class ${group.propertyClass}`]
      .filter((part) => part !== null)
      .join(' '),
    group.torque === null ? '' : `torque ${group.torque}`,
    group.angle === null ? '' : `angle ${group.angle}`,
    group.drag === null ? '' : `drag ${group.drag}`,
    group.stages.length === 0 ? '' : `stages ${group.stages.join(', ')}`,
    group.order === null ? '' : `order ${group.order.join(' ')}`,
    group.lubricant === null ? '' : `lubricant ${group.lubricant}`,
    group.lock === null ? '' : `lock ${group.lock}`,
    group.retorque === null ? '' : `retorque ${group.retorque}`,
  ]
    .filter((part) => part !== '')
    .join(', ');
}

/** The same said of several members is said once. */
function merged(
  found: readonly { readonly text: string; readonly subject: string; readonly difference: Difference }[],
): readonly Difference[] {
  const byText = new Map<string, (typeof found)[number][]>();
  for (const one of found) {
    const key = `${one.subject} ${one.text}`;
    byText.set(key, [...(byText.get(key) ?? []), one]);
  }
  return [...byText.values()].flatMap((same) => {
    const [first] = same;
    if (first === undefined) return [];
    if (same.length === 1) return [first.difference];
    const items = same.map((one) => /\[(.*)\]$/.exec(one.difference.subject)?.[1] ?? '');
    return [{ ...first.difference, subject: targetOfMembers(first.subject, items) }];
  });
}

/** The readings that stand, the worst of each place; a derived limit's is what it comes to. */
function standingOf(member: ReportMember): ReadonlyMap<string, ReportReading | WorkedOut> {
  const standing = new Map<string, ReportReading | WorkedOut>();
  for (const reading of member.readings) {
    if (reading.history !== null) continue;
    const other = standing.get(reading.place);
    if (other === undefined || severity(reading) > severity(other)) standing.set(reading.place, reading);
  }
  if (standing.size === 0 && member.workedOut !== null) standing.set('', member.workedOut);
  return standing;
}

type WorkedOut = NonNullable<ReportMember['workedOut']>;

function severity({ verdict, used }: Pick<ReportReading, 'verdict' | 'used'>): number {
  return (verdict === null ? 0 : verdictRank[verdict]) + (used ?? 0) / 1000;
}

const verdictWords = {
  inside: 'inside its limit',
  'past-new': 'past the range for new parts',
  outside: 'past its limit',
} as const;

/** Whether two written values say the same; see `compareReports`. */
function sameValue(a: string, b: string): boolean {
  if (a === b) return true;
  const [x, y] = [parseQuantity(a).quantity, parseQuantity(b).quantity].map((node) =>
    node === undefined ? undefined : quantityOf(node),
  );
  if (x === undefined || y === undefined) return false;
  return x.unit === y.unit ? x.value === y.value : quantityAndEquivalent(x, y).agrees;
}

/** The same value, unless the very same digits are judged otherwise: then the limit changed. */
function isSame(a: ReportReading | WorkedOut, b: ReportReading | WorkedOut): boolean {
  return sameValue(a.text, b.text) && (a.verdict === b.verdict || a.text !== b.text);
}

function compareReadings(before: LogReport, after: LogReport): readonly Difference[] {
  const differences: Difference[] = [];
  for (const [, old, now] of matched(membersOf(before), membersOf(after), ({ member }) => member.target)) {
    const any = now ?? old;
    if (any === undefined) continue;
    const [a, b] = [old?.member, now?.member];
    const [was, is] = [a, b].map((member) =>
      member === undefined ? new Map<string, ReportReading | WorkedOut>() : standingOf(member),
    );
    // Places that one log has none of are told together.
    const alone = is?.size === 0 ? was : was?.size === 0 ? is : undefined;
    if (alone !== undefined && alone.size > 1) {
      differences.push(
        together(any.name, any.member.item, [...alone.values()], alone === was, now !== undefined),
      );
      continue;
    }
    const places = [...new Set([...(is?.keys() ?? []), ...(was?.keys() ?? [])])];
    for (const place of places) {
      const [x, y] = [was?.get(place), is?.get(place)];
      if (x !== undefined && y !== undefined && isSame(x, y)) continue;
      const unit = any.member.unit;
      const moved = x?.high == null || y?.high == null || a?.unit !== b?.unit ? null : y.high - x.high;
      const verdict =
        x == null || y == null || x.verdict === null || y.verdict === null
          ? null
          : x.verdict !== y.verdict
            ? `${verdictWords[x.verdict]}, now ${verdictWords[y.verdict]}`
            : y.verdict === 'outside'
              ? `still ${verdictWords.outside}`
              : null;
      const lost = x !== undefined && y === undefined && now !== undefined;
      differences.push(
        difference({
          section: 'readings',
          subject: writeTarget(any.name, any.member.item, place),
          old: x?.text ?? null,
          new: y?.text ?? null,
          change: moved === null || unit === null ? null : signed(moved, any.member.decimals, unit),
          usedOld: percent(x?.used),
          usedNew: percent(y?.used),
          verdict,
          effect: lost ? 'worse' : effectOf(x, y),
          oldLine: x?.line ?? null,
          newLine: y?.line ?? null,
        }),
      );
    }
  }
  return differences;
}

/** Where a warning begins, as a share of the wear allowance. */
const MUCH_WORN = 0.8;

/** What another reading of a place comes to; a first one only where it is past its limit. */
function effectOf(
  old: ReportReading | WorkedOut | undefined,
  now: ReportReading | WorkedOut | undefined,
): Effect | null {
  if (now === undefined || now.verdict === null) return null;
  if (old === undefined || old.verdict === null) return now.verdict === 'outside' ? 'worse' : null;
  const [a, b] = [verdictRank[old.verdict], verdictRank[now.verdict]];
  if (a !== b) return b > a ? 'worse' : 'better';
  const [was, is] = [old.used ?? 0, now.used ?? 0];
  if (now.verdict === 'outside') return is > was ? 'worse' : is < was ? 'better' : 'changed';
  return was < MUCH_WORN && is >= MUCH_WORN ? 'worse' : null;
}

const verdictRank = { inside: 0, 'past-new': 1, outside: 2 } as const;

/** The readings of a member that only one log has. */
function together(
  name: string,
  item: string,
  readings: readonly (ReportReading | WorkedOut)[],
  onlyOld: boolean,
  isAsked: boolean,
): Difference {
  const text = `${readings.length} places read`;
  const line = readings[0]?.line ?? null;
  return difference({
    section: 'readings',
    subject: writeTarget(name, item),
    old: onlyOld ? text : null,
    new: onlyOld ? null : text,
    effect: (onlyOld ? isAsked : readings.some((one) => one.verdict === 'outside')) ? 'worse' : null,
    oldLine: onlyOld ? line : null,
    newLine: onlyOld ? null : line,
  });
}

function signed(value: number, decimals: number, unit: string): string {
  const rounded = formatNumber(Math.abs(value), decimals);
  const sign = Number(rounded) === 0 ? '' : value > 0 ? '+' : '−';
  return withUnit(`${sign}${rounded}`, unit);
}

function percent(share: number | null | undefined): number | null {
  return share == null ? null : Math.round(share * 100);
}

const progressWords = {
  done: 'done',
  'on-the-way': 'on the way',
  'finger-tight': 'finger tight',
  loosened: 'loosened',
  due: 'not torqued',
} as const;

/** Where a fastener stands, in words: `24 N·m with TW1, striped`. */
function fastenerText(fastener: ReportFastener): string {
  const last = fastener.tightenings.at(-1);
  const torque = [
    last?.torque ?? null,
    last?.angle == null ? null : `angle ${last.angle}`,
    last?.drag == null ? null : `drag ${last.drag}`,
    last?.tool == null ? null : `with ${last.tool}`,
  ].filter((part) => part !== null);
  return [
    fastener.progress === 'done' && torque.length > 0
      ? torque.join(' ')
      : [
          progressWords[fastener.progress],
          ...(fastener.progress === 'on-the-way' ? [torque.join(' ')] : []),
        ].join(', '),
    ...(last?.lubricant == null ? [] : [last.lubricant]),
    ...(fastener.lock === null ? [] : [`lock ${fastener.lock}`]),
    ...(fastener.striped ? ['striped'] : []),
  ].join(', ');
}

function compareTorques(before: LogReport, after: LogReport): readonly Difference[] {
  return matched(before.fastenerGroups, after.fastenerGroups, (group) => group.name).flatMap(
    ([name, old, now]) => {
      const found = matched(old?.members ?? [], now?.members ?? [], (one) => one.item).flatMap(
        ([item, a, b]) => {
          const untouched = [a, b].every((one) => one === undefined || one.tightenings.length === 0);
          if (untouched && a?.progress === b?.progress) return [];
          if (untouched && (a === undefined || b === undefined)) return [];
          const [oldText, newText] = [a, b].map((one) => (one === undefined ? null : fastenerText(one)));
          if (oldText === newText) return [];
          const sides = difference({
            section: 'torques',
            subject: writeTarget(name, item),
            old: oldText ?? null,
            new: newText ?? null,
            effect:
              (a?.progress === 'done') === (b?.progress === 'done')
                ? null
                : b?.progress === 'done'
                  ? 'better'
                  : 'worse',
            oldLine: a?.tightenings.at(-1)?.line ?? null,
            newLine: b?.tightenings.at(-1)?.line ?? null,
          });
          return [{ text: `${oldText} ${newText}`, subject: name, difference: sides }];
        },
      );
      return [...merged(found), ...compareOrders(name, old, now)];
    },
  );
}

/** The order of the last complete pass that claims one. */
function orderOf(group: ReportGroup | undefined): string | null {
  return group?.passes.findLast((pass) => pass.complete && pass.order !== null)?.order?.join(' ') ?? null;
}

function compareOrders(
  name: string,
  before: ReportGroup | undefined,
  after: ReportGroup | undefined,
): readonly Difference[] {
  const [old, now] = [orderOf(before), orderOf(after)];
  if (old === null || now === null || old === now) return [];
  return [difference({ section: 'torques', subject: `${name}, order`, old, new: now })];
}

function partText({ state, work, because, pn, batch, grade, facing, temporary }: ReportPartState): string {
  if (temporary) return state === 'in' ? 'in' : 'in and out again';
  if (state !== 'in')
    return `${state === 'scrapped' ? 'out, scrapped' : 'out'}${because === null ? '' : `: ${because}`}`;
  const facts = [
    work === 'reused' || work === null ? 'the old one back in' : work,
    pn === null ? '' : `pn ${pn}`,
    batch === null ? '' : `batch ${batch}`,
    grade === null ? '' : `grade ${grade}`,
    facing === null ? '' : `facing ${facing}`,
  ];
  return facts.filter((fact) => fact !== '').join(', ');
}

/** The parts that a log speaks of itself, each as it is at its end. */
function ownParts({ partStates }: LogReport): readonly ReportPartState[] {
  return partStates.filter(({ line }) => line !== null);
}

function compareParts(before: LogReport, after: LogReport): readonly Difference[] {
  const key = ({ name, item }: ReportPartState) => targetOfMembers(name, [item]);
  const found = matched(ownParts(before), ownParts(after), key).flatMap(([subject, old, now]) => {
    const [a, b] = [old, now].map((part) => (part === undefined ? null : partText(part)));
    if (a === b) return [];
    const name = (now ?? old)?.name ?? '';
    const sides = difference({
      section: 'parts',
      subject,
      old: a ?? null,
      new: b ?? null,
      effect:
        now?.state === 'out' && !now.temporary
          ? 'worse'
          : old?.state === 'in' && now?.state === 'in' && old.facing !== now.facing
            ? 'changed'
            : null,
      oldLine: old?.line ?? null,
      newLine: now?.line ?? null,
    });
    return [{ text: `${a} ${b}`, subject: name, difference: sides }];
  });
  return merged(found);
}

function compareInspections(before: LogReport, after: LogReport): readonly Difference[] {
  return matched(before.inspections, after.inspections, (one) => one.name ?? one.text).flatMap(
    ([subject, old, now]) => {
      const word = (one: typeof old) =>
        one === undefined
          ? null
          : one.verdict === null
            ? 'not done'
            : `${one.verdict}${by(one.by)}${one.dueAgain ? ', due again' : ''}`;
      const [a, b] = [word(old), word(now)];
      if (a === b) return [];
      const stands = (one: typeof old) => one?.verdict === 'pass' && !one.dueAgain;
      const effect =
        stands(old) === stands(now)
          ? old?.verdict !== 'fail' && now?.verdict === 'fail'
            ? 'worse'
            : null
          : !stands(now)
            ? 'worse'
            : old === undefined
              ? null
              : 'better';
      return [
        difference({
          section: 'inspections',
          subject,
          old: a,
          new: b,
          effect,
          oldLine: old?.line ?? null,
          newLine: now?.line ?? null,
        }),
      ];
    },
  );
}

function by(people: readonly string[]): string {
  return people.length === 0 ? '' : ` by ${listItems(people)}`;
}

function compareConcessions(before: LogReport, after: LogReport): readonly Difference[] {
  return matched(before.concessions, after.concessions, (one) => one.target).flatMap(
    ([subject, old, now]) => {
      const word = (one: typeof old) =>
        one === undefined
          ? null
          : `${one.because}${by(one.by)}${one.until === null ? '' : `, until ${one.until}`}${one.over ? ', superseded since' : ''}`;
      const [a, b] = [word(old), word(now)];
      if (a === b) return [];
      return [
        difference({
          section: 'concessions',
          subject,
          old: a,
          new: b,
          effect: 'changed',
          oldLine: old?.line ?? null,
          newLine: now?.line ?? null,
        }),
      ];
    },
  );
}

function compareOpenItems(before: LogReport, after: LogReport): readonly Difference[] {
  return matched(before.openItems, after.openItems, (one) => one.name).flatMap(([subject, old, now]) => {
    const word = (one: typeof old) =>
      one === undefined
        ? null
        : one.closed === null
          ? `open: ${one.text}`
          : ['closed', one.closed.text].filter((part) => part !== '').join(': ');
    const [a, b] = [word(old), word(now)];
    if (a === b) return [];
    return [
      difference({
        section: 'open items',
        subject,
        old: a,
        new: b,
        effect:
          now === undefined ? null : now.closed === null ? 'worse' : old?.closed === null ? 'better' : null,
        oldLine: old?.line ?? null,
        newLine: now?.line ?? null,
      }),
    ];
  });
}

/** Errors and warnings that only one of the two has; what the sections above show by its value is not told again. */
function compareFindings(before: LogReport, after: LogReport): readonly Difference[] {
  const told = new Set(['out-of-limits', 'past-new', 'found-worn', 'concession', 'open-item']);
  const those = (report: LogReport) =>
    report.findings.filter(
      ({ rule, severity: weight }) => !told.has(rule) && (weight === 'error' || weight === 'warning'),
    );
  const exactly = matched(those(before), those(after), ({ rule, message }) => `${rule} ${message}`);
  // What is left may be the same with other numbers in it.
  const left = (side: 1 | 2) =>
    exactly
      .filter(([, old, now]) => old === undefined || now === undefined)
      .flatMap((one) => one[side] ?? []);
  return matched(withKeys(left(1)), withKeys(left(2)), ({ key }) => key).flatMap(
    ([, { finding: old } = {}, { finding: now } = {}]) => {
      const any = now ?? old;
      if (any === undefined) return [];
      return [
        difference({
          section: 'findings',
          subject: any.rule,
          old: old === undefined ? null : `${old.severity}: ${old.message}`,
          new: now === undefined ? null : `${now.severity}: ${now.message}`,
          effect: now?.severity === 'error' && old?.severity !== 'error' ? 'worse' : null,
          oldLine: old?.line ?? null,
          newLine: now?.line ?? null,
        }),
      ];
    },
  );
}

/** Findings with their rule and words without the numbers; alike ones are told apart by their turn. */
function withKeys(
  findings: readonly ReportFinding[],
): readonly { readonly key: string; readonly finding: ReportFinding }[] {
  const seen = new Map<string, number>();
  return findings.map((finding) => {
    const words = `${finding.rule} ${finding.message.replace(/(?<![\w-])\d+(?:\.\d+)?/g, '0')}`;
    const turn = seen.get(words) ?? 0;
    seen.set(words, turn + 1);
    return { key: `${words} ${turn}`, finding };
  });
}
