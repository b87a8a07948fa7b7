/** A log's report as Markdown: for a pull request, a wiki or a mail. */
import { listItems, targetOfMembers } from '../rebuild/index.ts';
import { counted } from './counted.ts';
import { recordEntryText, standingAlso, standingText, stateText } from './record-entry.ts';
import {
  type LimitEnds,
  type LogReport,
  markText,
  type ReportMember,
  type ReportSource,
  reportFacts,
  severityText,
  untilText,
} from './report-facts.ts';

/** The report as Markdown (with tables as GitHub writes them); undefined for a file that is no log. */
export function reportMarkdown(source: ReportSource): string | undefined {
  const report = reportFacts(source);
  if (report === undefined) return undefined;
  const sections: readonly (readonly [title: string, content: string])[] = [
    ['Findings', findings(report)],
    ['Readings against their limits', readings(report)],
    ['Fasteners', fasteners(report)],
    ['Timeline', steps(report)],
    ['Cure waits', cures(report)],
    ['Parts', parts(report)],
    ['Inspections', inspections(report)],
    ['Open items', openItems(report)],
    ['Concessions', concessions(report)],
    ['Signatures and marks', signatures(report)],
    ['For the paper logbook', fenced(recordEntryText(report))],
  ];
  const shown = sections.filter(([, content]) => content !== '');
  return `${[header(report), ...shown.map(([title, content]) => `## ${title}\n\n${content}`)].join('\n\n')}\n`;
}

function header(report: LogReport): string {
  const { machine, summary } = report;
  const hours =
    machine === null || machine.hoursBefore === null
      ? ''
      : `, ${machine.hoursAfter === null || machine.hoursRun === null ? machine.hoursBefore : `${machine.hoursBefore} to ${machine.hoursAfter}`}`;
  const facts = [
    `**${stateText(report)}**`,
    machine === null
      ? ''
      : `${text(machine.name)} ${machine.serial === null ? '' : `no. ${text(machine.serial)}`}${hours}`.trim(),
    report.from === null ? '' : report.from === report.to ? report.from : `${report.from} to ${report.to}`,
    `${counted(summary.errors, 'error')}, ${counted(summary.warnings, 'warning')}`,
  ];
  return `# ${text(report.title)}

${facts.filter((fact) => fact !== '').join(' · ')} · \`${report.path.replaceAll('`', '')}\`

> The maker's current manual and the local rules come first, and licensed people sign what the law says they sign. This page repeats what a builder wrote and compares it with a table of limits that its owner copied; it approves nothing.`;
}

/** Text that Markdown takes as it stands, in a table too. */
function text(written: string): string {
  return written
    .replace(/[\\`*_{}[\]<>#|~]/g, (sign) => `\\${sign}`)
    .replace(/\s+/g, ' ')
    .replace(/^([-+]|\d+\.)(?= )/, '\\$1');
}

/** A message: what stands between backquotes is text of the log. */
function message(written: string): string {
  return written
    .split(/(`[^`]+`)/)
    .map((part, i) => (i % 2 === 1 ? part.replaceAll('|', '\\|') : text(part)))
    .join('');
}

/** A table; columns that are empty in every row are left out. */
function table(
  heads: readonly string[],
  rows: readonly (readonly (string | null)[])[],
  write: (written: string) => string = text,
): string {
  if (rows.length === 0) return '';
  const used = heads.map((_, i) => i === 0 || rows.some((row) => (row[i] ?? '') !== ''));
  const line = (cells: readonly string[]) => `| ${cells.filter((_, i) => used[i]).join(' | ')} |`;
  return [
    line(heads),
    line(heads.map(() => '---')),
    ...rows.map((row) => line(row.map((cell) => write(cell ?? '')))),
  ].join('\n');
}

/** Text as it stands, between fences longer than any in it. */
function fenced(content: string): string {
  const longest = Math.max(2, ...[...content.matchAll(/`+/g)].map(([ticks]) => ticks.length));
  const fence = '`'.repeat(longest + 1);
  return `${fence}text\n${content}${fence}`;
}

function findings(report: LogReport): string {
  const shown = report.findings.filter((one) => one.severity !== 'hint');
  if (shown.length === 0) return 'Nothing was found.';
  return table(
    ['severity', 'line', 'what was found', 'rule'],
    shown.map((one) => [severityText(one), one.line === null ? '' : String(one.line), one.message, one.rule]),
    message,
  );
}

const verdictWords: Readonly<Record<ReportMember['verdict'], string>> = {
  inside: 'in limits',
  'past-new': 'worn, in limits',
  outside: 'PAST ITS LIMIT',
  accepted: 'accepted',
  due: 'not measured',
  recorded: 'not judged',
};

function limitText(limit: LimitEnds | null): string {
  return limit === null ? '' : withAlso(limit.text, limit.also);
}

/** A value as it is written, and what it is in the team's units. */
function withAlso(text: string, also: string | null | undefined): string {
  return also === null || also === undefined ? text : `${text} (${also})`;
}

function readings(report: LogReport): string {
  const members = report.characteristics.flatMap((one) => one.members);
  return table(
    ['reading', 'new', 'wear limit', 'as found', 'stands', 'verdict', 'wear used', 'ref'],
    members.map((member) => [
      member.target,
      member.words?.map((word) => `"${word}"`).join(' or ') ?? limitText(member.fresh),
      limitText(member.wear),
      member.readings
        .filter((one) => one.takenAs === 'found')
        .map((one) => one.text)
        .join(', '),
      withAlso(standingText(member) ?? '', standingAlso(member)),
      verdictWords[member.verdict],
      member.used === null || member.used <= 0 ? '' : `${Math.round(member.used * 100)} %`,
      member.ref,
    ]),
  );
}

function fasteners(report: LogReport): string {
  return table(
    ['group', 'torque', 'torqued', 'still due', 'tool', 'locked', 'striped', 'ref'],
    report.fastenerGroups.map((group) => {
      const done = group.members.filter((one) => one.progress === 'done');
      const due = group.members.filter((one) => one.progress !== 'done').map((one) => one.item);
      const tools = new Set(group.members.map((one) => one.tightenings.at(-1)?.tool).filter(Boolean));
      const many = (count: number) => (count === 0 ? 'no' : `${count} of ${group.members.length}`);
      return [
        group.name,
        [group.torque === null ? null : withAlso(group.torque, group.torqueAlso), group.angle]
          .filter((one) => one !== null)
          .join(', '),
        `${done.length} of ${group.members.length}`,
        due.length === 0 || due[0] === '' ? '' : listItems(due),
        [...tools].join(', '),
        group.lock === null ? '' : many(group.members.filter((one) => one.lock !== null).length),
        group.members.some((one) => one.striped)
          ? many(group.members.filter((one) => one.striped).length)
          : '',
        group.ref,
      ];
    }),
  );
}

function steps(report: LogReport): string {
  return table(
    ['step', 'when', 'what', 'by', 'with'],
    report.steps.map((step, i) => [String(i + 1), step.at ?? '?', step.text, step.by.join(', '), step.tool]),
  );
}

function cures(report: LogReport): string {
  return table(
    ['sealant', 'on', 'applied', 'cures in', 'first loaded by', 'at'],
    report.cures.map((one) => [
      one.sealant,
      one.to,
      one.applied,
      one.cure,
      one.loaded?.what ?? '',
      one.loaded?.at ?? '',
    ]),
  );
}

function parts(report: LogReport): string {
  return table(
    ['part', 'out', 'in', 'part no.', 'batch', 'size', 'facing', 'because'],
    report.parts.map((part) => [
      targetOfMembers(part.name, part.items),
      part.out === null ? '' : `${part.out.at ?? '?'}${part.out.scrapped ? ', scrapped' : ''}`,
      part.in === null ? '' : `${part.in.at ?? '?'}, ${part.in.condition}`,
      part.in?.pn ?? '',
      part.in?.batch ?? '',
      part.in?.grade ?? '',
      part.in?.facing ?? '',
      [part.out?.because, part.in?.because].filter(Boolean).join('; '),
    ]),
  );
}

function inspections(report: LogReport): string {
  return table(
    ['inspection', 'result', 'by', 'when', 'ref'],
    report.inspections.map((one) => [
      one.text,
      one.dueAgain ? `${one.verdict}, due again` : (one.verdict ?? 'not recorded'),
      one.by.join(', '),
      one.at,
      one.ref,
    ]),
  );
}

function openItems(report: LogReport): string {
  return table(
    ['item', 'what', 'opened', 'closed'],
    report.openItems.map((one) => [
      one.name,
      one.text,
      one.opened,
      one.closed === null ? 'still open' : `${one.closed.at ?? ''} ${one.closed.text}`.trim(),
    ]),
  );
}

function concessions(report: LogReport): string {
  return table(
    ['what', 'because', 'by', 'when', 'until'],
    report.concessions.map((one) => [
      one.target,
      one.because,
      one.by.join(', '),
      one.at,
      one.over ? untilText(one) : one.until,
    ]),
  );
}

function signatures(report: LogReport): string {
  return table(
    ['act', 'by', 'words', 'when', 'hours', 'mark'],
    report.signatures.map((one) => [one.kind, one.by, one.text, one.at, one.hours, markText(one)]),
  );
}
