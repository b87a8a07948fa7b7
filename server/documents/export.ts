/** The facts of a log as flat rows of one typed shape, for engines that ask over many logs. */
import { clauseValue } from '../../grammar/index.ts';
import {
  convert,
  convertDifference,
  formatQuantity,
  kindOf,
  type QuantityKind,
} from '../quantities/index.ts';
import {
  type FastenerGroup,
  machineHours,
  type Rebuild,
  runLength,
  type Tightening,
} from '../rebuild/index.ts';
import { actOf, type Line, type LogReport, type ReportSource, reportFacts } from './report-facts.ts';

type ColumnType = 'string' | 'integer' | 'number' | 'date';

export interface ExportColumn {
  readonly name: string;
  readonly type: ColumnType;
  /** Whether every row has it. */
  readonly always: boolean;
  readonly tells: string;
}

const column = (name: string, type: ColumnType, tells: string, always = false): ExportColumn => ({
  name,
  type,
  always,
  tells,
});

/** The columns, in order. Every row has every column; what a fact does not have is null. */
export const exportColumns: readonly ExportColumn[] = [
  column('version', 'integer', '1; another when a column goes or changes its meaning', true),
  column('fact', 'string', 'what the row tells: see below', true),
  column('log', 'string', 'path of the log', true),
  column('line', 'integer', 'line of the log, from 1; null for what is not on a line of it'),
  column('state', 'string', '`open`, `signed` or `released`: the whole log', true),
  column('machine', 'string', 'name of the machine'),
  column('serial', 'string', 'its serial number'),
  column(
    'hours',
    'number',
    'its hours when the line was written; at the end of the log where there is no line',
  ),
  column('day', 'date', 'day of the fact'),
  column('clock', 'string', 'local time of day, `09:15`'),
  column('assembly', 'string', 'assembly that the subject belongs to'),
  column('name', 'string', 'what it is about: limit, fastener, part, inspection, rule, person, tool …'),
  column('item', 'string', 'which of them: `rear`, `5`; several are parted by a blank'),
  column('place', 'string', 'where on it: `top/thrust`'),
  column('text', 'string', 'as written, in the canonical spelling of units; of a finding, what it says'),
  column('low', 'number', 'lower end of the value, in `unit`; the same as `high` for one value'),
  column('high', 'number', 'upper end of the value'),
  column(
    'unit',
    'string',
    'unit of all numbers of the row: one for each kind of quantity, whatever the log has',
  ),
  column('uncertainty', 'number', 'expanded uncertainty U (k = 2), where the tools state one'),
  column('new_lower', 'number', 'lower end of the limit as new, or of the torque asked for'),
  column('new_upper', 'number', 'upper end of it'),
  column('wear_lower', 'number', 'lower wear limit'),
  column('wear_upper', 'number', 'upper wear limit'),
  column('verdict', 'string', 'what came of it: see below'),
  column('wear_used', 'number', 'share of the wear allowance used: 0 as new, 1 at the limit'),
  column(
    'standing',
    'string',
    '`stands`, or why a reading no longer does; of a concession `stands` or `superseded`',
  ),
  column('stage', 'integer', 'stage of a torque, from 1'),
  column('because', 'string', 'the reason given'),
  column('tool', 'string', 'name of the tool'),
  column('people', 'string', 'names of who did it, parted by a blank'),
  column('ref', 'string', 'where the manual says so'),
  column('part_number', 'string', 'part number of a part that went in'),
  column('batch', 'string', 'its batch'),
  column('grade', 'string', 'its size or grade; of a limit, the grade it holds for'),
  column('facing', 'string', 'which way round it went in'),
  column('severity', 'string', 'of a finding: `error`, `warning`, `information` or `hint`'),
  column('lowered', 'string', 'of a finding, what it would be if the configuration did not lower it'),
  column('until', 'string', 'how long a concession or a calibration holds, as written'),
];

/** What a row may tell, in the order in which a log's rows come. */
export const exportFacts: Readonly<Record<string, string>> = {
  log: 'the log itself: `text` is its title, `day` its last day',
  step: '`text` is its title',
  reading: '`verdict` is `inside`, `past-new` or `outside`, or null when there is nothing to judge by',
  'worked-out': 'a derived value, from readings; `verdict` as for a reading',
  'reading-due': 'a reading that is asked for and not taken',
  torque:
    'since the fastener was last undone; `verdict` is `final`, `stage` or null when the torque is neither',
  'torque-due': 'a fastener that is not done; `verdict` says how far it is',
  'part-out': '`verdict` is `scrapped` or null',
  'part-in': '`verdict` is `new`, `reused` or `reworked`',
  apply: 'a sealant, a lock or a stripe (`text`) put on `name`',
  'finger-tight': 'run down by hand',
  loosen: 'undone again, `because` why',
  inspection: '`verdict` is `pass`, `fail` or `due`',
  'open-item': '`verdict` is `open` or `closed`, `because` how it was closed',
  concession: 'what was accepted, by whom and until when',
  run: '`low` and `high` are its length',
  photo: '`name` is the file',
  note: '`text` is what it says',
  person: 'who the log names: `text` is the full name, `verdict` the roles, `ref` the licence',
  tool: 'a tool that was used: `text` what it is, `until` when its calibration ends',
  sign: '`verdict` is `holds`, `broken` or `unmarked`: what has become of its mark',
  release: 'as `sign`',
  finding: '`name` is the rule, `text` what it says',
};

type Cell = string | number | null;
export type ExportRow = Readonly<Record<string, Cell>>;
type Fact = { readonly fact: string; readonly line?: Line; readonly at?: string | null } & Readonly<
  Record<string, Cell | undefined>
>;

/** The one unit for each kind of quantity; others stay as they are. */
const unitOf: Partial<Record<QuantityKind, string>> = {
  length: 'mm',
  angle: '°',
  area: 'mm²',
  volume: 'cm³',
  torque: 'N·m',
  force: 'N',
  pressure: 'kPa',
  mass: 'g',
  temperature: '°C',
  time: 'h',
};

/**
 * A log's facts, a row each, all of the same shape; none for a file that is no log. Numbers are in one unit a kind
 * (mm, N·m, kPa, °C, h …), so that rows of different logs may be compared.
 */
export function* exportRows(source: ReportSource): Iterable<ExportRow> {
  const report = reportFacts(source);
  if (report === undefined) return;
  const hours = hoursByLine(source.rebuild, report);
  const shared = {
    version: 1,
    log: source.path,
    state: report.state,
    machine: report.machine?.name,
    serial: report.machine?.serial,
  };
  for (const { at, ...fact } of factsOf(report, source)) {
    const [day, clock] = at?.split(' ') ?? [];
    const given: Readonly<Record<string, Cell | undefined>> = {
      ...shared,
      ...inOneUnit(fact),
      day,
      clock,
      hours: hours(fact.line ?? null),
    };
    yield Object.fromEntries(exportColumns.map(({ name }) => [name, given[name] ?? null]));
  }
}

/** The shape of a row as a JSON Schema (2020-12). */
export function exportSchema(): object {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'A fact of a rebuild log, as witnessmark export writes it',
    type: 'object',
    additionalProperties: false,
    required: exportColumns.map(({ name }) => name),
    properties: Object.fromEntries(
      exportColumns.map(({ name, type, always, tells }) => {
        const basic = type === 'date' ? 'string' : type;
        return [
          name,
          {
            type: always ? basic : [basic, 'null'],
            ...(type === 'date' ? { format: 'date' } : {}),
            ...(name === 'fact' ? { enum: Object.keys(exportFacts) } : {}),
            description: tells,
          },
        ];
      }),
    ),
  };
}

const sqlTypes: Readonly<Record<ColumnType, string>> = {
  string: 'STRING',
  integer: 'INT',
  number: 'DOUBLE',
  date: 'DATE',
};

/** The columns as a table's definition has them between its parentheses, in types that SQL engines share. */
export function exportSql(): string {
  return exportColumns.map(({ name, type }) => `${name} ${sqlTypes[type]}`).join(',\n');
}

function* factsOf(report: LogReport, { path, rebuild }: ReportSource): Iterable<Fact> {
  yield { fact: 'log', line: 1, text: report.title, at: report.to };
  for (const step of report.steps) yield { fact: 'step', text: step.text, ...act(step) };
  yield* measured(report);
  yield* tightened(report, rebuild);
  for (const part of report.parts) {
    const shared = { assembly: part.assembly, ...nameAndItem(part.target) };
    if (part.out !== null)
      yield {
        fact: 'part-out',
        ...shared,
        text: part.text,
        verdict: part.out.scrapped ? 'scrapped' : null,
        because: part.out.because,
        ...act(part.out),
      };
    if (part.in !== null) {
      const { condition, because, pn, batch, grade, facing } = part.in;
      yield {
        fact: 'part-in',
        ...shared,
        text: part.text,
        verdict: condition,
        because,
        part_number: pn,
        batch,
        grade,
        facing,
        ...act(part.in),
      };
    }
  }
  yield* handled(rebuild, path);
  for (const one of report.inspections)
    yield {
      fact: 'inspection',
      name: one.name,
      text: one.text,
      verdict: one.verdict ?? 'due',
      ref: one.ref,
      ...act(one),
    };
  for (const { name, text, opened, closed, line } of report.openItems)
    yield {
      fact: 'open-item',
      line,
      at: opened,
      name,
      text,
      verdict: closed === null ? 'open' : 'closed',
      because: closed?.text,
    };
  for (const one of report.concessions)
    yield {
      fact: 'concession',
      ...nameAndItem(one.target),
      because: one.because,
      until: one.until,
      standing: one.over ? 'superseded' : 'stands',
      ...act(one),
    };
  for (const [i, one] of report.runs.entries()) {
    const run = rebuild.runs[i];
    const length = run === undefined ? undefined : runLength(run);
    yield {
      fact: 'run',
      line: one.line,
      at: one.at,
      text: `${one.duration} ${one.text}`.trim(),
      low: length?.value,
      high: length?.value,
      unit: length?.unit,
    };
  }
  for (const one of report.photos) yield { fact: 'photo', line: one.line, name: one.file, text: one.text };
  for (const one of rebuild.entries)
    if (one.kind === 'note')
      yield { fact: 'note', text: one.statement.note?.text ?? '', ...act(actOf(path, one)) };
  for (const one of report.people)
    yield {
      fact: 'person',
      name: one.name,
      text: one.text,
      verdict: one.roles.length === 0 ? null : one.roles.join(' '),
      ref: one.licence,
    };
  for (const one of report.tools) yield { fact: 'tool', name: one.name, text: one.text, until: one.due };
  for (const one of report.signatures)
    yield {
      fact: one.kind,
      line: one.line,
      at: one.at,
      name: one.by,
      people: one.by,
      text: one.text,
      verdict: one.mark === null ? 'unmarked' : one.markHolds === false ? 'broken' : 'holds',
    };
  for (const { rule, severity, lowered, message, line } of report.findings)
    yield { fact: 'finding', line, name: rule, severity, lowered, text: message };
}

function* measured(report: LogReport): Iterable<Fact> {
  for (const { name, assembly, members } of report.characteristics)
    for (const { item, unit, ref, grade, fresh, wear, readings, workedOut, verdict } of members) {
      const shared = {
        assembly,
        name,
        item: item === '' ? null : item,
        unit,
        new_lower: fresh?.lower,
        new_upper: fresh?.upper,
        wear_lower: wear?.lower,
        wear_upper: wear?.upper,
        grade,
        ref,
      };
      for (const one of readings)
        yield {
          fact: 'reading',
          ...shared,
          place: one.place === '' ? null : one.place,
          text: one.text,
          low: one.low,
          high: one.high,
          uncertainty: one.uncertainty,
          verdict: one.verdict,
          wear_used: one.used,
          standing: one.history ?? 'stands',
          because: one.because,
          ...act(one),
        };
      if (workedOut !== null) {
        const { text, low, high, uncertainty, used } = workedOut;
        yield {
          fact: 'worked-out',
          ...shared,
          text,
          low,
          high,
          uncertainty,
          verdict: workedOut.verdict,
          wear_used: used,
          standing: 'stands',
        };
      }
      if (verdict === 'due') yield { fact: 'reading-due', ...shared };
    }
}

function* tightened(report: LogReport, rebuild: Rebuild): Iterable<Fact> {
  const groups = new Map(rebuild.fastenerGroups.map((group) => [group.name, group]));
  for (const { name, assembly, ref, members } of report.fastenerGroups) {
    const group = groups.get(name);
    for (const { item, progress, tightenings } of members) {
      const shared = { assembly, name, item: item === '' ? null : item, ref, ...torqueAsked(group) };
      const states = group?.members.find((member) => member.item === item)?.tightenings ?? [];
      for (const [i, one] of tightenings.entries())
        yield {
          fact: 'torque',
          ...shared,
          ...torqueGiven(states[i], shared.unit),
          stage: one.stage,
          verdict: states[i]?.final === true ? 'final' : one.stage === null ? null : 'stage',
          ...act(one),
        };
      if (progress !== 'done') yield { fact: 'torque-due', ...shared, verdict: progress };
    }
  }
}

/** What was put on, run down by hand or undone: a row for each thing that the line names. */
function* handled(rebuild: Rebuild, path: string): Iterable<Fact> {
  for (const entry of rebuild.entries) {
    const { kind } = entry;
    if (kind !== 'apply' && kind !== 'finger-tight' && kind !== 'loosen') continue;
    for (const { name, items, declaration } of entry.targets)
      yield {
        fact: kind,
        assembly: declaration?.assembly,
        name,
        item: items.join(' ') || null,
        text: kind === 'apply' ? (entry.statement.name?.text ?? null) : null,
        because: clauseValue(entry.statement, 'because')?.text,
        ...act(actOf(path, entry)),
      };
  }
}

/** The torque asked for, in its own unit. */
function torqueAsked(group: FastenerGroup | undefined): {
  readonly unit: string | null;
  readonly new_lower: number | null;
  readonly new_upper: number | null;
} {
  const torque = group?.declaration.torque;
  return {
    unit: torque?.unit ?? null,
    new_lower: torque?.lower?.value ?? null,
    new_upper: torque?.upper?.value ?? null,
  };
}

/** What one tightening gave, in the unit of the torque asked for where there is one. */
function torqueGiven(
  given: Tightening | undefined,
  wanted: string | null,
): Readonly<Record<'text' | 'low' | 'high' | 'unit', Cell>> {
  const { torque, angle } = given ?? {};
  const text = [torque, angle].flatMap((one) => (one === undefined ? [] : [formatQuantity(one)])).join(', ');
  const unit = wanted ?? torque?.unit ?? null;
  const value =
    torque === undefined || unit === null ? null : (convert(torque.value, torque.unit, unit) ?? null);
  return { text, low: value, high: value, unit };
}

/** Who, when, with what and on which line. */
function act(one: {
  readonly line: Line;
  readonly by: readonly string[];
  readonly at: string | null;
  readonly tool?: string | null;
}): { line: Line; people: string | null; at: string | null; tool: string | null } {
  return {
    line: one.line,
    people: one.by.length === 0 ? null : one.by.join(' '),
    at: one.at,
    tool: one.tool ?? null,
  };
}

/** `ring` and `front/top` of `ring[front/top]`. */
function nameAndItem(target: string): { name: string; item: string | null } {
  const [, name = target, item] = /^([^[]*)\[(.*)\]$/.exec(target) ?? [];
  return { name, item: item ?? null };
}

/** The numbers of a fact in the one unit of their kind. */
function inOneUnit(fact: Omit<Fact, 'at'>): Readonly<Record<string, Cell | undefined>> {
  const { unit } = fact;
  if (typeof unit !== 'string') return fact;
  const kind = kindOf(unit);
  const wanted = (kind === undefined ? undefined : unitOf[kind]) ?? unit;
  const turn = (name: string, by: typeof convert) => {
    const value = fact[name];
    const turned = typeof value === 'number' ? by(value, unit, wanted) : undefined;
    return turned === undefined ? null : rounded(turned);
  };
  return {
    ...fact,
    unit: wanted,
    low: turn('low', convert),
    high: turn('high', convert),
    new_lower: turn('new_lower', convert),
    new_upper: turn('new_upper', convert),
    wear_lower: turn('wear_lower', convert),
    wear_upper: turn('wear_upper', convert),
    uncertainty: turn('uncertainty', convertDifference),
  };
}

/** Without the last digits that reckoning in binary leaves. */
function rounded(value: number): number {
  return Number(value.toPrecision(12));
}

/** The machine's hours after a run, counted from 0; before the first one for -1. */
function runHours(rebuild: Rebuild, index: number): number | undefined {
  const run = rebuild.runs[index];
  return machineHours(run === undefined ? { ...rebuild, runs: [] } : rebuild, run);
}

/** The machine's hours at each line of the log. */
function hoursByLine(rebuild: Rebuild, report: LogReport): (line: Line) => number | null {
  const after = [null, ...report.runs.map(({ line }) => line)].map((line, i) => ({
    line,
    hours: runHours(rebuild, i - 1),
  }));
  return (line) => {
    const last = after.findLast((run) => run.line === null || line === null || run.line <= line);
    return last?.hours === undefined ? null : rounded(last.hours);
  };
}
