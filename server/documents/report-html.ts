/** A log's report as one page: what a reviewer reads, prints and files. */
import { drawBoreMap, drawFastenerGroup, drawLimitBar, type Ends } from '../features/index.ts';
import { listItems, targetOfMembers } from '../rebuild/index.ts';
import { counted } from './counted.ts';
import { escapeHtml, htmlPage, sheetStyle, signs } from './page.ts';
import { recordEntryText, standingAlso, standingText, stateText } from './record-entry.ts';
import {
  type LimitEnds,
  type Line,
  type LogReport,
  markText,
  type ReportFastener,
  type ReportGroup,
  type ReportMember,
  type ReportPart,
  type ReportReading,
  type ReportSource,
  reportFacts,
  untilText,
} from './report-facts.ts';
import { drawTimeline } from './timeline.ts';

const style = `.state{display:inline-block;border:1.5px solid currentColor;border-radius:3px;padding:.05rem .5rem;font-size:.85rem;font-weight:650;vertical-align:.2em;margin-left:.6rem}
nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;padding:0;margin:.8rem 0 0;font-size:.88rem}
nav a{display:inline-block;padding:.2rem 0}
a{color:inherit;text-underline-offset:.2em}
.verdict{font-weight:600;white-space:nowrap}
.verdict .soft{font-weight:400}
@media screen and (min-width:66rem){.limit{white-space:nowrap}}
.bar{padding-top:.1rem;padding-bottom:.1rem;vertical-align:middle}
.bar svg{width:12.5rem;max-width:none}
@media screen and (max-width:66rem){.bar svg{width:8rem}section{overflow-x:auto}}
.bores figure{display:inline-block;vertical-align:top;margin-right:2.5rem}
.asked{margin:.9rem 0 .2rem;max-width:none;break-after:avoid}
.group{display:grid;grid-template-columns:max-content 1fr;gap:.2rem 2rem;align-items:start}
.group.wide{grid-template-columns:1fr}
.group figure{margin:0}
@media screen and (max-width:50rem){.fact{white-space:normal}}
@media screen and (max-width:30rem){.rule{display:none}}
@media (max-width:60rem){.group{grid-template-columns:1fr}}
.entries{list-style:none;margin:.2rem 0 .8rem;padding:0}
.entries li{display:grid;grid-template-columns:2.6rem 1fr;gap:.6rem;padding:.05rem 0;break-inside:avoid}
.entries .line{color:var(--wm-soft);text-align:right;font-variant-numeric:tabular-nums}
.entries pre{border:0;padding:0;margin:0}
.followed{outline:2px solid var(--wm-line);outline-offset:2px}
@media print{nav{display:none}.bores figure{margin-right:.4rem}.bar svg{width:27mm}tbody th{min-width:21mm}.limit{min-width:18mm}.group:not(.wide){grid-template-columns:max-content 1fr}.break{break-before:page}.entry{font-size:7.6pt;line-height:1.3}}`;

/** Style for a view that shows `reportBody` by itself, such as an editor's. */
export const reportStyle = `${sheetStyle}\n${style}`;

/** The report of a log as a whole page; undefined for a file that is no log. */
export function reportHtml(source: ReportSource): string | undefined {
  const report = reportFacts(source);
  if (report === undefined) return undefined;
  return htmlPage({ title: `${report.title}: rebuild report`, body: bodyOf(report), style });
}

/**
 * What stands between `<main class="sheet">` and its end. Rows that come from a line of the log carry it as `data-line`
 * (from 1), so that a view can follow the cursor. It holds no script and needs `reportStyle`.
 */
export function reportBody(source: ReportSource): string | undefined {
  const report = reportFacts(source);
  return report === undefined ? undefined : bodyOf(report);
}

interface Section {
  readonly id: string;
  readonly title: string;
  /** HTML; an empty one is left out. */
  readonly content: string;
}

function bodyOf(report: LogReport): string {
  const sections: readonly Section[] = [
    { id: 'findings', title: 'Findings', content: findings(report) },
    { id: 'readings', title: 'Readings against their limits', content: readings(report) },
    { id: 'bores', title: 'Bores', content: bores(report) },
    { id: 'fasteners', title: 'Fasteners', content: fasteners(report) },
    { id: 'timeline', title: 'Timeline', content: timeline(report) },
    { id: 'parts', title: 'Parts', content: parts(report) },
    { id: 'inspections', title: 'Inspections', content: inspections(report) },
    { id: 'open', title: 'Open items and concessions', content: openAndAccepted(report) },
    { id: 'tools', title: 'People and tools', content: peopleAndTools(report) },
    { id: 'signatures', title: 'Signatures and marks', content: signatures(report) },
    { id: 'entry', title: 'For the paper logbook', content: entry(report) },
    { id: 'steps', title: 'The log, step by step', content: steps(report) },
  ];
  const shown = sections.filter((section) => section.content !== '');
  const links = shown.map(({ id, title }) => `<li><a href="#${id}">${title}</a></li>`).join('');
  return `${header(report)}
<nav aria-label="Contents"><ul>${links}</ul></nav>
${shown
  .map(
    ({ id, title, content }) =>
      `<section id="${id}" tabindex="0" aria-labelledby="${id}-title"${id === 'entry' ? ' class="break"' : ''}>\n<h2 id="${id}-title">${title}</h2>\n${content}\n</section>`,
  )
  .join('\n')}
<footer>Made by Witnessmark from ${escapeHtml(report.path)}. The log is the record; this page shows what it says.</footer>`;
}

function header(report: LogReport): string {
  const { machine, summary } = report;
  const members = report.characteristics.flatMap((one) => one.members);
  const inside = members.filter((one) => one.verdict === 'inside' || one.verdict === 'past-new').length;
  const fastened = report.fastenerGroups.flatMap((group) => group.members);
  const done = fastened.filter((one) => one.progress === 'done').length;
  const covered = report.assemblies.filter((one) => one.covered).map((one) => one.title);
  const open = report.openItems.filter((one) => one.closed === null).length;
  const facts: readonly (readonly [string, string])[] = [
    ['Machine', machine?.name ?? 'not stated'],
    ['Serial', machine?.serial ?? 'not stated'],
    ['Hours', hoursText(report)],
    ['Work', report.from === report.to ? (report.from ?? '') : `${report.from} to ${report.to}`],
    ['Covers', covered.length === 0 ? 'what the log touches' : covered.join(', ')],
    [
      'Limits',
      report.uses
        .filter((one) => one.kind === 'limits')
        .map((one) => one.title || one.path)
        .join(', ') || 'in the log itself',
    ],
    ['Findings', `${counted(summary.errors, 'error')}, ${counted(summary.warnings, 'warning')}`],
    ['Values in limits', `${inside} of ${members.length}`],
    ['Fasteners torqued', `${done} of ${fastened.length}`],
    ['Open items, concessions', `${open}, ${report.concessions.length}`],
  ];
  return `<header>
<h1>${escapeHtml(report.title)}<span class="state ${stateClass(report)}">${stateText(report)}</span></h1>
<p class="soft">Rebuild report from ${escapeHtml(report.path)}</p>
<dl class="plate">${facts.map(([name, value]) => `<div><dt>${name}</dt><dd>${datesWhole(value)}</dd></div>`).join('')}</dl>
<p class="caution"><strong>Caution.</strong> The maker's current manual and the local rules come first, and licensed people sign what the law says they sign. This page repeats what a builder wrote and compares it with a table of limits that its owner copied; it approves nothing.</p>
</header>`;
}

function stateClass({ state, summary }: LogReport): 'good' | 'worn' | 'bad' {
  if (state !== 'released') return 'worn';
  return summary.errors === 0 ? 'good' : 'bad';
}

/** Text whose dates are not broken at their hyphens. */
function datesWhole(text: string): string {
  return escapeHtml(text).replace(/\d{4}-\d{2}-\d{2}/g, '<span class="fact">$&</span>');
}

function hoursText(report: LogReport): string {
  const { machine } = report;
  if (machine === null || machine.hoursBefore === null) return 'not stated';
  return machine.hoursRun === null || machine.hoursAfter === null
    ? machine.hoursBefore
    : `${machine.hoursBefore} + ${machine.hoursRun} = ${machine.hoursAfter}`;
}

/** A line of the log as an attribute of its row. */
function dataLine(line: Line): string {
  return line === null ? '' : ` data-line="${line}"`;
}

interface Column<Row> {
  readonly head: string;
  /** Plain text, or HTML where the column says so. Columns that are empty in every row are left out. */
  readonly cell: (row: Row) => string | null;
  readonly html?: true;
  readonly class?: string;
}

interface Rows<Row> {
  /** Heads the rows that follow; empty for none. */
  readonly title: string;
  readonly rows: readonly Row[];
}

/** A table whose first column heads its rows. */
function table<Row>(
  caption: string,
  columns: readonly Column<Row>[],
  rows: readonly Row[],
  lineOf: (row: Row) => Line,
): string {
  return groupedTable(caption, columns, [{ title: '', rows }], lineOf);
}

/** One table with a heading row before each group, so that all columns line up. */
function groupedTable<Row>(
  caption: string,
  columns: readonly Column<Row>[],
  groups: readonly Rows<Row>[],
  lineOf: (row: Row) => Line,
): string {
  const used = columns.filter(
    (column, i) => i === 0 || groups.some(({ rows }) => rows.some((row) => (column.cell(row) ?? '') !== '')),
  );
  const heads = used.map((column) => `<th scope="col"${classOf(column)}>${escapeHtml(column.head)}</th>`);
  const bodies = groups.map(({ title, rows }) => {
    const heading =
      title === ''
        ? ''
        : `<tr class="group-head"><th scope="rowgroup" colspan="${used.length}">${escapeHtml(title)}</th></tr>\n`;
    return `<tbody>${heading}${rows.map((row) => rowHtml(used, row, lineOf(row))).join('\n')}</tbody>`;
  });
  const title = caption === '' ? '' : `<caption>${escapeHtml(caption)}</caption>`;
  return `<table>${title}<thead><tr>${heads.join('')}</tr></thead>${bodies.join('\n')}</table>`;
}

function rowHtml<Row>(columns: readonly Column<Row>[], row: Row, line: Line): string {
  const cells = columns.map((column, i) => {
    const raw = column.cell(row) ?? '';
    const text = column.html === true ? raw : escapeHtml(raw);
    return i === 0 ? `<th scope="row"${classOf(column)}>${text}</th>` : `<td${classOf(column)}>${text}</td>`;
  });
  return `<tr${dataLine(line)}>${cells.join('')}</tr>`;
}

function classOf(column: { readonly class?: string }): string {
  return column.class === undefined ? '' : ` class="${column.class}"`;
}

function findings(report: LogReport): string {
  const words = { error: 'bad', warning: 'worn', information: 'soft', hint: 'soft' } as const;
  const columns: readonly Column<LogReport['findings'][number]>[] = [
    {
      head: 'Severity',
      cell: (one) =>
        `<span class="${words[one.severity]}">${one.severity}</span>${one.lowered === null ? '' : `<br><span class="soft">lowered from ${one.lowered}</span>`}`,
      html: true,
      class: 'verdict',
    },
    { head: 'What was found', cell: (one) => messageHtml(one.message), html: true, class: 'prose' },
    { head: 'Rule', cell: (one) => one.rule, class: 'fact soft rule' },
    { head: 'Line', cell: (one) => (one.line === null ? '' : String(one.line)), class: 'number' },
  ];
  const severe = report.findings.filter((one) => one.severity === 'error' || one.severity === 'warning');
  const rest = report.findings.filter((one) => one.severity === 'information');
  const first =
    severe.length === 0
      ? '<p class="good"><strong>No errors and no warnings.</strong></p>'
      : table('', columns, severe, (one) => one.line);
  if (rest.length === 0) return first;
  return `${first}\n<h3>For information</h3>\n${table('', columns, rest, (one) => one.line)}`;
}

/** What stands between backquotes in a message is text of the log. */
function messageHtml(message: string): string {
  return escapeHtml(message).replace(/`([^`]+)`/g, '<code class="mono">$1</code>');
}

/** A name that may be broken before its members. */
function nameHtml(target: string): string {
  return escapeHtml(target).replaceAll('[', '<wbr>[');
}

const verdictText: Readonly<
  Record<ReportMember['verdict'], readonly [sign: string, words: string, colour: string]>
> = {
  inside: ['✓', 'in limits', 'good'],
  'past-new': ['▲', 'worn, in limits', 'worn'],
  outside: ['✕', 'past its limit', 'bad'],
  accepted: ['▲', 'accepted', 'worn'],
  due: ['–', 'not measured', 'soft'],
  recorded: ['', 'not judged', 'soft'],
};

function verdictHtml(member: ReportMember): string {
  const [sign, words, colour] = verdictText[member.verdict];
  const lines = [
    `<span class="verdict ${colour}"><span aria-hidden="true">${sign}</span> ${words}</span>`,
    member.used === null || member.used <= 0
      ? ''
      : `<span class="soft">${percent(member.used)} of wear used</span>`,
    member.missing.length === 0 || member.missing[0] === '' || member.verdict === 'due'
      ? ''
      : `<span class="worn">${counted(member.missing.length, 'place')} not read</span>`,
  ];
  return lines.filter((line) => line !== '').join('<br>');
}

function percent(share: number): string {
  return share < 0.005 ? 'less than 1 %' : `${Math.round(share * 100)} %`;
}

function limitHtml(limit: LimitEnds | null): string {
  return limit === null ? '' : withAlso(limit.text, limit.also);
}

/** A value as it is written, and below it what it is in the team's units. */
function withAlso(text: string, also: string | null | undefined): string {
  const written = escapeHtml(signs(text));
  return also === null || also === undefined
    ? written
    : `${written}<br><span class="soft">${escapeHtml(signs(also))}</span>`;
}

/** More than this many readings of one member are not drawn one by one. */
const MOST_DRAWN = 24;

function barHtml(member: ReportMember): string {
  const { unit } = member;
  const all: readonly ReportReading[] = member.readings.slice(-MOST_DRAWN);
  const drawn = [
    ...(member.workedOut === null ? [] : [{ ...member.workedOut, history: null, takenAs: null }]),
    ...all.filter((one) => one.history === null),
    // What was found in another size lies off this scale.
    ...all.filter((one) => one.history !== null && one.takenAs === 'found' && member.grade === null),
  ].flatMap((one) => {
    const [low, high] = [one.low ?? one.high, one.high ?? one.low];
    if (low === null || high === null) return [];
    const isHistory = one.history !== null;
    return [
      {
        low,
        high,
        verdict: one.verdict ?? undefined,
        ...(one.uncertainty === null || isHistory ? {} : { uncertainty: one.uncertainty }),
        ...(isHistory ? { history: true } : {}),
      },
    ];
  });
  if (unit === null || drawn.length === 0) return '';
  return drawLimitBar(
    {
      name: member.target,
      unit,
      decimals: member.decimals,
      fresh: barEnds(member.fresh),
      wear: barEnds(member.wear),
      readings: drawn,
    },
    { theme: 'both', compact: true },
  ).svg;
}

function barEnds(limit: LimitEnds | null): Ends | undefined {
  return limit === null ? undefined : { lower: limit.lower ?? undefined, upper: limit.upper ?? undefined };
}

function readings(report: LogReport): string {
  if (report.characteristics.length === 0) return '';
  const columns: readonly Column<ReportMember>[] = [
    {
      head: 'Reading',
      cell: (one) => nameHtml(one.target) + (one.grade === null ? '' : ` (${escapeHtml(one.grade)})`),
      html: true,
    },
    {
      head: 'New',
      cell: (one) =>
        one.words === null
          ? limitHtml(one.fresh)
          : escapeHtml(one.words.map((word) => `"${word}"`).join(' or ')),
      html: true,
      class: 'limit',
    },
    { head: 'Wear limit', cell: (one) => limitHtml(one.wear), html: true, class: 'limit' },
    { head: 'As found', cell: (one) => asFound(one) },
    {
      head: 'Reading that stands',
      cell: (one) => withAlso(standingText(one) ?? '', standingAlso(one)),
      html: true,
    },
    { head: 'Against its limit', cell: barHtml, html: true, class: 'bar' },
    { head: 'Verdict', cell: verdictHtml, html: true },
    { head: 'Ref', cell: (one) => one.ref, class: 'soft' },
  ];
  return groupedTable(
    '',
    columns,
    byAssembly(report, report.characteristics).map(({ title, things }) => ({
      title,
      rows: things.flatMap((one) => one.members),
    })),
    lastLine,
  );
}

function lastLine(member: ReportMember): Line {
  return member.readings.at(-1)?.line ?? null;
}

function asFound(member: ReportMember): string {
  const found = member.readings.filter((one) => one.takenAs === 'found');
  return found.map((one) => (one.place === '' ? one.text : `${one.text} @ ${one.place}`)).join(', ');
}

/** Things by assembly, in the order of the limits; at last what belongs to none. */
function byAssembly<T extends { readonly assembly: string | null }>(
  report: LogReport,
  things: readonly T[],
): readonly { readonly title: string; readonly things: readonly T[] }[] {
  const assemblies = [...report.assemblies, { name: null, title: '' }];
  return assemblies
    .map(({ name, title }) => ({ title, things: things.filter((one) => one.assembly === name) }))
    .filter((group) => group.things.length > 0);
}

function bores(report: LogReport): string {
  const drawn = report.characteristics
    .flatMap((one) => one.members)
    .filter((member) => member.directions.length > 0)
    .flatMap((member) => {
      const standing = member.readings.filter((one) => one.history === null && one.high !== null);
      if (standing.length === 0 || member.unit === null) return [];
      // Of repeats the last is drawn; the table says what the worst is.
      const byPlace = new Map(standing.map((one) => [one.place, one]));
      const { svg } = drawBoreMap(
        {
          name: member.target,
          unit: member.unit,
          decimals: member.decimals,
          sections: member.sections,
          directions: member.directions,
          readings: [...byPlace.values()].flatMap((one) => {
            const slash = one.place.lastIndexOf('/');
            return one.high === null
              ? []
              : [
                  {
                    section: one.place.slice(0, slash),
                    direction: one.place.slice(slash + 1),
                    value: one.high,
                    verdict: one.verdict ?? undefined,
                  },
                ];
          }),
          fresh: barEnds(member.fresh),
          wear: barEnds(member.wear),
        },
        { theme: 'both' },
      );
      const last = standing.at(-1);
      const how = [last?.tool, last?.by.join(', '), last?.at].filter((fact) => fact !== null && fact !== '');
      return [
        `<figure class="keep"${dataLine(last?.line ?? null)}>${svg}<figcaption>${escapeHtml(member.target)} in ${escapeHtml(member.unit)}: height down, size across. ${escapeHtml(how.join(', '))}</figcaption></figure>`,
      ];
    });
  return drawn.length === 0 ? '' : `<div class="bores">${drawn.join('\n')}</div>`;
}

function fasteners(report: LogReport): string {
  return byAssembly(report, report.fastenerGroups)
    .flatMap(({ title, things }) => [
      title === '' ? '' : `<h3>${escapeHtml(title)}</h3>`,
      ...things.map((group) => groupHtml(group)),
    ])
    .join('\n');
}

const progressText: Readonly<Record<ReportFastener['progress'], readonly [words: string, colour: string]>> = {
  done: ['torqued', 'good'],
  'on-the-way': ['not at its final torque', 'worn'],
  'finger-tight': ['finger-tight', 'worn'],
  loosened: ['loosened', 'bad'],
  due: ['not begun', 'soft'],
};

/** A drawing wider than this stands above its table, not beside it. */
const WIDE = 225;

function groupHtml(group: ReportGroup): string {
  const { svg, width } = drawFastenerGroup(
    {
      name: group.name,
      layout: group.layout ?? undefined,
      members: group.members.map((one) => ({
        item: one.item,
        progress: one.progress,
        stage: one.stage,
        striped: one.striped,
        locked: group.lock === null ? undefined : one.lock !== null,
      })),
      order: group.order ?? undefined,
      stageCount: group.stageCount,
    },
    { theme: 'both' },
  );
  const asked = [
    group.thread,
    group.propertyClass === null ? null : `class ${group.propertyClass}`,
    group.torque === null ? null : `torque ${group.torque}${inParentheses(group.torqueAlso)}`,
    group.stages.length === 0 ? null : `after ${group.stages.join(', ')}`,
    group.angle === null ? null : `then ${group.angle}`,
    group.drag === null ? null : `drag ${group.drag}`,
    group.lubricant,
    group.lock === null ? null : `locked by ${group.lock}`,
    group.retorque === null ? null : `again after ${group.retorque}`,
    group.ref === null ? null : `ref ${group.ref}`,
  ].filter((fact) => fact !== null);
  const order = orderText(group);
  const accepted = group.accepted.map(
    (one) => `<p class="worn">Accepted by ${escapeHtml(one.by.join(', '))}: ${escapeHtml(one.because)}</p>`,
  );
  return `<div class="keep">
<p class="asked"><strong>${escapeHtml(group.name)}</strong> <span class="soft">${escapeHtml(asked.join(', '))}</span></p>
<div class="group${width > WIDE ? ' wide' : ''}"><figure>${svg}</figure>${groupTable(group)}</div>
${order === '' ? '' : `<p class="soft">${escapeHtml(order)}</p>`}
${accepted.join('\n')}</div>`;
}

function inParentheses(also: string | null): string {
  return also === null ? '' : ` (${also})`;
}

/** The order asked for, and that of each complete pass where it was another; nothing where none is asked for. */
function orderText(group: ReportGroup): string {
  if (group.order === null) return '';
  const asked = group.order.join(' ');
  const passes = group.passes.flatMap((pass) =>
    pass.complete && pass.order !== null && pass.order.length > 1
      ? [{ torque: pass.torque ?? `stage ${pass.stage}`, order: pass.order.join(' ') }]
      : [],
  );
  const same = passes.every((pass) => pass.order === passes[0]?.order);
  const done =
    passes.length === 0
      ? ''
      : same && passes[0]?.order === asked
        ? 'Done so.'
        : same
          ? `Done in the order ${passes[0]?.order}.`
          : `Done: ${passes.map((pass) => `${pass.torque} in the order ${pass.order}`).join('; ')}.`;
  return [asked === undefined ? '' : `Order asked for: ${asked}.`, done]
    .filter((text) => text !== '')
    .join(' ');
}

interface FastenerRow {
  readonly cells: readonly string[];
  readonly items: string[];
  readonly line: Line;
}

/** Columns that may be broken; the others hold one value. */
const PROSE: ReadonlySet<string> = new Set(['With, by', 'Lock, stripe', 'State']);

/** A row for each run of members with the same story. */
function groupTable(group: ReportGroup): string {
  const rows = new Map<string, FastenerRow>();
  for (const member of group.members) {
    const last = member.tightenings.at(-1);
    const at = (stage: number) =>
      member.tightenings
        .filter((one) => one.stage === stage && one.torque !== null)
        .map((one) => `${one.retorque ? 'again ' : ''}${one.torque}${inParentheses(one.torqueAlso)}`)
        .join(', ');
    const other = member.tightenings
      .filter((one) => one.stage === null)
      .map((one) => one.torque ?? one.angle ?? '')
      .join(', ');
    const [words, colour] = progressText[member.progress];
    const earlier = Array.from({ length: group.stageCount - 1 }, (_, i) => at(i + 1));
    const cells = [
      ...earlier.map(escapeHtml),
      escapeHtml([at(group.stageCount), other].filter((text) => text !== '').join(', ')),
      escapeHtml([...member.tightenings].reverse().find((one) => one.angle !== null)?.angle ?? ''),
      escapeHtml(last?.drag ?? ''),
      escapeHtml(
        [last?.tool, last?.by.join(', ')]
          .filter((text) => text !== undefined && text !== null && text !== '')
          .join(', '),
      ),
      escapeHtml(last?.at ?? ''),
      escapeHtml([member.lock, member.striped ? 'stripe' : null].filter((text) => text !== null).join(', ')),
      `<span class="${colour}">${words}</span>`,
    ];
    const key = JSON.stringify(cells);
    const row = rows.get(key);
    if (row === undefined) rows.set(key, { cells, items: [member.item], line: last?.line ?? null });
    else row.items.push(member.item);
  }
  const stages = Array.from({ length: group.stageCount - 1 }, (_, i) => `Stage ${i + 1}`);
  const heads = [...stages, 'Final', 'Angle', 'Drag', 'With, by', 'When', 'Lock, stripe', 'State'];
  const columns: readonly Column<FastenerRow>[] = [
    { head: 'No.', cell: (row) => (row.items[0] === '' ? group.name : listItems(row.items)) },
    ...heads.map(
      (head, i): Column<FastenerRow> => ({
        head,
        cell: (row) => row.cells[i] ?? '',
        html: true,
        ...(PROSE.has(head) ? {} : { class: 'fact' }),
      }),
    ),
  ];
  return table('', columns, [...rows.values()], (row) => row.line);
}

function timeline(report: LogReport): string {
  if (report.steps.length === 0) return '';
  const drawn = drawTimeline(report.steps, report.cures, 'both');
  const figure = drawn === undefined ? '' : `<figure>${drawn.svg}</figure>`;
  const list = table(
    '',
    [
      { head: 'Step', cell: (one) => String(one.number), class: 'fact' },
      { head: 'When', cell: (one) => one.step.at ?? '?', class: 'fact' },
      { head: 'What', cell: (one) => one.step.text },
      { head: 'By', cell: (one) => one.step.by.join(', '), class: 'fact' },
      { head: 'With', cell: (one) => one.step.tool, class: 'fact' },
      { head: 'At', cell: (one) => one.step.temperature, class: 'fact' },
    ],
    report.steps.map((step, i) => ({ step, number: i + 1 })),
    (one) => one.step.line,
  );
  if (report.cures.length === 0) return `${figure}\n${list}`;
  const cures = table(
    'Cure waits',
    [
      { head: 'Sealant', cell: (one) => one.sealant },
      { head: 'On', cell: (one) => one.to },
      { head: 'Applied', cell: (one) => one.applied, class: 'fact' },
      { head: 'Cures in', cell: (one) => one.cure, class: 'fact' },
      { head: 'First loaded by', cell: (one) => (one.loaded === null ? 'nothing yet' : one.loaded.what) },
      { head: 'At', cell: (one) => one.loaded?.at ?? '', class: 'fact' },
      {
        head: 'Waited',
        cell: (one) => (one.loaded === null ? '' : waited(one.loaded.minutes - one.from)),
        class: 'fact',
      },
    ],
    report.cures,
    (one) => one.line,
  );
  return `${figure}\n${list}\n${cures}`;
}

/** `15 h 23 min`, `3 d 2 h`. */
function waited(minutes: number): string {
  const whole = Math.round(minutes);
  const [days, hours, rest] = [Math.floor(whole / 1440), Math.floor((whole % 1440) / 60), whole % 60];
  if (days > 0) return hours === 0 ? `${days} d` : `${days} d ${hours} h`;
  if (hours > 0) return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
  return `${rest} min`;
}

function parts(report: LogReport): string {
  if (report.parts.length === 0) return '';
  const columns: readonly Column<ReportPart>[] = [
    {
      head: 'Part',
      cell: (one) =>
        nameHtml(targetOfMembers(one.name, one.items)) +
        (one.text === null ? '' : `<br><span class="soft">${escapeHtml(one.text)}</span>`),
      html: true,
    },
    {
      head: 'Out',
      cell: (one) => (one.out === null ? '' : acted(one.out.at, one.out.scrapped ? 'scrapped' : '')),
      html: true,
    },
    { head: 'In', cell: (one) => (one.in === null ? '' : acted(one.in.at, one.in.condition)), html: true },
    { head: 'Part no.', cell: (one) => one.in?.pn ?? '', class: 'fact' },
    { head: 'Batch', cell: (one) => one.in?.batch ?? '' },
    { head: 'Size', cell: (one) => one.in?.grade ?? '' },
    { head: 'Facing', cell: (one) => one.in?.facing ?? '' },
    {
      head: 'Because',
      cell: (one) => [one.out?.because, one.in?.because].filter(Boolean).join('; '),
    },
  ];
  return groupedTable(
    '',
    columns,
    byAssembly(report, report.parts).map(({ title, things }) => ({ title, rows: things })),
    (one) => one.in?.line ?? one.out?.line ?? null,
  );
}

/** A day (and time) with what was done then below it. */
function acted(at: string | null, what: string): string {
  return `<span class="fact">${escapeHtml(at ?? '?')}</span>${what === '' ? '' : `<br>${escapeHtml(what)}`}`;
}

function inspections(report: LogReport): string {
  if (report.inspections.length === 0) return '';
  return table(
    '',
    [
      { head: 'Inspection', cell: (one) => one.text },
      {
        head: 'Result',
        cell: (one) =>
          one.verdict === null
            ? '<span class="worn">not recorded</span>'
            : one.dueAgain
              ? `<span class="worn">${one.verdict}, due again</span>`
              : `<span class="${one.verdict === 'pass' ? 'good' : 'bad'}">${one.verdict}</span>`,
        html: true,
        class: 'verdict',
      },
      { head: 'By', cell: (one) => one.by.join(', '), class: 'fact' },
      { head: 'When', cell: (one) => one.at, class: 'fact' },
      { head: 'Asked for', cell: (one) => (one.needsInspector ? 'by an inspector' : '') },
      { head: 'Ref', cell: (one) => one.ref, class: 'soft' },
    ],
    report.inspections,
    (one) => one.line,
  );
}

function openAndAccepted(report: LogReport): string {
  const items =
    report.openItems.length === 0
      ? '<p>No open items were recorded.</p>'
      : table(
          'Open items',
          [
            { head: 'Item', cell: (one) => one.name, class: 'fact' },
            { head: 'What', cell: (one) => one.text },
            { head: 'Opened', cell: (one) => one.opened, class: 'fact' },
            {
              head: 'Closed',
              cell: (one) =>
                one.closed === null
                  ? '<span class="worn"><strong>still open</strong></span>'
                  : escapeHtml(`${one.closed.at ?? ''} ${one.closed.text}`.trim()),
              html: true,
            },
          ],
          report.openItems,
          (one) => one.line,
        );
  const accepted =
    report.concessions.length === 0
      ? '<p>Nothing past a limit was accepted.</p>'
      : table(
          'Concessions',
          [
            { head: 'What', cell: (one) => one.target },
            { head: 'Because', cell: (one) => one.because },
            { head: 'By', cell: (one) => one.by.join(', '), class: 'fact' },
            { head: 'When', cell: (one) => one.at, class: 'fact' },
            { head: 'Until', cell: untilText, class: 'fact' },
          ],
          report.concessions,
          (one) => one.line,
        );
  const photos =
    report.photos.length === 0
      ? ''
      : table(
          'Photographs named by the log',
          [
            { head: 'File', cell: (one) => one.file },
            { head: 'What', cell: (one) => one.text },
          ],
          report.photos,
          (one) => one.line,
        );
  return `${items}\n${accepted}\n${photos}`;
}

function peopleAndTools(report: LogReport): string {
  const people =
    report.people.length === 0
      ? ''
      : table(
          'People',
          [
            { head: 'Name', cell: (one) => one.name, class: 'fact' },
            { head: 'Full name', cell: (one) => one.text },
            { head: 'Registered as', cell: (one) => one.roles.join(', ') || 'not in the register' },
            { head: 'Licence', cell: (one) => one.licence },
            { head: 'Did work in this log', cell: (one) => (one.worked ? 'yes' : 'no') },
          ],
          report.people,
          () => null,
        );
  const tools =
    report.tools.length === 0
      ? ''
      : table(
          'Tools used',
          [
            { head: 'Tool', cell: (one) => one.name, class: 'fact' },
            { head: 'Description', cell: (one) => one.text },
            { head: 'Range', cell: (one) => one.range },
            { head: 'Accuracy', cell: (one) => one.accuracy },
            { head: 'Uncertainty U', cell: (one) => one.uncertainty },
            { head: 'Calibrated', cell: (one) => one.calibrated, class: 'fact' },
            { head: 'Due', cell: (one) => one.due, class: 'fact' },
          ],
          report.tools,
          () => null,
        );
  return [people, tools].filter((text) => text !== '').join('\n');
}

function signatures(report: LogReport): string {
  if (report.signatures.length === 0) return '<p>Not signed yet.</p>';
  const release = report.signatures.find((one) => one.kind === 'release');
  const releaser = report.people.find((one) => one.name === release?.by);
  const own =
    releaser?.worked === true
      ? `<p class="worn">${escapeHtml(releaser.text || releaser.name)} released work that he or she also did: by this log nobody else looked at it.</p>`
      : '';
  const list = table(
    '',
    [
      { head: 'Act', cell: (one) => (one.kind === 'release' ? 'Release' : 'Signed'), class: 'fact' },
      {
        head: 'By',
        cell: (one) => {
          const person = report.people.find(({ name }) => name === one.by);
          return person === undefined || person.text === '' ? one.by : `${person.text} (${one.by})`;
        },
      },
      { head: 'Licence', cell: (one) => report.people.find(({ name }) => name === one.by)?.licence ?? '' },
      { head: 'Words', cell: (one) => one.text },
      { head: 'When', cell: (one) => one.at, class: 'fact' },
      { head: 'Hours', cell: (one) => one.hours, class: 'fact' },
      { head: 'Mark', cell: markText, class: 'mono' },
    ],
    report.signatures,
    (one) => one.line,
  );
  return `${list}${own}\n<p class="soft">A mark shows that the text above it was not changed after it was written; it does not show by whom. The copy of the mark in the paper logbook is the proof.</p>`;
}

function entry(report: LogReport): string {
  return `<p>To copy. It has what 14 CFR 43.9, 43.11, 43.2 and 91.417, New Zealand CAR 43.69 and AC 43.13-1B ask of an entry, as far as the log says it; a line is left where it does not. Which rules hold for this machine, and what they ask beyond this, is for whoever signs.</p>
<pre class="entry">${escapeHtml(recordEntryText(report))}</pre>`;
}

function steps(report: LogReport): string {
  return report.steps
    .map((step, i) => {
      const heading = `<h3${dataLine(step.line)}>${i + 1}. ${escapeHtml(step.text)} <span class="soft">${escapeHtml([step.at ?? '?', step.by.join(', '), step.tool].filter(Boolean).join(', '))}</span></h3>`;
      const lines = step.entries.map(
        (one) =>
          `<li data-line="${one.line ?? ''}"><span class="line" aria-hidden="true">${one.line ?? ''}</span><pre>${escapeHtml(one.text)}</pre></li>`,
      );
      return `${heading}\n<ul class="entries">${lines.join('\n')}</ul>`;
    })
    .join('\n');
}
