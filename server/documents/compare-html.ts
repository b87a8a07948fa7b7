/** A comparison as a page: the two logs side by side, section by section. */
import type { ComparedLog, CompareSection, Comparison, Difference } from './compare.ts';
import {
  compareCaution,
  compareSummary,
  compareTitles,
  logLine,
  remarksOf,
  sectionsOf,
} from './compare-text.ts';
import { escapeHtml, htmlPage, sheetStyle } from './page.ts';

const style = `.matters th{border-left:4px solid var(--wm-bad);padding-left:.5rem}.same-height td{vertical-align:top}`;

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
<dl>${row('Old', comparison.old)}${row('New', comparison.new)}</dl>
<p><strong>${escapeHtml(compareSummary(comparison))}</strong></p>
<p class="caution"><strong>Caution.</strong> ${escapeHtml(compareCaution)}</p>
</header>
${sectionsOf(comparison)
  .map(([section, differences]) => sectionHtml(section, differences))
  .join('\n')}`;
}

function sectionHtml(section: CompareSection, differences: readonly Difference[]): string {
  const rows = differences.map((one) => {
    const line = one.newLine === null ? '' : ` data-line="${one.newLine}"`;
    const cell = (text: string | null) =>
      text === null ? '<td class="soft">not recorded</td>' : `<td>${escapeHtml(text)}</td>`;
    const weight = one.matters ? ' class="matters"' : '';
    const said = one.matters ? '<span class="bad" role="img" aria-label="matters">!</span> ' : '';
    return `<tr${weight}${line}><th scope="row">${said}${escapeHtml(one.subject)}</th>${cell(one.old)}${cell(one.new)}<td>${escapeHtml(remarksOf(one).join('; '))}</td></tr>`;
  });
  const title = compareTitles[section];
  return `<section>
<h2>${title}</h2>
<table><thead><tr><th scope="col">What</th><th scope="col">Old</th><th scope="col">New</th><th scope="col">Difference</th></tr></thead>
<tbody>
${rows.join('\n')}
</tbody></table>
</section>`;
}
