/** A log's report as one table of comma-separated values, a row a fact. */
import { type CsvCell, csvText } from './csv.ts';
import { type Line, type LogReport, type ReportSource, reportFacts, severityText } from './report-facts.ts';

/** The columns, in order. What a kind of row does not have stays empty. */
export const reportColumns = [
  'kind',
  'line',
  'assembly',
  'target',
  'place',
  'text',
  'low',
  'high',
  'unit',
  'uncertainty',
  'new_lower',
  'new_upper',
  'wear_lower',
  'wear_upper',
  'verdict',
  'wear_used',
  'standing',
  'because',
  'tool',
  'by',
  'at',
  'ref',
  'part_number',
  'batch',
] as const;

type Row = { readonly [Column in (typeof reportColumns)[number]]?: CsvCell } & { readonly kind: string };

/**
 * The report's facts as CSV: readings and worked-out values, torques, parts, inspections, open items, concessions, runs,
 * signatures and findings. Undefined for a file that is no log.
 */
export function reportCsv(source: ReportSource): string | undefined {
  const report = reportFacts(source);
  if (report === undefined) return undefined;
  return csvText(
    reportColumns,
    [...rowsOf(report)].map((row) => reportColumns.map((column) => row[column])),
  );
}

function* rowsOf(report: LogReport): Iterable<Row> {
  for (const { assembly, members } of report.characteristics)
    for (const member of members) {
      const { target, unit, ref } = member;
      const limits = {
        new_lower: member.fresh?.lower,
        new_upper: member.fresh?.upper,
        wear_lower: member.wear?.lower,
        wear_upper: member.wear?.upper,
      };
      for (const one of member.readings)
        yield {
          kind: 'reading',
          assembly,
          target,
          place: one.place,
          text: one.text,
          low: one.low,
          high: one.high,
          unit,
          uncertainty: one.uncertainty,
          ...limits,
          verdict: one.verdict,
          wear_used: one.used,
          standing: one.history ?? 'stands',
          because: one.because,
          ...act(one),
          ref,
        };
      const { workedOut } = member;
      if (workedOut !== null)
        yield {
          kind: 'worked out',
          assembly,
          target,
          text: workedOut.text,
          low: workedOut.low,
          high: workedOut.high,
          unit,
          uncertainty: workedOut.uncertainty,
          ...limits,
          verdict: workedOut.verdict,
          wear_used: workedOut.used,
          standing: 'stands',
          ref,
        };
      if (member.verdict === 'due') yield { kind: 'due', assembly, target, unit, ...limits, ref };
    }
  for (const group of report.fastenerGroups)
    for (const member of group.members) {
      const target = member.item === '' ? group.name : `${group.name}[${member.item}]`;
      for (const one of member.tightenings)
        yield {
          kind: 'torque',
          assembly: group.assembly,
          target,
          text: [one.torque, one.angle].filter((part) => part !== null).join(', '),
          verdict:
            one.stage === null ? null : one.stage === group.stageCount ? 'final' : `stage ${one.stage}`,
          ...act(one),
          ref: group.ref,
        };
      if (member.progress !== 'done')
        yield { kind: 'due', assembly: group.assembly, target, text: member.progress, ref: group.ref };
    }
  for (const part of report.parts) {
    const shared = { assembly: part.assembly, target: part.target };
    if (part.out !== null)
      yield {
        kind: 'removed',
        ...shared,
        verdict: part.out.scrapped ? 'scrapped' : null,
        because: part.out.because,
        ...act(part.out),
      };
    if (part.in !== null)
      yield {
        kind: 'fitted',
        ...shared,
        text: [part.in.grade, part.in.facing].filter((fact) => fact !== null).join(', '),
        verdict: part.in.condition,
        because: part.in.because,
        ...act(part.in),
        part_number: part.in.pn,
        batch: part.in.batch,
      };
  }
  for (const one of report.inspections)
    yield {
      kind: 'inspection',
      target: one.name,
      text: one.text,
      verdict: one.dueAgain ? 'due again' : (one.verdict ?? 'due'),
      ...act(one),
      ref: one.ref,
    };
  for (const one of report.openItems)
    yield {
      kind: 'open item',
      line: one.line,
      target: one.name,
      text: one.text,
      verdict: one.closed === null ? 'open' : 'closed',
      because: one.closed?.text,
      at: one.opened,
    };
  for (const one of report.concessions)
    yield {
      kind: 'concession',
      target: one.target,
      text: one.until === null ? '' : `until ${one.until}`,
      standing: one.over ? 'superseded' : 'stands',
      because: one.because,
      ...act(one),
    };
  for (const one of report.runs)
    yield { kind: 'run', line: one.line, text: `${one.duration} ${one.text}`.trim(), at: one.at };
  for (const one of report.signatures)
    yield { kind: one.kind, line: one.line, text: one.text, verdict: one.mark, by: one.by, at: one.at };
  for (const one of report.findings)
    yield {
      kind: 'finding',
      line: one.line,
      target: one.rule,
      text: one.message,
      verdict: severityText(one),
    };
}

/** Who, when, with what and on which line. */
function act(one: {
  readonly line: Line;
  readonly by: readonly string[];
  readonly at: string | null;
  readonly tool?: string | null;
}): Pick<Row, 'line' | 'by' | 'at' | 'tool'> {
  return { line: one.line, by: one.by.join(' '), at: one.at, tool: one.tool };
}
