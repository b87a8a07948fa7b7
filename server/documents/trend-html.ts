/** Trends as a page: a drawing for each, with its readings, line, band and limit, and the same in words. */
import { scaleLinear } from 'd3-scale';
import { formatNumber, withUnit } from '../quantities/index.ts';
import { escapeHtml, htmlPage, sheetStyle } from './page.ts';
import { bandAt, projectionText, type Trend } from './trend.ts';
import { headOf, hour, rateOf, trendCaution } from './trend-text.ts';

const style = '.trend{margin:1rem 0 1.6rem}.trend svg{width:100%;max-width:44rem}';

/** Style for a view that shows `trendsBody` by itself. */
export const trendStyle = `${sheetStyle}\n${style}`;

/** The trends as a whole page. */
export function trendsHtml(trends: readonly Trend[]): string {
  return htmlPage({ title: 'Wear over hours', body: trendsBody(trends), style });
}

/** What stands between `<main class="sheet">` and its end. */
export function trendsBody(trends: readonly Trend[]): string {
  const machines = [...new Set(trends.map((trend) => trend.machine))];
  const none =
    '<p>No log here says of which machine it is, with its serial number and hours, so nothing can be followed over hours.</p>';
  return `<header><h1>Wear over hours</h1>
<p class="caution"><strong>Caution.</strong> ${escapeHtml(trendCaution)}</p></header>
${machines.length === 0 ? none : machines.map((machine) => machineHtml(machine, trends)).join('\n')}`;
}

function machineHtml(machine: string, trends: readonly Trend[]): string {
  const own = trends.filter((trend) => trend.machine === machine);
  const many = own.filter(({ lives }) => lives.flat().length > 1);
  const few = own.filter(({ lives }) => lives.flat().length === 1);
  const rest =
    few.length === 0
      ? ''
      : `<p class="soft">One reading only, so no trend: ${escapeHtml(few.map(({ target }) => target).join(', '))}.</p>`;
  return `<section tabindex="0"><h2>${escapeHtml(machine)}</h2>
${many.map(oneTrend).join('\n')}
${rest}</section>`;
}

function oneTrend(trend: Trend): string {
  const rate = rateOf(trend);
  const words = `${headOf(trend)}${rate === undefined ? '' : `; ${rate}`}; ${projectionText(trend)}.`;
  const rows = trend.lives
    .flatMap((life, i) => life.map((point) => ({ ...point, part: i + 1 })))
    .map(
      ({ hours, value, as, path, part }) =>
        `<tr><td class="number">${hour(hours)}</td><td class="number">${escapeHtml(withUnit(formatNumber(value, trend.decimals), trend.unit))}</td><td>as ${as}</td>${trend.lives.length > 1 ? `<td class="number">${part}</td>` : ''}<td>${escapeHtml(path)}</td></tr>`,
    );
  const part = trend.lives.length > 1 ? '<th scope="col" class="number">Part</th>' : '';
  return `<figure class="trend keep"><figcaption>${escapeHtml(words)}</figcaption>
${drawing(trend, words)}
<details open><summary>Readings</summary>
<table><thead><tr><th scope="col" class="number">Hours</th><th scope="col" class="number">Value</th><th scope="col">Taken</th>${part}<th scope="col">Log</th></tr></thead>
<tbody>${rows.join('')}</tbody></table></details></figure>`;
}

const [WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT] = [640, 220, 70, 28, 12, 30];

/** Sizes in px; colours from the sheet. */
function drawing(trend: Trend, words: string): string {
  const { lives, line, projection, decimals } = trend;
  const points = lives.flat();
  const range = trend.wearLimit ?? trend.newRange;
  const limits = [range?.lower, range?.upper, projection?.limit].filter((end) => end !== undefined);
  const ahead = projection === null ? [] : [projection.hours];
  const hours = [...points.map((point) => point.hours), ...ahead];
  const values = [...points.map((point) => point.value), ...limits];
  const x = scaleLinear([Math.min(...hours), Math.max(...hours)], [LEFT, WIDTH - RIGHT]).nice();
  const y = scaleLinear([Math.min(...values), Math.max(...values)], [HEIGHT - BOTTOM, TOP]).nice(5);
  const px = (value: number) => value.toFixed(1);
  const out: string[] = [];
  for (const tick of x.ticks(6))
    out.push(
      `<path d="M${px(x(tick))} ${TOP}V${HEIGHT - BOTTOM}" stroke="var(--wm-rule)"/><text x="${px(x(tick))}" y="${HEIGHT - 8}" text-anchor="middle">${tick} h</text>`,
    );
  for (const tick of y.ticks(4))
    out.push(
      `<path d="M${LEFT} ${px(y(tick))}H${WIDTH - RIGHT}" stroke="var(--wm-rule)"/><text x="${LEFT - 8}" y="${px(y(tick) + 4)}" text-anchor="end">${formatNumber(tick, decimals)}</text>`,
    );
  for (const limit of new Set(limits))
    out.push(
      `<path d="M${LEFT} ${px(y(limit))}H${WIDTH - RIGHT}" stroke="var(--wm-bad)" stroke-width="1.5" stroke-dasharray="7 4"/>`,
    );
  if (line !== null) {
    const inside: string[] = [];
    const [from, to] = [Math.min(...(lives.at(-1) ?? []).map((point) => point.hours)), x.domain()[1] ?? 0];
    const steps = Array.from({ length: 25 }, (_, i) => from + ((to - from) * i) / 24);
    const bands = steps.map((at) => ({ at, band: bandAt(line, at) }));
    const known = bands.flatMap(({ at, band }) => (band === undefined ? [] : [{ at, band }]));
    if (known.length > 1) {
      const up = known.map(({ at, band }) => `${px(x(at))} ${px(y(band.upper))}`);
      const down = known.map(({ at, band }) => `${px(x(at))} ${px(y(band.lower))}`).reverse();
      inside.push(`<path d="M${[...up, ...down].join('L')}Z" fill="var(--wm-soft)" fill-opacity="0.16"/>`);
    }
    const at = (value: number) => line.meanY + line.slope * (value - line.meanX);
    inside.push(
      `<path d="M${px(x(from))} ${px(y(at(from)))}L${px(x(to))} ${px(y(at(to)))}" stroke="var(--wm-ink)" stroke-width="1.5" fill="none"/>`,
    );
    // A drawing in the drawing cuts off what leaves the axes.
    const [width, height] = [WIDTH - RIGHT - LEFT, HEIGHT - BOTTOM - TOP];
    out.push(
      `<svg x="${LEFT}" y="${TOP}" width="${width}" height="${height}" viewBox="${LEFT} ${TOP} ${width} ${height}" style="overflow:hidden">${inside.join('')}</svg>`,
    );
  }
  for (const [i, life] of lives.entries())
    for (const { hours: at, value } of life)
      out.push(
        `<circle cx="${px(x(at))}" cy="${px(y(value))}" r="4" fill="${i === lives.length - 1 ? 'var(--wm-ink)' : 'var(--wm-paper)'}" stroke="var(--wm-ink)"/>`,
      );
  return `<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeHtml(words)}" font-size="12" fill="var(--wm-soft)"><title>${escapeHtml(words)}</title>${out.join('')}</svg>`;
}
