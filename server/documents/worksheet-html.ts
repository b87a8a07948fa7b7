/** A blank log as a bench card: what the table of limits asks for, with boxes to write in. */
import { writeTarget } from '../rebuild/index.ts';
import { gridOf } from './grid.ts';
import { escapeHtml, htmlPage, signs } from './page.ts';
import { planWorksheet, type WorksheetLine, type WorksheetSource, type WorksheetStep } from './worksheet.ts';

const style = `.card table{table-layout:fixed}
.card td,.card th{vertical-align:middle}
.card col.what{width:23%}.card col.asked{width:25%}.card col.ref{width:5%}
.card .lines>tr{height:2rem}
.box{display:inline-block;width:5.4rem;height:1.5rem;border:1.2px solid var(--wm-line);border-radius:2px;vertical-align:middle}
.box.wide{width:9rem}.box.narrow{width:3rem}
.tick{display:inline-block;width:1.1rem;height:1.1rem;border:1.5px solid var(--wm-line);border-radius:2px;vertical-align:middle}
.cells{display:flex;flex-wrap:wrap;gap:.3rem .9rem;align-items:center}
.cell{display:inline-flex;gap:.35rem;align-items:center;white-space:nowrap}
.turn{color:var(--wm-soft);font-size:.75em}
.grids{display:flex;flex-wrap:wrap;gap:.2rem 2rem}
table.grid{width:auto;table-layout:auto;margin:.2rem 0}
.grid th,.grid td{border:0;padding:.1rem .5rem .1rem 0}
.grid caption{font-size:.85rem;padding:0}
.asked{color:var(--wm-soft)}
.done{margin:.1rem 0 .4rem;color:var(--wm-soft);max-width:none;break-after:avoid}
@media print{.card .lines>tr{height:7.5mm}.box{height:6mm}.card section{break-inside:auto}.card section.short{break-inside:avoid}}`;

/** A page to print and to lie on the bench; the same lines, in the same order, as the blank log. */
export function worksheetHtml(source: WorksheetSource): string {
  const plan = planWorksheet(source);
  const title = `Bench card: ${plan.title}`;
  const body = `<header>
<h1>${escapeHtml(title)}</h1>
<p class="soft">Covers ${escapeHtml(plan.assemblies.map((one) => one.title).join(', ') || 'the whole table')}. From ${escapeHtml(plan.limits)}.</p>
<dl class="plate">
<div><dt>Machine</dt><dd>${escapeHtml(plan.machine)}</dd></div>
<div><dt>Serial</dt><dd>${box('wide')}</dd></div>
<div><dt>Hours</dt><dd>${box('narrow')} h</dd></div>
<div><dt>Builder</dt><dd>${box('wide')}</dd></div>
<div><dt>Inspector</dt><dd>${box('wide')}</dd></div>
</dl>
<p class="caution">The maker's current manual and the local rules come first. Write down what was read, not what it should be; a reading that is wrong is struck through, not rubbed out.</p>
</header>
<div class="card">
${plan.steps.map(stepHtml).join('\n')}
</div>
<footer>Witnessmark bench card from ${escapeHtml(plan.limits)}. The blank log for the same work: witnessmark worksheet ${escapeHtml(plan.limits)}</footer>`;
  return htmlPage({ title, body, style });
}

/** A step of so few lines is kept on one page. */
const SHORT = 10;

function stepHtml(step: WorksheetStep, number: number): string {
  const heading = `step-${number + 1}`;
  const isShort = step.lines.length <= SHORT ? ' class="short"' : '';
  return `<section aria-labelledby="${heading}"${isShort}>
<h2 id="${heading}">${number + 1}. ${escapeHtml(step.title)}</h2>
<p class="cells done">${cell('Date', box())}${cell('Time', box('narrow'))}${cell('By', box())}${cell('With', box('wide'))}${cell('At', `${box('narrow')} °C`)}</p>
<table>
<colgroup><col class="what"><col class="asked"><col class="ref"><col></colgroup>
<thead><tr><th scope="col">What</th><th scope="col">Asked for</th><th scope="col">Ref</th><th scope="col">Reading or tick</th></tr></thead>
<tbody class="lines">
${step.lines.map(lineHtml).join('\n')}
</tbody>
</table>
</section>`;
}

function lineHtml(line: WorksheetLine): string {
  switch (line.kind) {
    case 'measure':
      return row(line.name, line.asked, line.ref, measureCells(line));
    case 'worked-out':
      return row(`${line.name}, worked out`, line.asked, line.ref, box());
    case 'torque': {
      const { group, stage, stages, asked } = line;
      const pass = stages === 1 ? '' : stage === stages ? `, stage ${stage}, final` : `, stage ${stage}`;
      const order = group.order ?? group.space.items;
      const ticks = order
        .map((item, i) => ticked(item, group.order === undefined ? undefined : i + 1))
        .join('');
      const ordered = group.order === undefined ? '' : '<span class="asked">in this order:</span>';
      const values = [
        `<span class="cell">${box()} ${escapeHtml(line.unit ?? '')}</span>`,
        stage === stages && group.angle !== undefined
          ? `<span class="cell">angle ${box('narrow')} ${escapeHtml(group.angle.unit)}</span>`
          : '',
        stage === stages && group.drag !== undefined
          ? `<span class="cell">drag ${box('narrow')} ${escapeHtml(group.drag.unit)}</span>`
          : '',
      ].join('');
      return row(
        `torque ${group.name}${group.thread === undefined ? '' : ` (${group.thread})`}${pass}`,
        asked,
        line.ref,
        `<div class="cells">${values}${ordered}${ticks}</div>`,
      );
    }
    case 'inspect': {
      const { inspection } = line;
      const who = inspection.needs === 'inspector' ? 'by an inspector' : '';
      return row(
        inspection.text,
        who,
        inspection.ref,
        `<div class="cells">${ticked('pass')}${ticked('fail')}${cell('by', box())}</div>`,
      );
    }
    case 'remove':
      return partRow('Remove', line, line.part.once ? ticked('scrapped') : '');
    case 'fit': {
      const { part } = line;
      const facts = [
        part.once ? cell('part no.', box()) + cell('batch', box()) : '',
        part.facing ? cell('facing', box('wide')) : '',
      ].join('');
      return partRow('Fit', line, `${part.once ? ticked('new') : ''}${facts}`);
    }
    case 'apply':
      return row(
        `Apply ${line.what} to ${line.to.join(', ')}`,
        line.asked,
        undefined,
        `<div class="cells">${ticked('')}${cell('at', box('narrow'))}</div>`,
      );
    case 'finger-tight':
      return row(
        `Run down by hand: ${line.group.name}`,
        `${line.group.space.items.length} of them`,
        undefined,
        `<div class="cells">${ticked('')}${cell('at', box('narrow'))}</div>`,
      );
  }
}

function partRow(
  verb: string,
  { part, items }: Extract<WorksheetLine, { kind: 'remove' | 'fit' }>,
  more: string,
): string {
  const ticks = items.map((item) => ticked(item)).join('');
  const asked = part.once ? 'used once' : part.temporary ? 'comes out before release' : '';
  return row(
    `${verb} ${part.text ?? part.name}`,
    asked,
    undefined,
    `<div class="cells">${ticks}${more}</div>`,
  );
}

function measureCells(line: Extract<WorksheetLine, { kind: 'measure' }>): string {
  const { name, items, places, conditions } = line;
  const unit = escapeHtml([line.unit, line.qualifier].filter(Boolean).join(' '));
  const when =
    conditions.length === 0
      ? ''
      : `<span class="cell">at ${conditions.map((one) => `${box('narrow')} ${escapeHtml(one)}`).join(', ')}</span>`;
  if (places.length > 0)
    return `<div class="grids">${items.map((item) => gridTable(writeTarget(name, item), places, unit)).join('')}</div>`;
  if (items.length > 1 && gridOf(items).columns.length > 1) return gridTable('', items, unit) + when;
  const cells = items.map(
    (item) => `<span class="cell">${item === '' ? '' : `${escapeHtml(item)} `}${box()} ${unit}</span>`,
  );
  return `<div class="cells">${cells.join('')}${when}</div>`;
}

function gridTable(caption: string, paths: readonly string[], unit: string): string {
  const { rows, columns } = gridOf(paths);
  const heads = columns.map((column) => `<th scope="col">${escapeHtml(column)}</th>`).join('');
  const lines = rows
    .map(
      (head) =>
        `<tr><th scope="row">${escapeHtml(head)}</th>${columns.map(() => `<td>${box()}</td>`).join('')}</tr>`,
    )
    .join('');
  const title = [escapeHtml(caption), unit].filter((word) => word !== '').join(', ');
  return `<table class="grid"><caption>${title}</caption><thead><tr><td></td>${heads}</tr></thead><tbody>${lines}</tbody></table>`;
}

function row(what: string, asked: string, ref: string | undefined, cells: string): string {
  return `<tr><th scope="row">${escapeHtml(what)}</th><td class="asked">${escapeHtml(signs(asked))}</td><td class="asked">${escapeHtml(ref ?? '')}</td><td>${cells}</td></tr>`;
}

/** An empty box; a screen reader says that something is to be written there. */
function box(size: 'narrow' | 'wide' | '' = ''): string {
  return `<span class="box${size === '' ? '' : ` ${size}`}" role="img" aria-label="to write in"></span>`;
}

/** A word and what is to be written behind it; `content` is HTML already. */
function cell(word: string, content: string): string {
  return `<span class="cell">${word} ${content}</span>`;
}

/** A box to tick with its word, and its turn where an order is asked for. */
function ticked(word: string, turn?: number): string {
  const small = turn === undefined ? '' : `<span class="turn">${turn}.</span>`;
  return `<span class="cell">${small}<span class="tick" role="img" aria-label="to tick"></span>${escapeHtml(word)}</span>`;
}
