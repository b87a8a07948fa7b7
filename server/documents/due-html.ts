/** What comes due as a page: what is overdue first. */
import {
  type DueItem,
  type DueList,
  dueHead,
  dueKindWords,
  dueSections,
  dueWords,
  leftWords,
} from './due.ts';
import { escapeHtml, htmlPage, sheetStyle, signs } from './page.ts';

const style = 'col.kind{width:12%}col.due{width:20%}col.left{width:20%}table{table-layout:fixed}';

/** Style for a view that shows `dueBody` by itself. */
export const dueStyle = `${sheetStyle}\n${style}`;

/** The list as a whole page. */
export function dueHtml(list: DueList): string {
  return htmlPage({ title: 'What comes due', body: dueBody(list), style });
}

/** What stands between `<main class="sheet">` and its end. */
export function dueBody(list: DueList): string {
  const sections = dueSections(list);
  const many = list.machines.length > 1;
  return `<header><h1>What comes due</h1>
<p class="soft">${escapeHtml(dueHead(list))}</p>
<p class="caution"><strong>Caution.</strong> The maker's current manual and the local rules come first. This lists what the logs and registers state, and nothing that they leave out.</p></header>
${sections.length === 0 ? '<p>Nothing comes due by these files.</p>' : sections.map(({ title, overdue, items }) => sectionHtml(title, overdue, items, list.on, many)).join('\n')}`;
}

function sectionHtml(
  title: string,
  overdue: boolean,
  items: readonly DueItem[],
  on: string,
  many: boolean,
): string {
  const rows = items.map((item) => {
    const facts = [many ? item.machine : null, item.text, `${item.path}:${item.line}`].filter(Boolean);
    return `<tr><th scope="row">${escapeHtml(item.what)}<br><span class="soft">${escapeHtml(facts.join(' · '))}</span></th><td>${dueKindWords[item.kind]}</td><td>${escapeHtml(signs(dueWords(item)))}</td><td${overdue ? ' class="bad"' : ''}>${escapeHtml(signs(leftWords(item, on)))}</td></tr>`;
  });
  return `<section><h2${overdue ? ' class="bad"' : ''}>${escapeHtml(title)}</h2>
<table><colgroup><col><col class="kind"><col class="due"><col class="left"></colgroup>
<thead><tr><th scope="col">What</th><th scope="col">Kind</th><th scope="col">Due</th><th scope="col">Left</th></tr></thead>
<tbody>
${rows.join('\n')}
</tbody></table></section>`;
}
