/** The drawings of what a log records: a reading against its limit, a group of fasteners, a bore. */
import { convert, convertDifference, type Spread } from '../quantities/index.ts';
import {
  type Characteristic,
  type FastenerGroup,
  type Instance,
  isLocked,
  judgeReading,
  judgeValue,
  type MemberState,
  type Reading,
  readingUncertainty,
  readingValue,
  type Scope,
  type Value,
  workedUncertainty,
  workedValue,
  writeTarget,
} from '../rebuild/index.ts';
import {
  type BarReading,
  type BoreReading,
  type Drawing,
  type DrawingOptions,
  drawBoreMap,
  drawFastenerGroup,
  drawLimitBar,
  type Ends,
  type MemberProgress,
} from './drawings/index.ts';

/** A spread's ends in a unit. */
function endsIn(spread: Spread | undefined, unit: string): Ends | undefined {
  if (spread === undefined) return undefined;
  const end = (bound: { readonly value: number } | undefined) =>
    bound === undefined ? undefined : convert(bound.value, spread.unit, unit);
  return { lower: end(spread.lower), upper: end(spread.upper) };
}

/** How a member's limit is drawn: in its own unit. */
function scale({
  declaration,
}: Instance):
  | { unit: string; decimals: number; fresh: Ends | undefined; wear: Ends | undefined }
  | undefined {
  const { limit, wear } = declaration;
  const first = limit ?? wear;
  if (first === undefined) return undefined;
  return {
    unit: first.unit,
    decimals: Math.max(limit?.decimals ?? 0, wear?.decimals ?? 0),
    fresh: endsIn(limit, first.unit),
    wear: endsIn(wear, first.unit),
  };
}

/** Decimals that show values with every digit they were written with. */
function decimalsOf(
  drawn: { readonly unit: string; readonly decimals: number },
  values: readonly (Value | undefined)[],
): number {
  const own = values.map((value) =>
    value === undefined ? 0 : value.unit === drawn.unit ? value.decimals : drawn.decimals + 1,
  );
  return Math.max(drawn.decimals, ...own);
}

/** A value as a bar shows it; `u` is a standard uncertainty in the value's unit. */
function barReading(
  value: Value,
  instance: Instance,
  unit: string,
  u: number | undefined,
  history: boolean,
): BarReading | undefined {
  const end = (one: number | undefined) => (one === undefined ? undefined : convert(one, value.unit, unit));
  const low = end(value.low) ?? end(value.high);
  const high = end(value.high) ?? low;
  if (low === undefined || high === undefined) return undefined;
  return {
    low,
    high,
    uncertainty: u === undefined ? undefined : convertDifference(2 * u, value.unit, unit),
    verdict: judgeValue(value, instance.declaration, instance.fittedNew !== undefined)?.verdict,
    history,
  };
}

/** A reading against its limit; undefined for words and where the limit has no range. */
export function pictureOfReading(
  reading: Reading,
  instance: Instance,
  options: DrawingOptions,
): Drawing | undefined {
  const drawn = scale(instance);
  const value = readingValue(reading);
  if (drawn === undefined || value === undefined) return undefined;
  const { low, high } = readingUncertainty(reading, instance);
  const history = instance.readings.some((one) => one.reading === reading && one.history !== undefined);
  const bar = barReading(value, instance, drawn.unit, high ?? low, history);
  if (bar === undefined) return undefined;
  const name = writeTarget(reading.name, reading.item, reading.place);
  return drawLimitBar({ ...drawn, name, decimals: decimalsOf(drawn, [value]), readings: [bar] }, options);
}

/** More readings of one member than this hide one another: the last ones are drawn. */
const MOST_READINGS = 12;

/** What a member comes to against its limit: its worked-out value, else every reading of it. */
export function pictureOfInstance(
  characteristic: Characteristic,
  instance: Instance,
  options: DrawingOptions,
): Drawing | undefined {
  const drawn = scale(instance);
  if (drawn === undefined) return undefined;
  const worked = workedValue(instance);
  const readings =
    worked !== undefined
      ? [barReading(worked, instance, drawn.unit, workedUncertainty(characteristic, instance).high, false)]
      : instance.readings.slice(-MOST_READINGS).map(({ reading, history }) => {
          const value = readingValue(reading);
          return value === undefined
            ? undefined
            : barReading(
                value,
                instance,
                drawn.unit,
                readingUncertainty(reading, instance).high,
                history !== undefined,
              );
        });
  const known = readings.filter((one) => one !== undefined);
  if (known.length === 0) return undefined;
  const values =
    worked === undefined ? instance.readings.map(({ reading }) => readingValue(reading)) : [worked];
  return drawLimitBar(
    {
      ...drawn,
      name: writeTarget(characteristic.name, instance.item),
      decimals: decimalsOf(drawn, values.slice(-MOST_READINGS)),
      readings: known,
    },
    options,
  );
}

/** A member whose places are `section/direction`, as height against size; undefined for anything else. */
export function pictureOfBore(
  name: string,
  instance: Instance,
  options: DrawingOptions,
): Drawing | undefined {
  const drawn = scale(instance);
  const places = instance.declaration.places.items.map((place) => place.split('/'));
  if (drawn === undefined || places.length < 2 || places.some((place) => place.length !== 2))
    return undefined;
  let { decimals } = drawn;
  const readings = instance.standing.flatMap((reading): BoreReading[] => {
    const judged = judgeReading(reading, instance.declaration, instance.fittedNew !== undefined);
    const [section, direction] = reading.place.split('/');
    const end = judged?.value.high ?? judged?.value.low;
    const value =
      judged === undefined || end === undefined ? undefined : convert(end, judged.value.unit, drawn.unit);
    if (judged === undefined || value === undefined || section === undefined || direction === undefined)
      return [];
    if (judged.value.unit === drawn.unit) decimals = Math.max(decimals, judged.value.decimals);
    return [{ section, direction, value, verdict: judged.judgement.verdict }];
  });
  if (readings.length === 0) return undefined;
  return drawBoreMap(
    {
      ...drawn,
      decimals,
      name: writeTarget(name, instance.item),
      sections: [...new Set(places.map(([section]) => section ?? ''))],
      directions: [...new Set(places.map(([, direction]) => direction ?? ''))],
      readings,
    },
    options,
  );
}

function progressOf(member: MemberState): MemberProgress {
  if (member.done) return 'done';
  if (member.tightenings.length > 0) return 'on-the-way';
  if (member.fingerTight !== undefined) return 'finger-tight';
  return member.loosened === undefined ? 'due' : 'loosened';
}

/** A group of fasteners as it lies, with what is done. */
export function pictureOfGroup(group: FastenerGroup, scope: Scope, options: DrawingOptions): Drawing {
  const { declaration } = group;
  const { lock } = declaration;
  return drawFastenerGroup(
    {
      name: group.name,
      layout: declaration.layout,
      order: declaration.order,
      stageCount: group.stageCount,
      members: group.members.map((member) => ({
        item: member.item,
        progress: progressOf(member),
        stage: Math.max(0, ...member.tightenings.map((one) => one.stage ?? 0)),
        striped: member.striped !== undefined,
        locked: lock === undefined ? undefined : isLocked(member, scope.sealants.has(lock)),
      })),
    },
    options,
  );
}
