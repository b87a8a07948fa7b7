/** A reading against its limit: a scale with the range for new parts, the wear limits, and the reading's uncertainty. */
import { formatNumber, withUnit } from '../../quantities/index.ts';
import { type Drawing, type DrawingOptions, drawing, element, label, paint } from './svg.ts';

/** Either end may be open. */
export interface Ends {
  readonly lower?: number | undefined;
  readonly upper?: number | undefined;
}

export interface BarReading {
  /** Both ends of what was read or worked out; the same for one value. */
  readonly low: number;
  readonly high: number;
  /** Expanded uncertainty, where it is known. */
  readonly uncertainty?: number | undefined;
  readonly verdict: 'inside' | 'past-new' | 'outside' | undefined;
  /** No longer stands: drawn hollow. */
  readonly history?: boolean;
}

/** Everything in one unit. */
export interface LimitBar {
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  readonly fresh?: Ends | undefined;
  readonly wear?: Ends | undefined;
  readonly readings: readonly BarReading[];
}

const verdictWords = {
  inside: 'inside the limit',
  'past-new': 'past the range for new parts, inside the wear limit',
  outside: 'past its limit',
};

/** A value with its unit at the decimals of the drawing. */
function amount(value: number, { decimals, unit }: { decimals: number; unit: string }): string {
  return withUnit(formatNumber(value, decimals), unit);
}

/** `0.060..0.120 mm`, `<= 0.05 mm`, or undefined when both ends are open. */
export function writeEnds(
  { lower, upper }: Ends,
  scale: { decimals: number; unit: string },
): string | undefined {
  if (lower !== undefined && upper !== undefined)
    return `${formatNumber(lower, scale.decimals)}..${amount(upper, scale)}`;
  if (upper !== undefined) return `<= ${amount(upper, scale)}`;
  return lower === undefined ? undefined : `>= ${amount(lower, scale)}`;
}

function describe(bar: LimitBar): string {
  const fresh = writeEnds(bar.fresh ?? {}, bar);
  const wear = writeEnds(bar.wear ?? {}, bar);
  const limits = [
    fresh === undefined ? undefined : `new ${fresh}`,
    wear === undefined ? undefined : `wear ${wear}`,
  ].filter((one) => one !== undefined);
  const readings = bar.readings.map((reading) => {
    const value =
      reading.low === reading.high
        ? amount(reading.high, bar)
        : `${formatNumber(reading.low, bar.decimals)}..${amount(reading.high, bar)}`;
    const give = reading.uncertainty === undefined ? '' : ` ± ${amount(reading.uncertainty, bar)}`;
    const verdict = reading.verdict === undefined ? '' : `, ${verdictWords[reading.verdict]}`;
    return `${value}${give}${verdict}${reading.history === true ? ' (history)' : ''}`;
  });
  return `${bar.name}: ${readings.length === 0 ? 'no reading' : readings.join('; ')}. Limit: ${limits.length === 0 ? 'none' : limits.join(', ')}.`;
}

/** The scale: from below the lowest to above the highest of everything shown. */
export function scaleOf(values: readonly number[]): readonly [low: number, high: number] {
  const known = values.filter(Number.isFinite);
  if (known.length === 0) return [0, 1];
  const low = Math.min(...known);
  const high = Math.max(...known);
  const room = high > low ? (high - low) * 0.12 : Math.abs(high) * 0.1 || 1;
  return [low - room, high + room];
}

/** Draws it 360 by 64 pixels; `compact` without numbers, 200 by 26, to stand beside them in a table. */
export function drawLimitBar(
  bar: LimitBar,
  { theme, compact = false }: DrawingOptions & { readonly compact?: boolean },
): Drawing {
  const colour = paint(theme);
  const width = compact ? 200 : 360;
  const height = compact ? 26 : 64;
  const left = 8;
  const right = width - 8;
  const axis = compact ? 13 : 30;
  const [from, to] = scaleOf([
    ...[bar.fresh, bar.wear].flatMap((ends) => [ends?.lower, ends?.upper]).filter((end) => end !== undefined),
    ...bar.readings.flatMap(({ low, high, uncertainty = 0 }) => [low - uncertainty, high + uncertainty]),
  ]);
  const x = (value: number) => left + ((value - from) / (to - from)) * (right - left);
  const parts: string[] = [];
  const band = (ends: Ends, fill: string, half: number) => {
    const start = ends.lower === undefined ? left : x(ends.lower);
    const end = ends.upper === undefined ? right : x(ends.upper);
    parts.push(
      element('rect', {
        x: start,
        y: axis - half,
        width: Math.max(1, end - start),
        height: 2 * half,
        fill,
      }),
    );
  };
  const has = (ends: Ends | undefined) => ends?.lower !== undefined || ends?.upper !== undefined;
  if (bar.fresh !== undefined && has(bar.fresh)) band(bar.fresh, colour('band'), 10);
  parts.push(
    element('line', { x1: left, y1: axis, x2: right, y2: axis, stroke: colour('line'), 'stroke-width': 1 }),
  );
  const written: { x: number; text: string }[] = [];
  const tick = (value: number | undefined, stroke: string, dash: string | undefined) => {
    if (value === undefined) return;
    parts.push(
      element('line', {
        x1: x(value),
        y1: axis - 12,
        x2: x(value),
        y2: axis + 12,
        stroke,
        'stroke-width': 1.5,
        'stroke-dasharray': dash,
      }),
    );
    written.push({ x: x(value), text: formatNumber(value, bar.decimals) });
  };
  tick(bar.fresh?.lower, colour('good'), undefined);
  tick(bar.fresh?.upper, colour('good'), undefined);
  tick(bar.wear?.lower, colour('worn'), '3 2');
  tick(bar.wear?.upper, colour('worn'), '3 2');
  for (const reading of bar.readings) {
    const fill = colour(
      reading.verdict === 'outside' ? 'bad' : reading.verdict === 'past-new' ? 'worn' : 'good',
    );
    const low = reading.low - (reading.uncertainty ?? 0);
    const high = reading.high + (reading.uncertainty ?? 0);
    if (high > low) {
      parts.push(
        element('line', { x1: x(low), y1: axis, x2: x(high), y2: axis, stroke: fill, 'stroke-width': 3 }),
      );
      for (const end of [low, high])
        parts.push(
          element('line', {
            x1: x(end),
            y1: axis - 5,
            x2: x(end),
            y2: axis + 5,
            stroke: fill,
            'stroke-width': 1.5,
          }),
        );
    }
    const at = x((reading.low + reading.high) / 2);
    // A diamond, so that the mark is told from the limits without colour too.
    parts.push(
      element('path', {
        d: `M${f(at)} ${axis - 7}l5 7l-5 7l-5 -7z`,
        fill: reading.history === true ? 'none' : fill,
        stroke: fill,
        'stroke-width': 1.5,
      }),
    );
  }
  if (compact) return drawing({ width, height, text: describe(bar), theme }, parts.join(''));
  parts.push(...limitLabels(written, left, right, axis + 26, colour('soft')));
  const first = bar.readings.find((reading) => reading.history !== true);
  if (first !== undefined) {
    const at = Math.min(right - 24, Math.max(left + 24, x((first.low + first.high) / 2)));
    const value =
      first.low === first.high
        ? formatNumber(first.high, bar.decimals)
        : `${formatNumber(first.low, bar.decimals)}..${formatNumber(first.high, bar.decimals)}`;
    parts.push(label(at, 12, value, { fill: colour('ink'), anchor: 'middle', weight: 600 }));
  }
  return drawing({ width, height, text: describe(bar), theme }, parts.join(''));
}

function f(value: number): string {
  return value.toFixed(1);
}

/** Numbers under their ticks; one that would run into the one before it is left out. */
function limitLabels(
  written: readonly { x: number; text: string }[],
  left: number,
  right: number,
  y: number,
  fill: string,
): string[] {
  const labels: string[] = [];
  let end = Number.NEGATIVE_INFINITY;
  for (const { x, text } of [...written].sort((a, b) => a.x - b.x)) {
    const half = (text.length * 11 * 0.6) / 2;
    const at = Math.min(right - half, Math.max(left + half, x));
    if (at - half < end + 4) continue;
    end = at + half;
    labels.push(label(at, y, text, { fill, size: 11, anchor: 'middle' }));
  }
  return labels;
}
