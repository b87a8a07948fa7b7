/**
 * The entry that a builder copies into the paper logbook, with the content that public rules ask of one: 14 CFR 43.2,
 * 43.9, 43.11 and 91.417, New Zealand CAR 43.69, and AC 43.13-1B 7-40 for the wrenches. Which of them hold for a
 * machine is for whoever signs. What the log does not say stays a blank; a signature always does.
 */
import { targetOfMembers } from '../rebuild/index.ts';
import { counted } from './counted.ts';
import type { LogReport, ReportMember, ReportPartState } from './report-facts.ts';

/** What an entry must say, by the names that the tests' copy of the rules gives them. */
export type RecordItem =
  | 'work_description'
  | 'description'
  | 'completion_date'
  | 'date'
  | 'performed_by'
  | 'approver_signature'
  | 'signature'
  | 'certificate_number'
  | 'certificate_kind'
  | 'inspection_type'
  | 'extent'
  | 'total_time'
  | 'return_to_service_statement'
  | 'discrepancy_statement'
  | 'disassembled'
  | 'cleaned'
  | 'inspected'
  | 'repaired'
  | 'reassembled'
  | 'tested'
  | 'tested_to_new_limits'
  | 'life_limited_status'
  | 'time_since_overhaul'
  | 'inspection_status'
  | 'ad_status'
  | 'retention'
  | 'measurements'
  | 'test_results'
  | 'wrench_calibration';

export interface RecordField {
  readonly answers: readonly RecordItem[];
  readonly label: string;
  /** What the log says, one line each; none leaves a blank to write in. */
  readonly lines: readonly string[];
  /** A blank stands even where the log says something, as for a signature. */
  readonly blank?: true;
}

export interface RecordSection {
  readonly title: string;
  readonly fields: readonly RecordField[];
}

/** The entry's fields. Nothing in it is more than the log says. */
export function recordEntry(report: LogReport): readonly RecordSection[] {
  const { machine } = report;
  const release = report.signatures.find((one) => one.kind === 'release');
  const approver = release === undefined ? undefined : report.people.find((one) => one.name === release.by);
  const workers = report.people.filter((one) => one.worked);
  const members = report.characteristics.flatMap((one) => one.members);
  const manuals = report.manuals.length === 0 ? '' : `; by ${report.manuals.join('; ')}`;
  return [
    {
      title: 'Work',
      fields: [
        {
          answers: [],
          label: 'Machine',
          lines: machine === null ? [] : [[machine.name, serialOf(machine.serial)].join('')],
        },
        {
          answers: ['total_time'],
          label: 'Total time',
          lines: totalTime(report, release?.hours ?? null),
        },
        {
          answers: ['completion_date', 'date'],
          label: 'Completed',
          lines: release?.at === undefined || release.at === null ? [] : [release.at],
        },
        {
          answers: ['work_description', 'description'],
          label: 'Work performed',
          lines: [
            `${report.title}${manuals}; recorded in ${report.path}`,
            ...report.steps.map((step) => `${step.at?.slice(0, 10) ?? '?'} ${step.text}`),
          ],
        },
        {
          answers: ['performed_by'],
          label: 'Performed by',
          lines: workers.map((one) => personText(one.text, one.name, one.licence)),
        },
        { answers: [], label: 'Parts fitted', lines: fittedText(report.partStates) },
        {
          answers: ['wrench_calibration'],
          label: 'Tools',
          lines: report.tools.map(
            (tool) =>
              `${tool.name} ${tool.text}: calibrated ${tool.calibrated ?? '________'}, due ${tool.due ?? '________'}`,
          ),
        },
      ],
    },
    {
      title: 'Measurements and tests',
      fields: [
        {
          answers: ['measurements'],
          label: 'Measurements',
          lines: members.filter((one) => !isTest(one)).flatMap(memberText),
        },
        {
          answers: ['test_results'],
          label: 'Tests',
          lines: [
            ...members.filter(isTest).flatMap(memberText),
            ...report.runs.map((run) =>
              `${run.at?.slice(0, 10) ?? '?'} run ${run.duration} ${run.text}`.trim(),
            ),
          ],
        },
        {
          answers: ['extent'],
          label: 'Inspected',
          lines: report.inspections.map(
            (one) =>
              `${one.at?.slice(0, 10) ?? '________'} ${one.text}: ${one.verdict ?? 'not recorded'}${one.dueAgain ? ', due again' : ''}${one.by.length === 0 ? '' : ` (${one.by.join(', ')})`}`,
          ),
        },
        { answers: ['inspection_type'], label: 'Kind of inspection', lines: [] },
      ],
    },
    {
      title: 'If it is to be called overhauled or rebuilt',
      fields: overhaulFields(report, members),
    },
    {
      title: 'Status',
      fields: [
        { answers: ['life_limited_status'], label: 'Life-limited parts', lines: lifeLines(report) },
        { answers: ['time_since_overhaul'], label: 'Time since overhaul', lines: [] },
        { answers: ['inspection_status'], label: 'Inspection status', lines: [] },
        { answers: ['ad_status'], label: 'Directives: number, date, how met, next due', lines: [] },
      ],
    },
    {
      title: 'Release',
      fields: [
        { answers: ['discrepancy_statement'], label: 'Discrepancies', lines: discrepancies(report) },
        {
          answers: ['return_to_service_statement'],
          label: 'Statement',
          lines:
            release === undefined
              ? ['Not released: the log is open.']
              : [`"${release.text}" (${release.by}, ${release.at ?? '________'})`],
          blank: true,
        },
        {
          answers: [],
          label: 'Name',
          lines: approver === undefined ? [] : [personText(approver.text, approver.name, null)],
        },
        { answers: ['approver_signature', 'signature'], label: 'Signature', lines: [], blank: true },
        {
          answers: ['certificate_number'],
          label: 'Certificate no.',
          lines: approver?.licence === undefined || approver.licence === null ? [] : [approver.licence],
        },
        { answers: ['certificate_kind'], label: 'Kind of certificate', lines: [] },
        {
          answers: [],
          label: 'Mark of the log',
          lines: release?.mark === undefined || release.mark === null ? [] : [release.mark],
        },
        {
          answers: ['retention'],
          label: 'Keep',
          lines: [
            'until the work is repeated or superseded, or for one year at least; the status lines with the machine',
          ],
        },
      ],
    },
  ];
}

function serialOf(serial: string | null): string {
  return `, serial ${serial ?? '________'}`;
}

function personText(text: string, name: string, licence: string | null): string {
  const person = text === '' ? name : `${text} (${name})`;
  return licence === null ? person : `${person}, licence ${licence}`;
}

function totalTime(report: LogReport, stated: string | null): readonly string[] {
  const { machine } = report;
  const total = stated ?? machine?.hoursAfter ?? null;
  if (total === null) return [];
  const start = machine?.hoursBefore ?? null;
  const run = machine?.hoursRun ?? null;
  const how = start === null ? '' : ` (${start} before the work${run === null ? '' : `, ${run} run in it`})`;
  return [`${total}${how}`];
}

/** New and reworked parts by what is said of them; those that went back as they were in one line. */
function fittedText(parts: readonly ReportPartState[]): readonly string[] {
  const lines = new Map<string, ReportPartState[]>();
  const reused: ReportPartState[] = [];
  for (const part of parts) {
    if (part.work === null || part.temporary) continue;
    const facts = [
      part.pn === null ? null : `part no. ${part.pn}`,
      part.batch === null ? null : `batch ${part.batch}`,
      part.grade === null ? null : `size ${part.grade}`,
      part.because,
    ].filter((fact) => fact !== null);
    if (part.work === 'reused' && facts.length === 0) reused.push(part);
    else addTo(lines, [part.work, ...facts].join(', '), part);
  }
  return [
    ...[...lines].flatMap(([text, own]) => namesOf(own).map((name) => `${name}: ${text}`)),
    ...(reused.length === 0 ? [] : [`refitted as they were: ${namesOf(reused).join(', ')}`]),
  ];
}

function addTo<T>(groups: Map<string, T[]>, key: string, one: T): void {
  groups.set(key, [...(groups.get(key) ?? []), one]);
}

/** Parts by their names, each once with its members: `crank-seal[front rear]`. */
function namesOf(parts: readonly Pick<ReportPartState, 'name' | 'item'>[]): readonly string[] {
  const names = new Map<string, string[]>();
  for (const { name, item } of parts) addTo(names, name, item);
  return [...names].map(([name, items]) => targetOfMembers(name, [...new Set(items)]));
}

function isTest(member: ReportMember): boolean {
  return member.readings.some((reading) => reading.conditions !== null);
}

/** The value that stands, or the range of several, with what was asked. */
function memberText(member: ReportMember): readonly string[] {
  const shown = standingText(member);
  if (shown === undefined) return [];
  const limits = [
    member.words?.map((word) => `"${word}"`).join(' or '),
    member.fresh === null ? undefined : member.wear === null ? member.fresh.text : `new ${member.fresh.text}`,
    member.wear === null ? undefined : `wear ${member.wear.text}`,
  ].filter((limit) => limit !== undefined);
  const words = {
    inside: '',
    'past-new': ', worn, inside the wear limit',
    outside: ', past its limit',
    accepted: ', accepted past its limit',
    due: '',
    recorded: '',
  };
  return [`${member.target} ${shown} (${limits.join(', ')})${words[member.verdict]}`];
}

/** How a log stands, in words: a release with errors in it must not read as one without. */
export function stateText({ state, summary }: LogReport): string {
  if (state === 'released')
    return summary.errors === 0 ? 'released' : `released with ${counted(summary.errors, 'error')}`;
  return state === 'signed' ? 'signed, not released' : 'open';
}

/** The reading that stands (`a..b` of several), or what is worked out; undefined while nothing is. */
export function standingText(member: ReportMember): string | undefined {
  const standing = member.readings.filter((reading) => reading.history === null);
  if (standing.length === 0) return member.workedOut?.text;
  const [first] = standing;
  if (first === undefined || standing.length === 1)
    return withConditions(first?.text ?? '', first?.conditions ?? null);
  const ordered = standing
    .filter((reading) => reading.low !== null || reading.high !== null)
    .sort((a, b) => (a.high ?? a.low ?? 0) - (b.high ?? b.low ?? 0));
  const [lowest, highest] = [ordered[0], ordered.at(-1)];
  if (lowest === undefined || highest === undefined)
    return [...new Set(standing.map((one) => one.text))].join(', ');
  if (lowest.text === highest.text) return withConditions(lowest.text, lowest.conditions);
  const number = /^([<>]?=? ?-?[\d./-]+) (.+)$/;
  const [low, high] = [number.exec(lowest.text), number.exec(highest.text)];
  if (low?.[2] !== undefined && low[2] === high?.[2]) return `${low[1]} to ${highest.text}`;
  return `${lowest.text} to ${highest.text}`;
}

/** The same in the team's system of units; undefined unless all that stands is written in the other. */
export function standingAlso(member: ReportMember): string | undefined {
  const { workedOut } = member;
  const readings = member.readings.filter(({ history }) => history === null);
  const alsos = [...readings, ...(readings.length > 0 || workedOut === null ? [] : [workedOut])];
  if (alsos.length === 0 || alsos.some(({ also }) => also === null)) return undefined;
  return standingText({
    ...member,
    readings: readings.map((one) => ({ ...one, text: one.also ?? '', conditions: null })),
    workedOut: workedOut === null ? null : { ...workedOut, text: workedOut.also ?? '' },
  });
}

function withConditions(text: string, conditions: string | null): string {
  return conditions === null ? text : `${text} at ${conditions}`;
}

/** What the words of 14 CFR 43.2 rest on. The log shows what it shows; whether that is enough is for whoever signs. */
function overhaulFields(report: LogReport, members: readonly ReportMember[]): readonly RecordField[] {
  const out = report.parts.filter((part) => part.out !== null && !part.temporary);
  const back = report.partStates.filter((part) => part.work !== null && !part.temporary);
  const reworked = back.filter((part) => part.work === 'reworked');
  const renewed = back.filter((part) => part.work === 'new');
  const read = members.filter((one) => one.verdict !== 'due');
  const asNew = read.filter((one) => one.verdict === 'inside');
  const rest = read.filter((one) => one.verdict !== 'inside').map((one) => one.target);
  const done = report.fastenerGroups.filter((group) => group.members.every((one) => one.progress === 'done'));
  const last = new Map(report.inspections.map((one) => [one.name ?? one.text, one]));
  const passed = [...last.values()].filter((one) => one.verdict === 'pass' && !one.dueAgain);
  const tests = members.filter(isTest).length;
  const shows = (count: number, text: string): readonly string[] => (count === 0 ? [] : [text]);
  return [
    {
      answers: ['disassembled'],
      label: 'Disassembled',
      lines: shows(
        out.length,
        `removed: ${namesOf(out.flatMap(({ name, items }) => items.map((item) => ({ name, item })))).join(', ')}`,
      ),
    },
    { answers: ['cleaned'], label: 'Cleaned', lines: [] },
    {
      answers: ['inspected'],
      label: 'Inspected',
      lines: shows(
        read.length + passed.length,
        `${read.length} of ${members.length} values measured or worked out, ${counted(passed.length, 'inspection')} passed`,
      ),
    },
    {
      answers: ['repaired'],
      label: 'Repaired',
      lines: [
        ...reworked.map(
          (part) => `${targetOfMembers(part.name, [part.item])}: ${part.because ?? 'reworked'}`,
        ),
        ...shows(renewed.length, `replaced: ${namesOf(renewed).join(', ')}`),
      ],
    },
    {
      answers: ['reassembled'],
      label: 'Reassembled',
      lines: shows(
        back.length + done.length,
        `fitted: ${namesOf(back).join(', ') || 'nothing recorded'}; ${done.length} of ${report.fastenerGroups.length} fastener groups torqued`,
      ),
    },
    {
      answers: ['tested'],
      label: 'Tested',
      lines: [
        ...shows(tests, `${counted(tests, 'test reading')}, above`),
        ...report.runs.map((run) => `run ${run.duration} ${run.text}`.trim()),
      ],
    },
    {
      answers: ['tested_to_new_limits'],
      label: 'To the limits of new parts',
      lines: shows(
        read.length,
        `${asNew.length} of ${read.length} values${rest.length === 0 ? '' : `; not ${rest.join(', ')}`}`,
      ),
    },
  ];
}

/** The parts with a life that are in at the end: since when each counts, and when it ends. */
function lifeLines(report: LogReport): readonly string[] {
  const lines = new Map<string, ReportPartState[]>();
  for (const part of report.partStates) {
    if (part.life.length === 0 || part.state !== 'in') continue;
    const since = [part.newOn, part.newAt].filter((one) => one !== null).join(' at ');
    const ends = [
      part.endsOn === null ? null : `on ${part.endsOn}`,
      part.endsAt === null ? null : `at ${part.endsAt}`,
    ]
      .filter((one) => one !== null)
      .join(' or ');
    addTo(
      lines,
      `life ${part.life.join(' or ')}, new ${since || BLANK_DAY}, ends ${ends || BLANK_DAY}`,
      part,
    );
  }
  return [...lines].flatMap(([text, own]) => namesOf(own).map((name) => `${name}: ${text}`));
}

const BLANK_DAY = '________';

/** What is still wrong or open, each with its date, and what was accepted. */
function discrepancies(report: LogReport): readonly string[] {
  const wrong = report.findings
    .filter(
      ({ severity, rule }) =>
        (severity === 'error' || severity === 'warning') && rule !== 'release-incomplete',
    )
    .map(({ message }) => `${report.to ?? '________'} ${message}`);
  const open = report.openItems
    .filter((item) => item.closed === null)
    .map((item) => `${item.opened?.slice(0, 10) ?? '________'} ${item.name}: ${item.text}`);
  const accepted = report.concessions
    .filter(({ over }) => !over)
    .map(
      (one) =>
        `${one.at?.slice(0, 10) ?? '________'} accepted ${one.target}: ${one.because} (${one.by.join(', ')}${one.until === null ? '' : `, until ${one.until}`})`,
    );
  const lines = [...wrong, ...open, ...accepted];
  return lines.length === 0 ? ['None recorded in the log.'] : [...new Set(lines)];
}

const WIDTH = 92;
const LABEL = 20;
const BLANK = '_'.repeat(30);

/** The entry as plain text, 92 columns wide. */
export function recordEntryText(report: LogReport): string {
  const lines: string[] = [];
  for (const { title, fields } of recordEntry(report)) {
    if (lines.length > 0) lines.push('');
    lines.push(title.toUpperCase());
    for (const field of fields) {
      const said = field.lines.length === 0 || field.blank === true ? [...field.lines, BLANK] : field.lines;
      const label = field.label.length < LABEL ? [field.label] : wrap(field.label, LABEL - 2);
      const text = said.flatMap((line) => wrap(line, WIDTH - LABEL));
      for (let i = 0; i < Math.max(label.length, text.length); i++)
        lines.push(`${(label[i] ?? '').padEnd(LABEL)}${text[i] ?? ''}`.trimEnd());
    }
  }
  return `${lines.join('\n')}\n`;
}

/** Breaks a line at blanks; what follows is set in by two. A longer word stands by itself. */
function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    const room = lines.length === 0 ? width : width - 2;
    if (line !== '' && line.length + 1 + word.length > room) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.map((one, i) => (i === 0 ? one : `  ${one}`));
}
