/** Wear over hours: every reading of a machine over all its logs, a line through them, and when it reaches its limit. */
import {
  type Crossing,
  fitLine,
  type Interval,
  type LineFit,
  type Point,
  predict,
  whenReached,
} from '../calculations/index.ts';
import {
  computedQuantity,
  convert,
  convertedDecimals,
  formatNumber,
  spreadIn,
  type UnitSystem,
  unitInSystem,
  withUnit,
} from '../quantities/index.ts';
import {
  type Characteristic,
  type Entry,
  type Instance,
  judgeReading,
  machineHours,
  type Reading,
  type Rebuild,
  readingValue,
  takenAs,
  type Value,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';

/** A checked log. */
export interface TrendSource {
  readonly path: string;
  readonly rebuild: Rebuild;
  /** The system of units that the team reads in; the newest log's counts. */
  readonly units?: UnitSystem | undefined;
}

export interface TrendPoint {
  readonly hours: number;
  /** In the unit of the trend: the reading nearest the limit, of the places read at one time. */
  readonly value: number;
  /** `found` before the work of that log, `left` after it. */
  readonly as: 'found' | 'left';
  readonly path: string;
  /** The line of the reading, from 1; null for a value that is worked out. */
  readonly line: number | null;
}

/** When a wear limit is reached. */
export interface TrendProjection {
  readonly limit: number;
  readonly hours: number;
  /** Within which the hours lie at 95 % (Fieller); null when the slope could as well be nothing. */
  readonly interval: Interval | null;
}

export interface Trend {
  readonly machine: string;
  /** `bore[rear]`. */
  readonly target: string;
  readonly unit: string;
  readonly decimals: number;
  /** All readings, in the order of hours; a new or reworked part begins a new life. */
  readonly lives: readonly (readonly TrendPoint[])[];
  readonly newRange: Partial<Interval> | null;
  readonly wearLimit: Partial<Interval> | null;
  /** Through the readings of the part that is in now; null with the reason in `refused`. */
  readonly line: LineFit | null;
  readonly projection: TrendProjection | null;
  /** Why there is no line or no projection, in words for the user. */
  readonly refused: string | null;
}

/** A projection needs this many readings: with fewer there is no measure of their scatter. */
const FEWEST = 3;

/** The trends of all machines in the logs, by machine and then as the limits declare them. */
export function trendsOf(logs: readonly TrendSource[]): readonly Trend[] {
  const machines = new Map<string, TrendSource[]>();
  for (const log of logs) {
    const machine = log.rebuild.scope.machine;
    if (machine?.serial === undefined || log.rebuild.state === null) continue;
    const key = `${machine.name} no. ${machine.serial}`;
    machines.set(key, [...(machines.get(key) ?? []), log]);
  }
  return [...machines].flatMap(([machine, own]) => trendsOfMachine(machine, own));
}

/** A point in the unit of its own log's limit, with the decimals that show it there. */
type OwnPoint = TrendPoint & { readonly unit: string; readonly decimals: number };

interface Series {
  readonly name: string;
  /** Of the newest log: its limit holds. */
  readonly instance: Instance;
  readonly units: UnitSystem | undefined;
  readonly lives: OwnPoint[][];
}

function trendsOfMachine(machine: string, logs: readonly TrendSource[]): readonly Trend[] {
  const inOrder = logs
    .map((log) => ({ log, hours: machineHours({ ...log.rebuild, runs: [] }) }))
    .filter((one): one is { log: TrendSource; hours: number } => one.hours !== undefined)
    .sort((a, b) => a.hours - b.hours);
  const series = new Map<string, Series>();
  for (const { log } of inOrder)
    for (const characteristic of log.rebuild.characteristics)
      for (const instance of characteristic.instances) addLog(series, log, characteristic, instance);
  return [...series.values()].flatMap((one) => {
    const trend = trendOf(machine, one);
    return trend === undefined ? [] : [trend];
  });
}

function unitOf({ declaration }: Instance): string | undefined {
  return (declaration.wear ?? declaration.limit)?.unit;
}

function addLog(
  series: Map<string, Series>,
  log: TrendSource,
  characteristic: Characteristic,
  instance: Instance,
): void {
  const key = `${characteristic.name}[${instance.item}]`;
  const unit = unitOf(instance);
  if (unit === undefined) return;
  const known = series.get(key);
  const lives = known?.lives ?? [[]];
  const renewed = instance.renewals.length > 0;
  const before = worstOf(log, instance, unit, readingsBefore(instance), 'found');
  const after = worstOf(log, instance, unit, instance.standing, 'left') ?? workedPoint(log, instance, unit);
  // The same part measured twice with nothing done to it is one point.
  if (before !== undefined && (renewed || after === undefined)) lives.at(-1)?.push(before);
  if (renewed && (lives.at(-1)?.length ?? 0) > 0) lives.push([]);
  if (after !== undefined) lives.at(-1)?.push(after);
  series.set(key, { name: characteristic.name, instance, units: log.units, lives });
}

/** The readings of what was in before a log renewed it, where it did: those as found, and those that the renewal ended. */
function readingsBefore({ readings, renewals }: Instance): readonly Reading[] {
  const first = Math.min(...renewals.map(({ at }) => at));
  return readings
    .filter(
      ({ reading: { entry }, history }) =>
        takenAs(entry) === 'found' ||
        ((history === 'replaced' || history === 'reworked') && entry.index < first),
    )
    .map(({ reading }) => reading);
}

/** The reading that is nearest its limit, or furthest past it. */
function worstOf(
  log: TrendSource,
  instance: Instance,
  unit: string,
  readings: readonly Reading[],
  as: TrendPoint['as'],
): OwnPoint | undefined {
  const wear = instance.declaration.wear ?? instance.declaration.limit;
  let worst: { value: number; decimals: number; reading: Reading } | undefined;
  for (const reading of readings) {
    const value = readingValue(reading);
    const end = wear?.upper === undefined ? (value?.low ?? value?.high) : (value?.high ?? value?.low);
    const inUnit = value === undefined || end === undefined ? undefined : convert(end, value.unit, unit);
    if (inUnit === undefined || judgeReading(reading, instance.declaration, false) === undefined) continue;
    const isWorse =
      worst === undefined || (wear?.upper === undefined ? inUnit < worst.value : inUnit > worst.value);
    if (isWorse && value !== undefined && end !== undefined)
      worst = { value: inUnit, decimals: decimalsIn(end, value, unit), reading };
  }
  if (worst === undefined) return undefined;
  const hours = machineHours(log.rebuild, worst.reading.entry);
  const line = worst.reading.entry.block.line + 1;
  return hours === undefined
    ? undefined
    : { hours, value: worst.value, decimals: worst.decimals, unit, as, path: log.path, line };
}

/** What a derived limit comes to, at the hours of the last reading that it is worked out from. */
function workedPoint(log: TrendSource, instance: Instance, unit: string): OwnPoint | undefined {
  const value = workedValue(instance);
  const wear = instance.declaration.wear ?? instance.declaration.limit;
  const end = wear?.upper === undefined ? value?.low : value?.high;
  const inUnit = value === undefined || end === undefined ? undefined : convert(end, value.unit, unit);
  const last = instance.worked?.readings.reduce<Entry | undefined>(
    (latest, { entry }) => (latest === undefined || latest.index < entry.index ? entry : latest),
    undefined,
  );
  const hours = machineHours(log.rebuild, last);
  return value === undefined || end === undefined || inUnit === undefined || hours === undefined
    ? undefined
    : {
        hours,
        value: inUnit,
        decimals: decimalsIn(end, value, unit),
        unit,
        as: 'left',
        path: log.path,
        line: null,
      };
}

/** The decimals that a value carries in another unit, as it was written in its own. */
function decimalsIn(
  end: number,
  { decimals, unit: own }: Pick<Value, 'decimals' | 'unit'>,
  unit: string,
): number {
  return own === unit ? decimals : (convertedDecimals(computedQuantity(end, decimals, own), unit) ?? 0);
}

function trendOf(machine: string, { name, instance, units, lives }: Series): Trend | undefined {
  const own = unitOf(instance);
  if (own === undefined) return undefined;
  const { limit, wear } = instance.declaration;
  const bound = (wear ?? limit)?.upper ?? (wear ?? limit)?.lower;
  const unit = (units === undefined ? undefined : unitInSystem(own, bound?.value ?? 0, units)) ?? own;
  const full = lives
    // The part that is in now may have no reading yet.
    .filter((life, i) => life.length > 0 || i === lives.length - 1)
    .map((life) =>
      life.flatMap(({ unit: from, decimals: _, ...point }) => {
        const value = convert(point.value, from, unit);
        return value === undefined ? [] : [{ ...point, value }];
      }),
    );
  if (full.flat().length === 0) return undefined;
  const spreads = [limit, wear].map((spread) => (spread === undefined ? undefined : spreadIn(spread, unit)));
  const [newRange = null, wearLimit = null] = spreads.map((spread): Partial<Interval> | null =>
    spread === undefined
      ? null
      : {
          ...(spread.lower === undefined ? {} : { lower: spread.lower.value }),
          ...(spread.upper === undefined ? {} : { upper: spread.upper.value }),
        },
  );
  const base = {
    machine,
    target: writeTarget(name, instance.item),
    unit,
    decimals: Math.max(
      ...spreads.map((spread) => spread?.decimals ?? 0),
      ...lives
        .flat()
        .map(({ value, decimals, unit: from }) => decimalsIn(value, { decimals, unit: from }, unit)),
    ),
    lives: full,
    newRange,
    wearLimit,
  };
  return { ...base, ...projectionOf(full.at(-1) ?? [], wearLimit ?? newRange) };
}

function projectionOf(
  life: readonly TrendPoint[],
  limit: Partial<Interval> | null,
): Pick<Trend, 'line' | 'projection' | 'refused'> {
  const none = (refused: string, line: LineFit | null = null) => ({ line, projection: null, refused });
  const points: readonly Point[] = life.map(({ hours, value }) => ({ x: hours, y: value }));
  if (points.length < FEWEST)
    return none(
      `not enough readings: ${points.length} of the part that is in now, and ${FEWEST} are needed to tell wear from scatter`,
    );
  const line = fitLine(points);
  if ('refused' in line) return none(`no line: ${line.explanation}`);
  const upper = limit?.upper;
  const lower = limit?.lower;
  const target = line.slope > 0 ? upper : lower;
  if (target === undefined)
    return none(
      line.slope === 0
        ? 'it does not change, so it never reaches a limit'
        : `it ${line.slope > 0 ? 'grows' : 'shrinks'}, and there is no limit on that side`,
      line,
    );
  const crossing: Crossing | { readonly refused: string } = whenReached(line, target);
  if ('refused' in crossing) return none('it does not change, so it never reaches a limit', line);
  const projection = { limit: target, hours: crossing.x, interval: crossing.interval ?? null };
  // A perfect line through few points has no scatter of its own to reckon with, and an interval of no width.
  if (crossing.interval === undefined)
    return {
      line,
      projection: null,
      refused: 'the readings scatter too much for their change: the wear could as well be nothing',
    };
  return { line, projection, refused: null };
}

/** The band of the line at some hours, at 95 %; undefined where it has none. */
export function bandAt(line: LineFit, hours: number): Interval | undefined {
  return predict(line, hours).lineBand;
}

/** `about 480 h (between 430 h and 590 h)`, or the reason why not. */
export function projectionText({ projection, refused, unit, decimals, lives }: Trend): string {
  if (projection === null) return refused ?? 'no projection';
  const hours = (value: number) => `${formatNumber(Math.max(0, value), 0)} h`;
  const limit = withUnit(formatNumber(projection.limit, decimals), unit);
  const { interval } = projection;
  // Readings on one line leave no scatter to tell a band from.
  const between =
    interval === null || hours(interval.lower) === hours(interval.upper)
      ? ''
      : ` (95 % between ${hours(interval.lower)} and ${hours(interval.upper)})`;
  const last = lives.at(-1)?.at(-1)?.hours ?? 0;
  return `${projection.hours <= last ? 'reached' : 'reaches'} ${limit} at about ${hours(projection.hours)}${between}`;
}
