/** A value that was measured and is also worked out from its parts, and the two contradict each other. */
import { formatAmount } from '../quantities/index.ts';
import { disagreementWith, readingValue, workedValue, writeTarget } from '../rebuild/index.ts';
import { relatedReadings } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { twoDigits } from './wording.ts';

/**
 * Reports standing readings of a derived limit that differ from what its parts give by more than the uncertainty of
 * both (k = 2). Where a tool states none, a division is taken for it, or the last digit that was written.
 */
export const derivedDisagrees = rule({
  id: 'derived-disagrees',
  severity: 'warning',
  title: 'measured and worked out, and not the same',
  subject: 'characteristic',
  *check(characteristic) {
    if (!characteristic.derived) return;
    for (const instance of characteristic.instances) {
      const value = workedValue(instance);
      if (value === undefined || instance.worked === undefined || instance.worked.missing.length > 0)
        continue;
      for (const reading of instance.standing) {
        const found = disagreementWith(reading, characteristic, instance);
        const measured = readingValue(reading);
        if (found === undefined || measured === undefined) continue;
        if (found.apart <= found.explained * (1 + 1e-9)) continue;
        const decimals = Math.max(measured.decimals, value.unit === measured.unit ? value.decimals : 0);
        yield {
          at: reading.at,
          message: `${writeTarget(characteristic.name, reading.item, reading.place)} was measured as ${measured.text}, and its parts give ${value.text}: they are ${formatAmount(found.apart, measured.unit, decimals)} apart, and the readings explain ${twoDigits(found.explained, measured.unit)}. One of them is off: measure again.`,
          related: [
            { at: instance.declaration.at, message: 'it is worked out so' },
            ...relatedReadings(instance),
          ],
        };
      }
    }
  },
});
