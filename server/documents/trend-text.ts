/** Trends as text for a terminal, with a small plot for each. */
import { formatNumber, withUnit } from '../quantities/index.ts';
import { projectionText, type Trend, type TrendPoint } from './trend.ts';

export const trendCaution =
  "A line through a few readings is an estimate, not a life: the maker's current manual and the local rules come first.";

const WIDTH = 48;
const HEIGHT = 7;

/** All trends with two readings or more, by machine; those with one are named at the end. */
export function trendsText(trends: readonly Trend[]): string {
  if (trends.length === 0)
    return 'No log here says of which machine it is (machine NAME serial "…" hours … h), so nothing can be followed over hours.\n';
  const out: string[] = [];
  for (const machine of new Set(trends.map((trend) => trend.machine))) {
    const own = trends.filter((trend) => trend.machine === machine);
    const many = own.filter((trend) => countOf(trend) > 1);
    const few = own.filter((trend) => countOf(trend) === 1);
    out.push(machine, '');
    for (const trend of many) out.push(...oneTrend(trend), '');
    if (few.length > 0)
      out.push(`  One reading only, so no trend: ${few.map(({ target }) => target).join(', ')}.`, '');
  }
  out.push(trendCaution);
  return `${out.join('\n')}\n`;
}

function countOf({ lives }: Trend): number {
  return lives.reduce((sum, life) => sum + life.length, 0);
}

/** What stands above a plot: `bore[rear], wear limit 67.560 mm: 4 readings, 12 h to 512 h, 2 parts`. */
export function headOf(trend: Trend): string {
  const { target, lives, wearLimit, newRange, unit, decimals } = trend;
  const points = lives.flat();
  const hours = points.map((point) => point.hours);
  const limit = wearLimit ?? newRange;
  const ends = [limit?.lower, limit?.upper].map((end) =>
    end === undefined ? undefined : formatNumber(end, decimals),
  );
  const limitText =
    ends[0] !== undefined && ends[1] !== undefined
      ? `${ends[0]}..${ends[1]}`
      : ends[1] !== undefined
        ? `<= ${ends[1]}`
        : `>= ${ends[0]}`;
  const parts = lives.length > 1 ? `, ${lives.length} parts one after the other` : '';
  return `${target}, ${wearLimit === null ? 'limit' : 'wear limit'} ${withUnit(limitText, unit)}: ${points.length} readings from ${hour(Math.min(...hours))} to ${hour(Math.max(...hours))}${parts}`;
}

/** How fast it changes: `+0.012 mm in 100 h`. */
export function rateOf({ line, unit, decimals }: Trend): string | undefined {
  if (line === null) return undefined;
  const rate = line.slope * 100;
  const sign = rate < 0 ? '−' : '+';
  // Two digits of it at least: a slow wear is not none.
  const places = rate === 0 ? decimals + 1 : 1 - Math.floor(Math.log10(Math.abs(rate)));
  return `${sign}${withUnit(formatNumber(Math.abs(rate), Math.min(9, Math.max(decimals + 1, places))), unit)} in 100 h`;
}

export function hour(value: number): string {
  return `${formatNumber(value, Number.isInteger(value) ? 0 : 1)} h`;
}

function oneTrend(trend: Trend): readonly string[] {
  const rate = rateOf(trend);
  const projection = projectionText(trend);
  return [
    `  ${headOf(trend)}`,
    ...plot(trend).map((line) => `    ${line}`),
    `    ${rate === undefined ? projection : `${rate}; ${projection}`}`,
  ];
}

/** Readings as `o` (of earlier parts as `.`), the line through them as `·`, the limit as `-`. */
function plot(trend: Trend): readonly string[] {
  const { lives, line, decimals } = trend;
  const points = lives.flat();
  const ends = trend.wearLimit ?? trend.newRange;
  const limit = trend.projection?.limit ?? ends?.upper ?? ends?.lower;
  const hours = points.map((point) => point.hours);
  const [first, last] = [Math.min(...hours), Math.max(...hours)];
  const values = points.map((point) => point.value);
  const [least, most] = [Math.min(...values, limit ?? Infinity), Math.max(...values, limit ?? -Infinity)];
  if (last === first || most === least) return [];
  const column = (at: number) => Math.round(((at - first) / (last - first)) * (WIDTH - 1));
  const row = (value: number) => Math.round(((most - value) / (most - least)) * (HEIGHT - 1));
  const grid = Array.from({ length: HEIGHT }, () => new Array<string>(WIDTH).fill(' '));
  const put = (y: number, x: number, sign: string) => {
    const cells = grid[y];
    if (cells !== undefined && x >= 0 && x < WIDTH) cells[x] = sign;
  };
  if (limit !== undefined) for (let x = 0; x < WIDTH; x++) put(row(limit), x, '-');
  if (line !== null)
    for (let x = 0; x < WIDTH; x++) {
      const at = first + (x / (WIDTH - 1)) * (last - first);
      put(row(line.meanY + line.slope * (at - line.meanX)), x, '·');
    }
  const mark = (life: readonly TrendPoint[], sign: string) => {
    for (const point of life) put(row(point.value), column(point.hours), sign);
  };
  for (const life of lives.slice(0, -1)) mark(life, '.');
  mark(lives.at(-1) ?? [], 'o');
  const labels = grid.map((_, y) => (y === 0 ? most : y === HEIGHT - 1 ? least : undefined));
  const wide = Math.max(...[most, least].map((value) => formatNumber(value, decimals).length));
  return [
    ...grid.map(
      (cells, y) =>
        `${(labels[y] === undefined ? '' : formatNumber(labels[y] ?? 0, decimals)).padStart(wide)} |${cells.join('').trimEnd()}`,
    ),
    `${' '.repeat(wide)} +${'-'.repeat(WIDTH)}`,
    `${' '.repeat(wide)}  ${hour(first)}${hour(last).padStart(WIDTH - hour(first).length)}`,
  ];
}
