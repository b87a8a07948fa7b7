/** A bore (or anything measured at section/direction) drawn as height against size, with its oval and its taper. */
import { formatNumber, withUnit } from '../../quantities/index.ts';
import { type Ends, scaleOf, writeEnds } from './limit-bar.ts';
import { type Drawing, type DrawingOptions, drawing, element, label, paint, textWidth } from './svg.ts';

export interface BoreReading {
  readonly section: string;
  readonly direction: string;
  readonly value: number;
  readonly verdict: 'inside' | 'past-new' | 'outside' | undefined;
}

/** Everything in one unit. */
export interface BoreMap {
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  /** From the top down, and side by side, as the limits list them. */
  readonly sections: readonly string[];
  readonly directions: readonly string[];
  readonly readings: readonly BoreReading[];
  readonly fresh?: Ends | undefined;
  readonly wear?: Ends | undefined;
}

/** The largest less the smallest; undefined under two values. */
function spreadOf(values: readonly number[]): number | undefined {
  return values.length < 2 ? undefined : Math.max(...values) - Math.min(...values);
}

function ovals(bore: BoreMap): readonly (number | undefined)[] {
  return bore.sections.map((section) =>
    spreadOf(bore.readings.filter((one) => one.section === section).map((one) => one.value)),
  );
}

function tapers(bore: BoreMap): readonly (number | undefined)[] {
  return bore.directions.map((direction) =>
    spreadOf(bore.readings.filter((one) => one.direction === direction).map((one) => one.value)),
  );
}

const largest = (values: readonly (number | undefined)[]): number | undefined => {
  const known = values.filter((value) => value !== undefined);
  return known.length === 0 ? undefined : Math.max(...known);
};

function describe(bore: BoreMap): string {
  const amount = (value: number) => withUnit(formatNumber(value, bore.decimals), bore.unit);
  const lines = bore.sections.map((section) => {
    const cells = bore.directions.map((direction) => {
      const reading = bore.readings.find((one) => one.section === section && one.direction === direction);
      return `${direction} ${reading === undefined ? 'not read' : amount(reading.value)}`;
    });
    return `${section}: ${cells.join(', ')}`;
  });
  const oval = largest(ovals(bore));
  const taper = largest(tapers(bore));
  const fresh = writeEnds(bore.fresh ?? {}, bore);
  const wear = writeEnds(bore.wear ?? {}, bore);
  const ends = [
    oval === undefined ? undefined : `out of round ${amount(oval)}`,
    taper === undefined ? undefined : `taper ${amount(taper)}`,
    fresh === undefined ? undefined : `new ${fresh}`,
    wear === undefined ? undefined : `wear ${wear}`,
  ].filter((one) => one !== undefined);
  return `${bore.name}. ${[...lines, ends.join(', ')].filter((one) => one !== '').join('; ')}.`;
}

const ROW = 34;
const PLOT = 96;

/** Draws one panel a direction: size to the right, sections from the top down, limits as lines, values beside the plot. */
export function drawBoreMap(bore: BoreMap, { theme }: DrawingOptions): Drawing {
  const colour = paint(theme);
  const left = 14 + Math.max(...bore.sections.map((section) => textWidth(section)), 20);
  const top = 24;
  const bottom = top + ROW * Math.max(1, bore.sections.length);
  const number = (value: number) => formatNumber(value, bore.decimals);
  const valueRoom = Math.max(...bore.readings.map((one) => textWidth(number(one.value), 11)), 16) + 6;
  const panel = PLOT + valueRoom + 16;
  const ovalRoom = bore.directions.length > 1 ? valueRoom + 8 : 0;
  const width = left + panel * Math.max(1, bore.directions.length) + ovalRoom;
  const height = bottom + 40;
  const [from, to] = scaleOf([
    ...[bore.fresh, bore.wear]
      .flatMap((ends) => [ends?.lower, ends?.upper])
      .filter((end) => end !== undefined),
    ...bore.readings.map((one) => one.value),
  ]);
  const soft = { fill: colour('soft'), size: 11 } as const;
  const parts: string[] = [];
  const middle = (row: number) => top + ROW * (row + 0.5);
  for (const [row, section] of bore.sections.entries())
    parts.push(label(left - 8, middle(row) + 4, section, { ...soft, anchor: 'end' }));
  for (const [column, direction] of bore.directions.entries()) {
    const start = left + panel * column;
    const span = PLOT;
    const x = (value: number) => start + ((value - from) / (to - from)) * span;
    parts.push(label(start + span / 2, 14, direction, { ...soft, anchor: 'middle', weight: 600 }));
    if (bore.fresh !== undefined) {
      const low = bore.fresh.lower === undefined ? start : x(bore.fresh.lower);
      const high = bore.fresh.upper === undefined ? start + span : x(bore.fresh.upper);
      parts.push(
        element('rect', {
          x: low,
          y: top,
          width: Math.max(1, high - low),
          height: bottom - top,
          fill: colour('band'),
        }),
      );
    }
    for (const end of [bore.wear?.lower, bore.wear?.upper])
      if (end !== undefined)
        parts.push(
          element('line', {
            x1: x(end),
            y1: top,
            x2: x(end),
            y2: bottom,
            stroke: colour('worn'),
            'stroke-width': 1.5,
            'stroke-dasharray': '4 3',
          }),
        );
    const points = bore.sections.flatMap((section, row) => {
      const reading = bore.readings.find((one) => one.section === section && one.direction === direction);
      return reading === undefined ? [] : [{ reading, x: x(reading.value), y: middle(row) }];
    });
    if (points.length > 1)
      parts.push(
        element('polyline', {
          points: points.map((one) => `${one.x.toFixed(1)},${one.y.toFixed(1)}`).join(' '),
          fill: 'none',
          stroke: colour('ink'),
          'stroke-width': 1.5,
        }),
      );
    for (const { reading, x: at, y } of points) {
      const fill = colour(
        reading.verdict === 'outside' ? 'bad' : reading.verdict === 'past-new' ? 'worn' : 'good',
      );
      parts.push(element('circle', { cx: at, cy: y, r: 4, fill }));
      parts.push(
        label(start + span + valueRoom, y + 4, number(reading.value), {
          fill: colour('ink'),
          size: 11,
          anchor: 'end',
        }),
      );
    }
    for (const [row, section] of bore.sections.entries())
      if (!points.some((one) => one.reading.section === section))
        parts.push(label(start + span / 2, middle(row) + 4, '?', { ...soft, anchor: 'middle' }));
    const taper = tapers(bore)[column];
    if (taper !== undefined)
      parts.push(
        label(start + span / 2, bottom + 16, `taper ${number(taper)}`, { ...soft, anchor: 'middle' }),
      );
  }
  if (bore.directions.length > 1) {
    parts.push(label(width - 8, 14, 'oval', { ...soft, anchor: 'end' }));
    for (const [row, oval] of ovals(bore).entries())
      if (oval !== undefined)
        parts.push(label(width - 8, middle(row) + 4, number(oval), { ...soft, anchor: 'end' }));
  }
  const limits = [
    writeEnds(bore.fresh ?? {}, bore),
    writeEnds(bore.wear ?? {}, bore) === undefined ? undefined : `wear ${writeEnds(bore.wear ?? {}, bore)}`,
  ].filter((one) => one !== undefined);
  parts.push(label(left, bottom + 33, limits.join('  '), soft));
  return drawing({ width, height, text: describe(bore), theme }, parts.join(''));
}
