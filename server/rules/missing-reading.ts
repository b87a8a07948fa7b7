/** Readings that the log must have and does not. */
import {
  type Characteristic,
  type Instance,
  judgeValue,
  type Location,
  locate,
  type Reading,
  type Report,
  rangeForMissing,
  staleReadings,
  workedValue,
  writeMembers,
  writeMissingRange,
  writeTarget,
} from '../rebuild/index.ts';
import { placeOfWorked, relatedReadings } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** A `?`, not an empty cell. */
function isWrittenPlaceholder({ placeholder, at }: Reading): boolean {
  return placeholder && at.end > at.start;
}

/** The last line that measured something of it, else the limit. */
function placeFor(instance: Instance): Location {
  const last = instance.readings.at(-1)?.reading.entry;
  if (last === undefined) return instance.declaration.at;
  return locate(last.path, last.block, last.statement.target ?? last.statement);
}

/** A derived limit that lacks one reading only: what that one may be. For information, whatever the state. */
function* lastOneMissing(characteristic: Characteristic, instance: Instance): Iterable<Report> {
  const { worked, declaration } = instance;
  const at = placeOfWorked(instance);
  if (worked === undefined || worked.missing.length === 0 || at === undefined) return;
  // What is past its limit already is told as such.
  const value = workedValue(instance);
  const judgement =
    value === undefined ? undefined : judgeValue(value, declaration, instance.fittedNew !== undefined);
  if (judgement?.verdict === 'outside') return;
  const range = rangeForMissing(characteristic, instance);
  // A place beside others of the same member that were read is nothing to choose.
  if (range === undefined || (range.places[0] !== '' && value !== undefined)) return;
  yield {
    at,
    severity: 'information',
    message: `For ${writeTarget(characteristic.name, instance.item)} one reading is missing yet: ${writeMissingRange(range)}${refOf(declaration)}.`,
    related: [{ at: declaration.at, message: 'it is worked out so' }, ...relatedReadings(instance)],
  };
}

/** Reports members of a required or begun characteristic with no reading that stands, and the places without one. */
export const missingReading = rule({
  id: 'missing-reading',
  severity: 'by-state',
  title: 'reading not taken',
  subject: 'characteristic',
  *check(characteristic) {
    const { name, instances, required, declarations } = characteristic;
    for (const instance of instances) yield* lastOneMissing(characteristic, instance);
    const begun = instances.some((instance) => instance.readings.length > 0);
    if (!required && !begun) return;
    const untouched = instances.filter(
      (instance) =>
        instance.readings.length === 0 &&
        instance.missing.length > 0 &&
        instance.declaration.expression === undefined,
    );
    const first = declarations[0];
    if (first !== undefined && untouched.length > 0) {
      const names = writeMembers(
        name,
        untouched.map((instance) => instance.item),
      );
      yield {
        at: first.at,
        message: `${names} ${untouched.length === 1 ? 'has' : 'have'} no reading yet${first.ref === undefined ? '' : ` (ref ${first.ref})`}.`,
      };
    }
    for (const instance of instances) {
      if (instance.readings.length === 0) continue;
      // What was read and is due again is told by the rule stale.
      const again = new Set(staleReadings(instance).map(({ reading }) => reading.place));
      // What stands in the log as `?` is told by the rule open-item, at the very place.
      const asked = new Set(instance.standing.filter(isWrittenPlaceholder).map((reading) => reading.place));
      const missing = again.has('')
        ? []
        : instance.missing.filter((place) => !again.has(place) && !asked.has(place));
      if (missing.length === 0) continue;
      const ref = instance.declaration.ref === undefined ? '' : ` (ref ${instance.declaration.ref})`;
      const what =
        missing[0] === '' ? 'has no reading that stands' : `has no reading at ${missing.join(', ')}`;
      const found = instance.readings.some(
        ({ reading, history }) =>
          history === 'as found' &&
          (missing[0] === '' || reading.place === '' || missing.includes(reading.place)),
      );
      yield {
        at: placeFor(instance),
        message: `${writeTarget(name, instance.item)} ${what}${found ? ` but ${missing.length === 1 ? 'the one taken `as found`, which tells' : 'those taken `as found`, which tell'} how it came in` : ''}${ref}.`,
        related: [{ at: instance.declaration.at, message: 'the limit asks for it here' }],
      };
    }
  },
});
