/** What a report tells, as plain data: everything that its page, Markdown, CSV and JSON forms say comes from here. */
import { type ClauseName, clauseNode, clauseValue } from '../../grammar/index.ts';
import { wallMinutes } from '../calculations/index.ts';
import {
  convert,
  convertDifference,
  formatAmount,
  formatQuantity,
  formatSpread,
  type Quantity,
  roundTo,
  type Spread,
  type UnitSystem,
} from '../quantities/index.ts';
import {
  acceptedAt,
  type Characteristic,
  concessionForPart,
  type EndsUncertainty,
  type Entry,
  type FastenerGroup,
  type Finding,
  fitCondition,
  type History,
  hoursAtStart,
  hoursRun,
  type Instance,
  isByInspector,
  isCovered,
  isLocked,
  isScrapped,
  isUnderConditions,
  judgeValue,
  type LimitDeclaration,
  type Location,
  type MemberState,
  machineHours,
  partStates,
  type Reading,
  type Rebuild,
  readingUncertainty,
  readingValue,
  replacedFasteners,
  type Severity,
  type State,
  stagesBeforeFinal,
  type Tightening,
  takenAs,
  type Value,
  valueOutgrown,
  wantedConditions,
  workedUncertainty,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';
import { quantityBeside, spreadBeside, valueBeside } from './beside.ts';
import { gridOf } from './grid.ts';

/** A checked log: what the workspace gives of it. */
export interface ReportSource {
  readonly path: string;
  readonly rebuild: Rebuild;
  readonly findings: readonly Finding[];
  /** The system of units that the team reads in: `also` gives it for what the log or the table has in the other. */
  readonly units?: UnitSystem | undefined;
}

/** Where a fact stands: the line of the log, from 1; null when it comes from another file or is worked out. */
export type Line = number | null;

/** Both ends of a limit in its unit; either may be open. */
export interface LimitEnds {
  readonly text: string;
  /** The same in the team's system of units, where this is in the other; null otherwise, and where there is no such wish. */
  readonly also: string | null;
  readonly lower: number | null;
  readonly upper: number | null;
}

export type ReportVerdict = 'inside' | 'past-new' | 'outside';

export interface ReportReading {
  /** `section/direction`, or empty. */
  readonly place: string;
  /** As written, in the canonical spelling of its unit. */
  readonly text: string;
  /** As `also` of a limit. */
  readonly also: string | null;
  /** Both ends in the limit's unit, the same for one value; null for words, open ends and what does not convert. */
  readonly low: number | null;
  readonly high: number | null;
  readonly word: string | null;
  /** Why it no longer stands; null while it does. */
  readonly history: History | null;
  readonly takenAs: 'found' | 'left' | 'corrected' | null;
  readonly verdict: ReportVerdict | null;
  /** Share of the wear allowance used, 0 to 1 and beyond. */
  readonly used: number | null;
  /** Expanded uncertainty U (k = 2), from what the registers say of the tools, in the limit's unit. */
  readonly uncertainty: number | null;
  /** The conditions of the test, as written. */
  readonly conditions: string | null;
  readonly because: string | null;
  readonly tool: string | null;
  readonly by: readonly string[];
  readonly at: string | null;
  readonly line: Line;
}

/** One member of what is measured or worked out. */
export interface ReportMember {
  readonly target: string;
  readonly item: string;
  readonly ref: string | null;
  readonly unit: string | null;
  /** Decimals that show the limit and the readings without loss. */
  readonly decimals: number;
  readonly fresh: LimitEnds | null;
  readonly wear: LimitEnds | null;
  readonly words: readonly string[] | null;
  /** The grade (oversize, size group) whose limit holds. */
  readonly grade: string | null;
  readonly readings: readonly ReportReading[];
  /** The value of a derived limit, worked out from readings. */
  readonly workedOut: Omit<ReportReading, 'place' | 'history' | 'takenAs' | 'conditions' | 'because'> | null;
  /** Places that still lack a reading; one empty string stands for the member itself. */
  readonly missing: readonly string[];
  /** The worst of what stands; `accepted` when a concession covers it, `due` without anything that stands. */
  readonly verdict: ReportVerdict | 'accepted' | 'due' | 'recorded';
  readonly used: number | null;
  readonly sections: readonly string[];
  readonly directions: readonly string[];
}

export interface ReportCharacteristic {
  readonly name: string;
  readonly assembly: string | null;
  readonly derived: boolean;
  readonly members: readonly ReportMember[];
}

export interface ReportTightening {
  readonly stage: number | null;
  readonly torque: string | null;
  /** As `also` of a limit. */
  readonly torqueAlso: string | null;
  readonly angle: string | null;
  readonly drag: string | null;
  readonly lubricant: string | null;
  readonly adapter: string | null;
  readonly set: string | null;
  readonly retorque: boolean;
  readonly tool: string | null;
  readonly by: readonly string[];
  readonly at: string | null;
  readonly line: Line;
}

export interface ReportFastener {
  readonly item: string;
  readonly progress: 'done' | 'on-the-way' | 'finger-tight' | 'loosened' | 'due';
  /** The highest stage it has had; 0 for none. */
  readonly stage: number;
  readonly tightenings: readonly ReportTightening[];
  /** The lock on it; null when there is none (yet). */
  readonly lock: string | null;
  readonly striped: boolean;
}

export interface ReportPass {
  readonly stage: number;
  readonly torque: string | null;
  /** The members in the order they were done; null where the log claims none. */
  readonly order: readonly string[] | null;
  readonly complete: boolean;
}

export interface ReportGroup {
  readonly name: string;
  readonly assembly: string | null;
  readonly ref: string | null;
  readonly joint: string | null;
  readonly thread: string | null;
  readonly propertyClass: string | null;
  readonly torque: string | null;
  /** As `also` of a limit. */
  readonly torqueAlso: string | null;
  readonly angle: string | null;
  readonly drag: string | null;
  readonly stages: readonly string[];
  readonly lubricant: string | null;
  readonly lock: string | null;
  readonly retorque: string | null;
  readonly once: boolean;
  readonly order: readonly string[] | null;
  readonly layout: FastenerGroup['declaration']['layout'] | null;
  readonly stageCount: number;
  readonly members: readonly ReportFastener[];
  readonly passes: readonly ReportPass[];
  readonly accepted: readonly ReportConcession[];
}

export interface ReportPartEvent {
  readonly at: string | null;
  readonly by: readonly string[];
  readonly because: string | null;
  readonly line: Line;
}

export interface ReportPart {
  readonly target: string;
  readonly name: string;
  readonly items: readonly string[];
  readonly text: string | null;
  readonly assembly: string | null;
  readonly out: (ReportPartEvent & { readonly scrapped: boolean }) | null;
  readonly in:
    | (ReportPartEvent & {
        readonly condition: 'new' | 'reused' | 'reworked';
        readonly pn: string | null;
        readonly batch: string | null;
        readonly grade: string | null;
        readonly facing: string | null;
      })
    | null;
  readonly life: readonly string[];
  readonly temporary: boolean;
}

/** A member of a part at the end of the log: once, however often it came out and went back. */
export interface ReportPartState {
  readonly name: string;
  readonly item: string;
  readonly state: 'in' | 'out' | 'scrapped';
  /** What the log did to the one that is in; null when none is, or when an earlier log fitted it. */
  readonly work: 'new' | 'reused' | 'reworked' | null;
  readonly because: string | null;
  readonly pn: string | null;
  readonly batch: string | null;
  readonly grade: string | null;
  readonly facing: string | null;
  readonly life: readonly string[];
  /** When it went in new, in this log or an earlier one, and when its life ends: a day, and hours such as `905.7 h`. */
  readonly newOn: string | null;
  readonly newAt: string | null;
  readonly endsOn: string | null;
  readonly endsAt: string | null;
  readonly temporary: boolean;
  readonly line: Line;
}

export interface ReportInspection {
  readonly name: string | null;
  readonly text: string;
  readonly needsInspector: boolean;
  /** Null while the manual's inspection is still due. */
  readonly verdict: 'pass' | 'fail' | null;
  /** What it rests on was replaced, reworked or opened since, and nobody has looked at it again. */
  readonly dueAgain: boolean;
  readonly ref: string | null;
  readonly by: readonly string[];
  readonly at: string | null;
  readonly line: Line;
}

export interface ReportOpenItem {
  readonly name: string;
  readonly text: string;
  readonly opened: string | null;
  readonly closed: { readonly text: string; readonly at: string | null; readonly line: Line } | null;
  readonly line: Line;
}

export interface ReportConcession {
  readonly target: string;
  readonly because: string;
  readonly by: readonly string[];
  readonly until: string | null;
  /** What it was for was put right, replaced or accepted anew since: it no longer counts. */
  readonly over: boolean;
  readonly at: string | null;
  readonly line: Line;
}

/** How long a concession holds, in words. */
export function untilText({ until, over }: ReportConcession): string {
  return over ? 'superseded since' : (until ?? 'no limit');
}

export interface ReportSignature {
  readonly kind: 'sign' | 'release';
  readonly by: string;
  readonly text: string;
  readonly at: string | null;
  readonly hours: string | null;
  readonly mark: string | null;
  /** Whether the text that it covers still gives it; null without a mark. */
  readonly markHolds: boolean | null;
  readonly line: Line;
}

/** A mark with what has become of it, for a reader. */
export function markText({ mark, markHolds }: ReportSignature): string {
  if (mark === null) return 'none';
  return markHolds === false ? `${mark}: BROKEN, the text was changed since` : `${mark} holds`;
}

export interface ReportEntry {
  readonly kind: string;
  /** As written, table rows included. */
  readonly text: string;
  readonly line: Line;
  /** Lines that it takes. */
  readonly lines: number;
}

export interface ReportStep {
  readonly text: string;
  readonly at: string | null;
  /** Minutes, comparable with those of other steps; null without a date. */
  readonly minutes: number | null;
  readonly by: readonly string[];
  readonly tool: string | null;
  readonly temperature: string | null;
  readonly entries: readonly ReportEntry[];
  readonly line: Line;
}

/** A sealant or threadlocker that had to cure. */
export interface ReportCure {
  readonly sealant: string;
  readonly to: string;
  readonly cure: string;
  /** The earliest that the log allows for its application. */
  readonly applied: string;
  /** Minutes, comparable with the steps'. */
  readonly from: number;
  readonly until: number;
  /** First load that the cure must come before (torque, if `cured`; else the run), after it was applied. */
  readonly loaded: { readonly what: string; readonly at: string; readonly minutes: number } | null;
  readonly line: Line;
}

export interface ReportPerson {
  readonly name: string;
  readonly text: string;
  readonly roles: readonly ('builder' | 'inspector')[];
  readonly licence: string | null;
  /** Did some of the work, by the log's own record. */
  readonly worked: boolean;
}

export interface ReportTool {
  readonly name: string;
  readonly text: string;
  readonly range: string | null;
  readonly accuracy: string | null;
  readonly uncertainty: string | null;
  readonly calibrated: string | null;
  readonly due: string | null;
}

export interface ReportFinding {
  readonly rule: string;
  readonly severity: Severity;
  /** What it would be if the team's configuration did not lower it; null where it does not. */
  readonly lowered: Severity | null;
  readonly message: string;
  readonly line: Line;
}

/** `information (lowered from error)`. */
export function severityText({ severity, lowered }: ReportFinding): string {
  return lowered === null ? severity : `${severity} (lowered from ${lowered})`;
}

/** The whole report. Its JSON form is this very object; `version` changes when its shape does. */
export interface LogReport {
  readonly version: 1;
  readonly path: string;
  readonly title: string;
  readonly state: State;
  readonly machine: {
    readonly name: string;
    readonly serial: string | null;
    /** At the start of the log, run in it, and at its end. */
    readonly hoursBefore: string | null;
    readonly hoursRun: string | null;
    readonly hoursAfter: string | null;
  } | null;
  readonly from: string | null;
  readonly to: string | null;
  /** The files it uses, and the manuals that their lines come from. */
  readonly uses: readonly {
    readonly path: string;
    readonly kind: string;
    readonly title: string;
    readonly read: boolean;
  }[];
  readonly manuals: readonly string[];
  readonly assemblies: readonly {
    readonly name: string;
    readonly title: string;
    readonly covered: boolean;
  }[];
  readonly people: readonly ReportPerson[];
  readonly tools: readonly ReportTool[];
  readonly summary: {
    readonly errors: number;
    readonly warnings: number;
    readonly information: number;
    readonly hints: number;
  };
  readonly findings: readonly ReportFinding[];
  readonly characteristics: readonly ReportCharacteristic[];
  readonly fastenerGroups: readonly ReportGroup[];
  readonly parts: readonly ReportPart[];
  readonly partStates: readonly ReportPartState[];
  readonly inspections: readonly ReportInspection[];
  readonly openItems: readonly ReportOpenItem[];
  readonly concessions: readonly ReportConcession[];
  readonly photos: readonly { readonly file: string; readonly text: string; readonly line: Line }[];
  readonly runs: readonly {
    readonly duration: string;
    readonly text: string;
    readonly at: string | null;
    readonly line: Line;
  }[];
  readonly cures: readonly ReportCure[];
  readonly steps: readonly ReportStep[];
  readonly signatures: readonly ReportSignature[];
}

/** The path as given; of an editor's address only the name. */
function shownPath(path: string): string {
  return path.replace(/^[a-z][a-z0-9+.-]+:\/\/.*\//i, '');
}

/** The facts of a log's report; undefined for a table of limits or a register, which have none. */
export function reportFacts(source: ReportSource): LogReport | undefined {
  const { path, rebuild, findings } = source;
  const { state, scope, entries } = rebuild;
  if (state === null) return undefined;
  const title = rebuild.own.declarations.find((one) => one.kind === 'log');
  const dates = [...rebuild.steps, ...entries]
    .map((one) => one.moment?.date)
    .filter((date) => date !== undefined)
    .sort();
  const counting = countingConcessions(rebuild);
  const concessions = entries
    .filter((entry) => entry.kind === 'accept')
    .map((entry) => concessionOf(path, entry, isByInspector(entry, scope.people) && !counting.has(entry)));
  const located = findings.map((finding) => ({
    rule: finding.rule,
    severity: finding.severity,
    lowered: finding.lowered ?? null,
    message: finding.message,
    line: lineAt(path, finding.at),
  }));
  const rank = { error: 0, warning: 1, information: 2, hint: 3 } as const;
  const count = (severity: Severity) => findings.filter((finding) => finding.severity === severity).length;
  return {
    version: 1,
    path: shownPath(path),
    title: title?.kind === 'log' ? title.text : '',
    state,
    machine: machineOf(rebuild),
    from: dates[0] ?? null,
    to: dates.at(-1) ?? null,
    uses: rebuild.imports.map((one) => {
      const opening = one.declarations?.declarations.find(({ kind }) => kind === one.declarations?.kind);
      return {
        path: one.declaration.file,
        kind: one.declarations?.kind ?? 'unknown',
        title:
          opening?.kind === 'limits' || opening?.kind === 'bench' || opening?.kind === 'log'
            ? opening.text
            : '',
        read: one.declarations !== undefined,
      };
    }),
    manuals: [
      ...new Set(
        scope.files.flatMap((file) =>
          file.declarations.flatMap((one) => (one.kind === 'source' ? [one.text] : [])),
        ),
      ),
    ],
    assemblies: [...scope.assemblies.values()].map((one) => ({
      name: one.name,
      title: one.text ?? one.name,
      covered: scope.covers?.has(one.name) ?? false,
    })),
    people: peopleOf(rebuild),
    tools: toolsOf(rebuild),
    summary: {
      errors: count('error'),
      warnings: count('warning'),
      information: count('information'),
      hints: count('hint'),
    },
    findings: located.sort((a, b) => rank[a.severity] - rank[b.severity] || (a.line ?? 0) - (b.line ?? 0)),
    characteristics: rebuild.characteristics
      .filter((one) => one.required || one.instances.some((instance) => isBegun(instance)))
      .map((one) => characteristicOf(source, one)),
    fastenerGroups: rebuild.fastenerGroups
      .filter((group) => group.required || group.touched)
      .map((group) => groupOf(source, group)),
    parts: partsOf(path, rebuild),
    partStates: partStatesOf(path, rebuild),
    inspections: inspectionsOf(path, rebuild),
    openItems: rebuild.openItems.map(({ name, opened, closed }) => ({
      name,
      text: opened.statement.text?.text ?? '?',
      opened: timeOf(opened),
      closed:
        closed === undefined
          ? null
          : { text: closed.statement.text?.text ?? '', at: timeOf(closed), line: lineOf(path, closed) },
      line: lineOf(path, opened),
    })),
    concessions,
    photos: entries
      .filter((entry) => entry.kind === 'photo')
      .map((entry) => ({
        file: entry.statement.text?.text ?? '',
        text: entry.statement.text2?.text ?? '',
        line: lineOf(path, entry),
      })),
    runs: entries
      .filter((entry) => entry.kind === 'run')
      .map((entry) => ({
        duration: fixedText(entry, entry.statement.quantity),
        text: entry.statement.text?.text ?? '',
        at: timeOf(entry),
        line: lineOf(path, entry),
      })),
    cures: curesOf(path, rebuild),
    steps: stepsOf(path, rebuild),
    signatures: entries
      .filter((entry) => entry.kind === 'sign' || entry.kind === 'release')
      .map((entry) => ({
        kind: entry.kind === 'release' ? 'release' : 'sign',
        by: entry.statement.name?.text ?? '?',
        text: entry.statement.text?.text ?? '?',
        at: timeOf(entry),
        hours: clauseText(entry, 'hours'),
        mark: clauseValue(entry.statement, 'mark')?.text ?? null,
        markHolds: rebuild.marks.spans.find(({ block }) => block === entry.block)?.holds ?? null,
        line: lineOf(path, entry),
      })),
  };
}

function isBegun(instance: Instance): boolean {
  return instance.readings.length > 0 || instance.worked?.value !== undefined;
}

/** The line of a place; null when it stands in another file. */
function lineAt(path: string, at: Location): Line {
  if (at.path !== path) return null;
  let line = at.block.line + 1;
  const { text } = at.block;
  for (let i = text.indexOf('\n'); i >= 0 && i < at.start; i = text.indexOf('\n', i + 1)) line++;
  return line;
}

function lineOf(path: string, entry: Pick<Entry, 'path' | 'block' | 'statement'>): Line {
  return lineAt(path, {
    path: entry.path,
    block: entry.block,
    start: entry.statement.start,
    end: entry.statement.end,
  });
}

/** Date and time as the log gives them, `2026-05-11 09:15`; an entry without a time of its own has its step's day. */
function timeOf(entry: Pick<Entry, 'moment'> & { readonly step?: Entry['step'] }): string | null {
  const { moment } = entry;
  if (moment === undefined) return entry.step?.moment?.date ?? null;
  return moment.time === undefined ? moment.date : `${moment.date} ${moment.time}`;
}

/** The local clock at an entry, in minutes; of its step where it gives no time of its own. */
function clockOf(entry: Entry): number | undefined {
  const moment = entry.moment ?? entry.step?.moment;
  return moment === undefined ? undefined : wallMinutes(moment.instant);
}

function fixedText(entry: Entry, span: { start: number; end: number } | undefined): string {
  return span === undefined ? '?' : entry.block.text.slice(span.start, span.end).replace(/\s+/g, ' ');
}

/** A clause as written, without its keyword; null when it does not stand. */
function clauseText(entry: Pick<Entry, 'block' | 'statement'>, name: ClauseName): string | null {
  const clause = clauseNode(entry.statement, name);
  if (clause === undefined) return null;
  return entry.block.text.slice(clause.keyword.end, clause.end).replace(/\s+/g, ' ').trim();
}

/** Who wrote an entry, when, with what, and on which line of the log. */
export function actOf(path: string, entry: Entry) {
  return {
    by: names(entry.by),
    at: timeOf(entry),
    tool: entry.tool?.name ?? null,
    line: lineOf(path, entry),
  };
}

function names(by: readonly { readonly text: string }[]): readonly string[] {
  return by.map((person) => person.text);
}

function machineOf(rebuild: Rebuild): LogReport['machine'] {
  const machine = rebuild.scope.machine;
  if (machine === undefined) return null;
  const before = machine.hours;
  // Runs are in minutes mostly, and a machine's hours in tenths.
  const decimals = Math.max(before?.decimals ?? 1, rebuild.runs.length > 0 ? 1 : 0);
  const written = (hours: number | undefined) =>
    hours === undefined ? null : formatAmount(hours, 'h', decimals);
  return {
    name: machine.name,
    serial: machine.serial ?? null,
    // A log that does not state them starts with those that the earlier one ended with.
    hoursBefore: before === undefined ? written(hoursAtStart(rebuild)) : quantityText(before),
    hoursRun: rebuild.runs.length === 0 ? null : written(hoursRun(rebuild)),
    hoursAfter: written(machineHours(rebuild)),
  };
}

function peopleOf(rebuild: Rebuild): readonly ReportPerson[] {
  const working = new Set<string>();
  const named = new Set<string>();
  for (const step of rebuild.steps) for (const person of step.by) named.add(person.text);
  for (const entry of rebuild.entries) {
    const closing = entry.kind === 'sign' || entry.kind === 'release';
    if (closing && entry.statement.name !== undefined) named.add(entry.statement.name.text);
    for (const person of entry.by) {
      named.add(person.text);
      if (!closing && entry.kind !== 'accept' && entry.kind !== 'inspect') working.add(person.text);
    }
  }
  return [...named].map((name) => {
    const person = rebuild.scope.people.get(name);
    return {
      name,
      text: person?.text ?? '',
      roles: [
        ...(person?.builder === true ? (['builder'] as const) : []),
        ...(person?.inspector === true ? (['inspector'] as const) : []),
      ],
      licence: person?.licence ?? null,
      worked: working.has(name),
    };
  });
}

function toolsOf(rebuild: Rebuild): readonly ReportTool[] {
  const used = new Set(rebuild.entries.map((entry) => entry.tool).filter((tool) => tool !== undefined));
  return [...used].map((tool) => ({
    name: tool.name,
    text: tool.text,
    range: spreadText(tool.range),
    accuracy: quantityText(tool.accuracy),
    uncertainty: quantityText(tool.uncertainty),
    calibrated: tool.calibrated ?? null,
    due: tool.due ?? null,
  }));
}

function quantityText(quantity: Quantity | undefined): string | null {
  return quantity === undefined ? null : formatQuantity(quantity);
}

function spreadText(spread: Spread | undefined): string | null {
  return spread === undefined ? null : formatSpread(spread);
}

function endsOf(
  spread: Spread | undefined,
  declaration: LimitDeclaration,
  unit: string | undefined,
  units: UnitSystem | undefined,
): LimitEnds | null {
  if (spread === undefined || unit === undefined) return null;
  const end = (bound: Spread['lower']) =>
    bound === undefined ? null : withoutNoise(convert(bound.value, spread.unit, unit));
  return {
    text: `${formatSpread(spread)}${holdsWhen(declaration)}`,
    also: spreadBeside(spread, units) ?? null,
    lower: end(spread.lower),
    upper: end(spread.upper),
  };
}

/** ` BTDC`, ` when 0.5 bar, 3 min`: what a limit says of how it is to be measured. */
function holdsWhen(declaration: LimitDeclaration): string {
  const { qualifier } = declaration;
  const conditions = wantedConditions(declaration)
    .map((one) => formatSpread(one))
    .join(', ');
  return `${qualifier === undefined ? '' : ` ${qualifier}`}${conditions === '' ? '' : ` when ${conditions}`}`;
}

const severityOf: Readonly<Record<ReportVerdict, number>> = { inside: 0, 'past-new': 1, outside: 2 };

function characteristicOf(source: ReportSource, characteristic: Characteristic): ReportCharacteristic {
  return {
    name: characteristic.name,
    assembly: characteristic.declarations[0]?.assembly ?? null,
    derived: characteristic.derived,
    members: characteristic.instances.map((instance) => memberOf(source, characteristic, instance)),
  };
}

/** Whether a reading is worse than what was accepted there. */
function isOutgrown(instance: Instance, reading: Reading): boolean {
  const entry = acceptedAt(instance, reading.place);
  return entry !== undefined && valueOutgrown(instance, reading, entry) !== undefined;
}

function memberOf(
  { path, units }: ReportSource,
  characteristic: Characteristic,
  instance: Instance,
): ReportMember {
  const { declaration } = instance;
  // What was there before another grade went in is judged by the limit without one.
  const plain = characteristic.declarations.find(
    (one) => one.grade === undefined && one.space.index.has(instance.item),
  );
  const asNew = instance.fittedNew !== undefined;
  const unit = (declaration.limit ?? declaration.wear)?.unit;
  const judged = (value: Value | undefined, by = declaration, isNew = asNew) => {
    const judgement = value === undefined ? undefined : judgeValue(value, by, isNew);
    const inUnit = (end: number | undefined) =>
      end === undefined || value === undefined || unit === undefined
        ? null
        : withoutNoise(convert(end, value.unit, unit));
    return {
      text: value?.text ?? '',
      also: value === undefined ? null : (valueBeside(value, units) ?? null),
      low: inUnit(value?.low),
      high: inUnit(value?.high),
      verdict: judgement?.verdict ?? null,
      used: judgement?.used === undefined ? null : roundTo(judgement.used, 4),
      decimals: judgement?.decimals ?? value?.decimals ?? 0,
    };
  };
  let decimals = Math.max(declaration.limit?.decimals ?? 0, declaration.wear?.decimals ?? 0);
  const readings = instance.readings
    .filter(({ reading }) => !reading.placeholder)
    .map(({ reading, history }): ReportReading => {
      const value = readingValue(reading);
      const {
        decimals: shown,
        text,
        ...verdict
      } = history === undefined || history === 'corrected'
        ? judged(value)
        : judged(value, plain ?? declaration, false);
      decimals = Math.max(decimals, shown);
      const wordVerdict =
        reading.word === undefined || declaration.words === undefined
          ? verdict.verdict
          : declaration.words.includes(reading.word)
            ? 'inside'
            : 'outside';
      return {
        place: reading.place,
        text:
          text === ''
            ? reading.entry.block.text.slice(reading.at.start, reading.at.end)
            : qualified(text, reading),
        ...verdict,
        // What was measured under other conditions than its limit holds for is not shown to be inside it.
        verdict: wordVerdict === 'outside' || isUnderConditions(reading, declaration) ? wordVerdict : null,
        word: reading.word ?? null,
        history: history ?? null,
        takenAs: takenAs(reading.entry) ?? null,
        uncertainty: expanded(readingUncertainty(reading, instance), value?.unit, unit),
        conditions: clauseText(reading.entry, 'when'),
        because: clauseValue(reading.entry.statement, 'because')?.text ?? null,
        tool: reading.entry.tool?.name ?? null,
        by: names(reading.entry.by),
        at: timeOf(reading.entry),
        line: lineAt(path, reading.at),
      };
    });
  const worked = workedValue(instance);
  const workedOut = worked === undefined ? null : judged(worked);
  if (workedOut !== null) decimals = Math.max(decimals, workedOut.decimals);
  const standing = readings.filter((reading) => reading.history === null);
  const verdicts = [...standing, ...(workedOut === null ? [] : [workedOut])]
    .map((one) => one.verdict)
    .filter((verdict) => verdict !== null);
  const worst = verdicts.reduce<ReportVerdict | undefined>(
    (a, b) => (a === undefined || severityOf[b] > severityOf[a] ? b : a),
    undefined,
  );
  const past = [
    ...standing.map(({ verdict, place }) => ({
      verdict,
      accepted: acceptedAt(instance, place) !== undefined,
    })),
    { verdict: workedOut?.verdict ?? null, accepted: acceptedAt(instance) !== undefined },
  ].filter(({ verdict }) => verdict !== null && verdict !== 'inside');
  const shares = [...standing, ...(workedOut === null ? [] : [workedOut])]
    .map((one) => one.used)
    .filter((used) => used !== null);
  const grid = gridPlaces(declaration.places.items);
  return {
    target: writeTarget(characteristic.name, instance.item),
    item: instance.item,
    ref: declaration.ref ?? null,
    unit: unit ?? null,
    decimals,
    fresh: endsOf(declaration.limit, declaration, unit, units),
    wear: endsOf(declaration.wear, declaration, unit, units),
    words: declaration.words ?? null,
    grade: declaration.grade?.grade ?? null,
    readings,
    workedOut:
      workedOut === null
        ? null
        : {
            text: workedOut.text,
            also: workedOut.also,
            low: workedOut.low,
            high: workedOut.high,
            verdict: workedOut.verdict,
            used: workedOut.used,
            word: null,
            uncertainty: expanded(workedUncertainty(characteristic, instance), worked?.unit, unit),
            tool: null,
            by: [],
            at: null,
            line: null,
          },
    missing: instance.missing,
    verdict:
      worst !== undefined
        ? past.some((one) => one.accepted) &&
          !past.some((one) => !one.accepted && one.verdict === 'outside') &&
          !instance.standing.some((reading) => isOutgrown(instance, reading))
          ? 'accepted'
          : worst
        : standing.length > 0 || workedOut !== null
          ? 'recorded'
          : 'due',
    used: shares.length === 0 ? null : Math.max(...shares),
    sections: grid.sections,
    directions: grid.directions,
  };
}

/** Without the last digits that reckoning in binary leaves: 12 significant ones are more than anything is measured to. */
function withoutNoise(value: number | undefined): number | null {
  return value === undefined ? null : Number(value.toPrecision(12));
}

/** `1.92 mm BTDC`. */
function qualified(text: string, reading: Reading): string {
  return reading.qualifier === undefined ? text : `${text} ${reading.qualifier}`;
}

/** Sections and directions of places that fill a grid; none where they do not. */
function gridPlaces(places: readonly string[]): {
  sections: readonly string[];
  directions: readonly string[];
} {
  const { rows, columns } = gridOf(places);
  return columns.length > 1 ? { sections: rows, directions: columns } : { sections: [], directions: [] };
}

/** U (k = 2) of a value in the limit's unit; null where it is not known. An interval has the greater of its ends. */
function expanded(ends: EndsUncertainty, from: string | undefined, unit: string | undefined): number | null {
  const u = Math.max(ends.low ?? Number.NaN, ends.high ?? Number.NaN);
  const either = Number.isNaN(u) ? (ends.high ?? ends.low) : u;
  if (either === undefined || from === undefined || unit === undefined) return null;
  return withoutNoise(convertDifference(2 * either, from, unit));
}

function groupOf({ path, units, rebuild: { scope } }: ReportSource, group: FastenerGroup): ReportGroup {
  const { declaration } = group;
  const lockIsSealant = declaration.lock !== undefined && scope.sealants.has(declaration.lock);
  return {
    name: group.name,
    assembly: declaration.assembly ?? null,
    ref: declaration.ref ?? null,
    joint: group.joint?.name ?? null,
    thread: declaration.thread ?? null,
    propertyClass: declaration.propertyClass ?? null,
    torque: spreadText(declaration.torque),
    torqueAlso: spreadBeside(declaration.torque, units) ?? null,
    angle: spreadText(declaration.angle),
    drag: spreadText(declaration.drag),
    stages: stagesBeforeFinal(declaration).map(formatQuantity),
    lubricant: declaration.lubricant ?? null,
    lock: declaration.lock ?? null,
    retorque: quantityText(declaration.retorque),
    once: declaration.once,
    order: declaration.order ?? null,
    layout: declaration.layout ?? null,
    stageCount: group.stageCount,
    members: group.members.map((member) => fastenerOf({ path, units }, member, lockIsSealant)),
    passes: group.passes
      .filter((pass) => !pass.undone)
      .map((pass) => ({
        stage: pass.stage,
        torque: quantityText(pass.tightenings[0]?.torque),
        order: pass.claimsOrder ? [...new Set(pass.tightenings.map((one) => one.item))] : null,
        complete: pass.complete,
      })),
    accepted: [...new Set(group.members.flatMap(({ accepted }) => accepted ?? []))].map((entry) =>
      concessionOf(path, entry),
    ),
  };
}

function fastenerOf(
  source: Pick<ReportSource, 'path' | 'units'>,
  member: MemberState,
  lockIsSealant: boolean,
): ReportFastener {
  return {
    item: member.item,
    progress: member.done
      ? 'done'
      : member.tightenings.length > 0
        ? 'on-the-way'
        : member.fingerTight !== undefined
          ? 'finger-tight'
          : member.loosened?.kind === 'loosen'
            ? 'loosened'
            : 'due',
    stage: Math.max(0, ...member.tightenings.map((one) => one.stage ?? 0)),
    tightenings: member.tightenings.map((one) => tighteningOf(source, one)),
    lock: isLocked(member, lockIsSealant) ? (member.locked?.statement.name?.text ?? null) : null,
    striped: member.striped !== undefined,
  };
}

function tighteningOf(
  { path, units }: Pick<ReportSource, 'path' | 'units'>,
  { entry, torque, angle, stage, retorque }: Tightening,
): ReportTightening {
  return {
    stage: stage ?? null,
    torque: quantityText(torque),
    torqueAlso: quantityBeside(torque, units) ?? null,
    angle: quantityText(angle),
    drag: clauseText(entry, 'drag'),
    lubricant: clauseText(entry, 'lubricant'),
    adapter: clauseText(entry, 'adapter'),
    set: clauseText(entry, 'set'),
    retorque,
    ...actOf(path, entry),
  };
}

/** The parts that came out or went in, and fasteners that were replaced; members that share their lines share a row. */
function partsOf(path: string, rebuild: Rebuild): readonly ReportPart[] {
  return [...rebuild.parts, ...replacedFasteners(rebuild.fastenerGroups)].flatMap((part) => {
    const rows = new Map<string, { items: string[]; out: Entry | undefined; in: Entry | undefined }>();
    for (const member of part.members)
      for (const pair of pairs(member.events, part.declaration.temporary)) {
        const key = `${pair.out?.index ?? ''} ${pair.in?.index ?? ''}`;
        const row = rows.get(key);
        if (row === undefined) rows.set(key, { items: [member.item], ...pair });
        else row.items.push(member.item);
      }
    return [...rows.values()].map(
      (row): ReportPart => ({
        name: part.name,
        items: row.items,
        target: writeTarget(
          part.name,
          part.members.length === 1 ? (row.items[0] ?? '') : row.items.join(' '),
        ),
        text: part.declaration.text ?? null,
        assembly: part.declaration.assembly ?? null,
        out: row.out === undefined ? null : { ...eventOf(path, row.out), scrapped: isScrapped(row.out) },
        in:
          row.in === undefined
            ? null
            : {
                ...eventOf(path, row.in),
                condition: fitCondition(row.in),
                pn: clauseValue(row.in.statement, 'pn')?.text ?? null,
                batch: clauseValue(row.in.statement, 'batch')?.text ?? null,
                grade: clauseValue(row.in.statement, 'grade')?.text ?? null,
                facing: clauseValue(row.in.statement, 'facing')?.text ?? null,
              },
        life: part.declaration.life.map(formatQuantity),
        temporary: part.declaration.temporary,
      }),
    );
  });
}

/** Where each part that the log speaks of is at its end, and those with a life that an earlier log fitted. */
function partStatesOf(path: string, rebuild: Rebuild): readonly ReportPartState[] {
  return partStates(rebuild).flatMap((one): ReportPartState[] => {
    const { name, item, state, entry, work, life } = one;
    if (state === 'not-mentioned' || entry === undefined) return [];
    if (entry.path !== path && life === undefined) return [];
    const hours = (value: number | undefined) => (value === undefined ? null : formatAmount(value, 'h', 1));
    const declaration = rebuild.scope.parts.get(name);
    return [
      {
        name,
        item,
        state,
        work: work ?? null,
        because: clauseValue(entry.statement, 'because')?.text ?? null,
        pn: one.partNumber ?? null,
        batch: one.batch ?? null,
        grade: one.grade ?? null,
        facing: one.facing ?? null,
        life: declaration?.life.map(formatQuantity) ?? [],
        newOn: one.newOn ?? null,
        newAt: hours(life?.sinceHours),
        endsOn: life?.endsOn ?? null,
        endsAt: hours(life?.endsAtHours),
        temporary: declaration?.temporary ?? false,
        line: lineOf(path, entry),
      },
    ];
  });
}

/** Removals with the fittings that followed them; what is in for a while only is fitted first and then removed. */
function pairs(
  events: readonly Entry[],
  temporary: boolean,
): readonly { out: Entry | undefined; in: Entry | undefined }[] {
  const found: { out: Entry | undefined; in: Entry | undefined }[] = [];
  const first = temporary ? 'fit' : 'remove';
  for (const event of events) {
    const last = found.at(-1);
    const isOut = event.kind === 'remove';
    const waits = last !== undefined && (isOut ? last.out === undefined : last.in === undefined);
    if (event.kind !== first && waits) last[isOut ? 'out' : 'in'] = event;
    else found.push({ out: isOut ? event : undefined, in: isOut ? undefined : event });
  }
  return found;
}

function eventOf(path: string, entry: Entry): ReportPartEvent {
  return {
    at: timeOf(entry),
    by: names(entry.by),
    because: clauseValue(entry.statement, 'because')?.text ?? null,
    line: lineOf(path, entry),
  };
}

/** Inspections recorded, then those of a covered assembly that are not. */
function inspectionsOf(path: string, rebuild: Rebuild): readonly ReportInspection[] {
  const { scope } = rebuild;
  const recorded = new Set<string>();
  const dueAgain = new Set(
    rebuild.inspections.flatMap(({ state, last }) =>
      state === 'due-again' && last !== undefined ? [last.entry] : [],
    ),
  );
  const done = rebuild.entries
    .filter((entry) => entry.kind === 'inspect')
    .map((entry): ReportInspection => {
      const subject = entry.statement.subject;
      const declared = subject?.quoted === false ? scope.inspections.get(subject.text) : undefined;
      const verdict = clauseValue(entry.statement, 'verdict')?.text;
      const settled = verdict === 'pass' || verdict === 'fail' ? verdict : null;
      if (declared !== undefined && settled !== null) recorded.add(declared.name);
      return {
        name: declared?.name ?? null,
        text: declared?.text ?? subject?.text ?? '?',
        needsInspector: declared?.needs === 'inspector',
        verdict: settled,
        dueAgain: dueAgain.has(entry),
        ref: declared?.ref ?? null,
        by: names(entry.by),
        at: timeOf(entry),
        line: lineOf(path, entry),
      };
    });
  const due = [...scope.inspections.values()]
    .filter(
      (one) => isCovered(scope, one) && !recorded.has(one.name) && !done.some((row) => row.name === one.name),
    )
    .map(
      (one): ReportInspection => ({
        name: one.name,
        text: one.text,
        needsInspector: one.needs === 'inspector',
        verdict: null,
        dueAgain: false,
        ref: one.ref ?? null,
        by: [],
        at: null,
        line: null,
      }),
    );
  return [...done, ...due];
}

/** The concessions that count at the end of the log for something that they name. */
function countingConcessions(rebuild: Rebuild): ReadonlySet<Entry | undefined> {
  return new Set([
    ...rebuild.characteristics.flatMap(({ instances }) =>
      instances.flatMap(({ concessions }) => concessions.map(({ entry }) => entry)),
    ),
    ...rebuild.fastenerGroups.flatMap(({ members }) => members.map(({ accepted }) => accepted)),
    ...rebuild.parts.flatMap((part) =>
      part.members.map((member) => concessionForPart(part, member, rebuild.scope.people)),
    ),
    ...rebuild.inspections.map(({ accepted }) => accepted),
  ]);
}

function concessionOf(path: string, entry: Entry, over = false): ReportConcession {
  return {
    target: fixedText(entry, entry.statement.target),
    because: clauseValue(entry.statement, 'because')?.text ?? '?',
    by: names(entry.by),
    until: clauseText(entry, 'until'),
    over,
    at: timeOf(entry),
    line: lineOf(path, entry),
  };
}

function stepsOf(path: string, rebuild: Rebuild): readonly ReportStep[] {
  const byStep = new Map<unknown, ReportEntry[]>();
  for (const entry of rebuild.entries) {
    if (entry.step === undefined) continue;
    const { text } = entry.block;
    const written = text.slice(entry.statement.start, entry.statement.end).split(/\r?\n/);
    const row: ReportEntry = {
      kind: entry.kind,
      text: written.map((one) => one.trim()).join('\n'),
      line: lineOf(path, entry),
      lines: written.length,
    };
    const list = byStep.get(entry.step);
    if (list === undefined) byStep.set(entry.step, [row]);
    else list.push(row);
  }
  return rebuild.steps.map((step) => ({
    text: step.text,
    at: timeOf(step),
    minutes: step.moment === undefined ? null : wallMinutes(step.moment.instant),
    by: names(step.by),
    tool: step.toolName?.text ?? null,
    temperature: quantityText(step.temperature),
    entries: byStep.get(step) ?? [],
    line: lineOf(path, step),
  }));
}

/** Every sealant with a cure time that was applied, with what first loaded it afterwards. */
function curesOf(path: string, rebuild: Rebuild): readonly ReportCure[] {
  const cures: ReportCure[] = [];
  for (const entry of rebuild.entries) {
    const name = entry.kind === 'apply' ? entry.statement.name?.text : undefined;
    const sealant = name === undefined ? undefined : rebuild.scope.sealants.get(name);
    const from = clockOf(entry);
    const minutes =
      sealant?.cure === undefined ? undefined : convert(sealant.cure.value, sealant.cure.unit, 'min');
    if (sealant?.cure === undefined || from === undefined || minutes === undefined) continue;
    cures.push({
      sealant: sealant.text,
      to: entry.targets.map((target) => target.name).join(', '),
      cure: formatQuantity(sealant.cure),
      applied: timeOf(entry) ?? '',
      from,
      until: from + minutes,
      loaded: firstLoad(rebuild, entry, sealant.torqued),
      line: lineOf(path, entry),
    });
  }
  return cures;
}

/** What may only come after the cure: the torque of the joint where the sealant is torqued cured, and any run. */
function firstLoad(
  rebuild: Rebuild,
  applied: Entry,
  torqued: 'cured' | 'wet' | undefined,
): ReportCure['loaded'] {
  const fasteners = new Set<string>();
  for (const { declaration } of applied.targets)
    if (declaration?.kind === 'joint') for (const name of declaration.fasteners) fasteners.add(name);
    else if (declaration?.kind === 'fastener') fasteners.add(declaration.name);
  const load = rebuild.entries
    .slice(applied.index + 1)
    .find(
      (entry) =>
        entry.kind === 'run' ||
        (torqued === 'cured' &&
          entry.kind === 'torque' &&
          entry.targets.some(({ name }) => fasteners.has(name))),
    );
  const minutes = load === undefined ? undefined : clockOf(load);
  if (load === undefined || minutes === undefined) return null;
  const what = load.kind === 'run' ? 'run' : `torque ${load.targets.map(({ name }) => name).join(', ')}`;
  return { what, at: timeOf(load) ?? '', minutes };
}
