/** A comparison as a page: the two logs side by side, section by section. */
import type { ComparedLog, Comparison, Effect } from './compare.ts';
import {
  type ComparedGroup,
  compareCaution,
  compareSummary,
  findingTurn,
  groupsOf,
  logLine,
  remarksOf,
} from './compare-text.ts';
import { escapeHtml, htmlPage, sheetStyle } from './page.ts';

const style = `.compared{display:grid;grid-template-columns:1fr 1fr;gap:1rem;margin:.9rem 0}.compared dt{font-weight:650}.compared dd{margin:0}
table{table-layout:fixed}col.what{width:23%}col.remark{width:24%}td,th{overflow-wrap:anywhere}`;

/** Style for a view that shows `comparisonBody` by itself. */
export const comparisonStyle = `${sheetStyle}\n${style}`;

/** The comparison as a whole page. */
export function comparisonHtml(comparison: Comparison): string {
  return htmlPage({ title: 'Comparison of two rebuilds', body: comparisonBody(comparison), style });
}

/** What stands between `<main class="sheet">` and its end; rows carry the line of the new log as `data-line`. */
export function comparisonBody(comparison: Comparison): string {
  const row = (name: string, log: ComparedLog) =>
    `<div><dt>${name}</dt><dd>${escapeHtml(logLine(log))}</dd><dd class="soft">${escapeHtml(log.path)}</dd></div>`;
  return `<header>
<h1>Comparison of two rebuilds</h1>
<dl class="compared">${row('Old', comparison.old)}${row('New', comparison.new)}</dl>
<p><strong>${escapeHtml(compareSummary(comparison))}</strong></p>
<p class="caution"><strong>Caution.</strong> ${escapeHtml(compareCaution)}</p>
</header>
${groupsOf(comparison).map(groupHtml).join('\n')}`;
}

const colours: Readonly<Record<Effect, string>> = { worse: 'bad', changed: 'worn', better: 'good' };

const turnWords = {
  new: 'a new finding',
  gone: 'a finding that is gone',
  still: 'a finding that stays',
} as const;

function groupHtml({ title, effect, rows }: ComparedGroup): string {
  const colour = effect === undefined ? '' : ` class="${colours[effect]}"`;
  const lines = rows.map(({ name, difference: one }) => {
    const line = one.newLine === null ? '' : ` data-line="${one.newLine}"`;
    if (one.section === 'findings')
      return `<tr${line}><th scope="row">${escapeHtml(one.subject)}<br><span class="soft">${turnWords[findingTurn(one)]}</span></th><td colspan="3" class="prose">${escapeHtml(one.new ?? one.old ?? '')}</td></tr>`;
    const cell = (text: string | null) =>
      text === null ? '<td class="soft">not recorded</td>' : `<td>${escapeHtml(text)}</td>`;
    return `<tr${line}><th scope="row">${escapeHtml(name)}</th>${cell(one.old)}${cell(one.new)}<td>${escapeHtml(remarksOf(one).join('; '))}</td></tr>`;
  });
  return `<section tabindex="0">
<h2${colour}>${title}</h2>
<table><colgroup><col class="what"><col><col><col class="remark"></colgroup>
<thead><tr><th scope="col">What</th><th scope="col">Old</th><th scope="col">New</th><th scope="col">Difference</th></tr></thead>
<tbody>
${lines.join('\n')}
</tbody></table>
</section>`;
}
