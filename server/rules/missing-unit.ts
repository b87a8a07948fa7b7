/** Number without a unit. */
import { unwritten, withUnit } from '../quantities/index.ts';
import { type Entry, locate, type Report, type Scope } from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';

/** The unit that the readings of an entry were probably taken in: that of their limit. */
function limitUnit(entry: Entry, { limits }: Scope): string | undefined {
  const declaration = limits.get(entry.targets[0]?.name ?? '')?.[0];
  return (declaration?.limit ?? declaration?.wear)?.unit;
}

/** A reading that neither has a unit nor takes one from `in`: it cannot be judged. */
function* bareReadings(entry: Entry, scope: Scope): Iterable<Report> {
  const bare = entry.readings.filter((one) => one.unitMissing);
  const [first] = bare;
  const { rows, broken, target, value } = entry.statement;
  // Where words are wanted, the number is told as no word.
  if (first === undefined || scope.limits.get(first.name)?.[0]?.words !== undefined) return;
  const unit = limitUnit(entry, scope);
  const { path, block } = entry;
  // The `:1` of a mixture is part of each number.
  if (rows.length > 0 && target !== undefined && (unit === undefined || unwritten(unit) !== '?')) {
    const end = locate(path, block, { start: target.end, end: target.end });
    const count =
      bare.length === 1 ? 'A value of this table has' : `${bare.length} values of this table have`;
    yield {
      at: first.at,
      message: `${count} no unit: say it once, behind ${first.name}, such as \`in ${unit ?? 'mm'}\`.`,
      // Behind a reading, `in` would be inches.
      ...(unit === undefined || broken || value !== undefined
        ? {}
        : { fixes: [{ title: `Write \`in ${unit}\``, edits: [{ ...end, text: ` in ${unit}` }] }] }),
    };
    return;
  }
  const { start, end } = first.at;
  const written = block.text.slice(start, end);
  yield {
    at: first.at,
    message: `\`${written}\` has no unit${unit === undefined ? '.' : `: write \`${withUnit(written, unit)}\`, in the unit of its limit.`}`,
    ...(unit === undefined
      ? {}
      : {
          fixes: [
            {
              title: `Write \`${withUnit(written, unit)}\``,
              edits: [{ ...first.at, start: end, text: withUnit('', unit) }],
            },
          ],
        }),
  };
}

/** Reports what the parser found, in its words, and readings that stand without any unit. */
export const missingUnit = rule({
  id: 'missing-unit',
  severity: 'error',
  title: 'number without a unit',
  subject: 'fault',
  check: () => [],
  also: {
    entry: (entry, { scope }) =>
      entry.readings.some((one) => one.unitMissing) ? bareReadings(entry, scope) : nothing,
  },
});
