/** The days of a rebuild as a strip: a dot for each step, a bar for each cure, a mark where it was loaded. */
import { scaleUtc } from 'd3-scale';
import { type Drawing, drawing, element, label, paint, type Theme, textWidth } from '../features/index.ts';
import type { ReportCure, ReportStep } from './report-facts.ts';

const WIDTH = 760;
const LEFT = 12;
const RIGHT = WIDTH - 12;
const DOT = 9;
const LANE = 22;
const CURE = 24;
/** More steps than this are ticks without numbers. */
const MOST_NUMBERED = 80;

const MINUTE = 60_000;
const FORTNIGHT = 14 * 1440;

/** Draws the strip; undefined when fewer than two moments are known. Steps are numbered from 1, as in the report's list. */
export function drawTimeline(
  steps: readonly ReportStep[],
  cures: readonly ReportCure[],
  theme: Theme,
): Drawing | undefined {
  const colour = paint(theme);
  const dated = steps.flatMap((step, i) =>
    step.minutes === null ? [] : [{ step, number: i + 1, at: step.minutes }],
  );
  const done = [
    ...dated.map(({ at }) => at),
    ...cures.flatMap(({ from, loaded }) => (loaded === null ? [from] : [from, loaded.minutes])),
  ];
  if (done.length + cures.length < 2) return undefined;
  const first = done.reduce((a, b) => Math.min(a, b));
  const lastDone = done.reduce((a, b) => Math.max(a, b));
  // A cure that ends long after everything else is cut off there, so that the rest can still be told apart.
  const farthest = lastDone + Math.max(lastDone - first, FORTNIGHT);
  const last = cures.reduce((a, { until }) => Math.max(a, Math.min(until, farthest)), lastDone);
  const room = Math.max(60, (last - first) * 0.02);
  const scale = scaleUtc(
    [new Date((first - room) * MINUTE), new Date((last + room) * MINUTE)],
    [LEFT, RIGHT],
  );
  const x = (minutes: number) => scale(new Date(Math.min(minutes, last + room) * MINUTE));

  const numbered = dated.length <= MOST_NUMBERED;
  const lanes = numbered ? inLanes(dated.map(({ at }) => x(at))) : dated.map(() => 0);
  const deepest = lanes.reduce((a, b) => Math.max(a, b), 0);
  const axis = 12 + (deepest + 1) * LANE;
  const below = axis + 24;
  const height = below + cures.length * CURE + 8;
  const parts: string[] = [
    element('line', { x1: LEFT, y1: axis, x2: RIGHT, y2: axis, stroke: colour('line'), 'stroke-width': 1 }),
  ];
  const days = (last - first) / 1440;
  const format = scale.tickFormat(8, days > 2 ? '%-d %b' : '%-d %b %H:%M');
  for (const tick of scale.ticks(days > 2 ? 8 : 5)) {
    const at = scale(tick);
    parts.push(element('line', { x1: at, y1: axis, x2: at, y2: axis + 5, stroke: colour('line') }));
    const text = format(tick);
    const half = textWidth(text, 11) / 2;
    if (at - half < 0 || at + half > WIDTH) continue;
    parts.push(label(at, axis + 17, text, { fill: colour('soft'), size: 11, anchor: 'middle' }));
  }
  for (const [i, { number, at }] of dated.entries()) {
    const y = axis - 14 - (lanes[i] ?? 0) * LANE;
    parts.push(
      element('line', {
        x1: x(at),
        y1: axis,
        x2: x(at),
        y2: numbered ? y : axis - 10,
        stroke: colour('ink'),
      }),
    );
    if (!numbered) continue;
    parts.push(
      element('circle', {
        cx: x(at),
        cy: y,
        r: DOT,
        fill: colour('paper'),
        stroke: colour('ink'),
        'stroke-width': 1.5,
      }),
      label(x(at), y + 4, String(number), { fill: colour('ink'), size: 10.5, anchor: 'middle', weight: 600 }),
    );
  }
  for (const [i, cure] of cures.entries()) parts.push(...cureBar(cure, below + i * CURE, x, colour));
  return drawing({ width: WIDTH, height, text: describe(dated, cures), theme }, parts.join(''));
}

/** A cure: bar, the moment it was loaded, and what it is. */
function cureBar(
  cure: ReportCure,
  top: number,
  x: (minutes: number) => number,
  colour: ReturnType<typeof paint>,
): readonly string[] {
  const [from, until] = [x(cure.from), x(cure.until)];
  const early = cure.loaded !== null && cure.loaded.minutes < cure.until;
  const ink = colour(early ? 'bad' : 'good');
  const text = `${cure.sealant} on ${cure.to}, ${cure.cure}`;
  const loaded = cure.loaded === null ? undefined : x(cure.loaded.minutes);
  const end = Math.max(until, loaded ?? 0) + 9;
  const fits = end + textWidth(text, 11) < WIDTH;
  return [
    element('rect', {
      x: from,
      y: top + 2,
      width: Math.max(3, until - from),
      height: 12,
      fill: colour('band'),
      stroke: ink,
      'stroke-width': 1,
    }),
    ...(loaded === undefined
      ? []
      : [
          element('path', {
            d: `M${loaded.toFixed(1)} ${top}l5 -0l-5 9l-5 -9z`,
            fill: ink,
            transform: 'translate(0 3)',
          }),
        ]),
    label(fits ? end : from - 9, top + 12, text, {
      fill: colour('soft'),
      size: 11,
      anchor: fits ? 'start' : 'end',
    }),
  ];
}

/** The lowest lane for each dot, from left to right, in which it does not touch the one before. */
function inLanes(xs: readonly number[]): readonly number[] {
  const ends: number[] = [];
  const lanes: number[] = new Array(xs.length).fill(0);
  for (const [i, at] of [...xs.entries()].sort((a, b) => a[1] - b[1] || a[0] - b[0])) {
    const free = ends.findIndex((end) => end + 2 <= at - DOT);
    const lane = free < 0 ? ends.length : free;
    ends[lane] = at + DOT;
    lanes[i] = lane;
  }
  return lanes;
}

function describe(
  dated: readonly { step: ReportStep; number: number }[],
  cures: readonly ReportCure[],
): string {
  const shown = dated.slice(0, 40).map(({ step, number }) => `${number} ${step.at ?? ''} ${step.text}`);
  const more = dated.length > shown.length ? `; and ${dated.length - shown.length} more steps` : '';
  const waits = cures.map(
    (cure) =>
      `${cure.sealant} on ${cure.to} from ${cure.applied}, cures in ${cure.cure}, ${cure.loaded === null ? 'not loaded since' : `${cure.loaded.what} ${cure.loaded.at}, ${cure.loaded.minutes < cure.until ? 'before' : 'after'} it had cured`}`,
  );
  return `Timeline. ${shown.join('; ')}${more}.${waits.length === 0 ? '' : ` Cures: ${waits.join('; ')}.`}`;
}
