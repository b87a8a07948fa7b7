/** The machine run before a sealant or threadlocker had cured. */
import { convert, formatQuantity } from '../quantities/index.ts';
import { curingsOf, minutesApart, subjectAt } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { spokenSpan } from './wording.ts';

/** Reports the first run that came too soon after a sealant or threadlocker was put on, or that may have. */
export const runBeforeCure = rule({
  id: 'run-before-cure',
  severity: 'error',
  title: 'run before a sealant had cured',
  subject: 'rebuild',
  *check(rebuild) {
    for (const { applied, sealant, to, runs, undone } of curingsOf(rebuild)) {
      if (undone) continue;
      const cure =
        sealant.cure === undefined ? undefined : convert(sealant.cure.value, sealant.cure.unit, 'min');
      const run = runs[0];
      if (sealant.cure === undefined || cure === undefined || run === undefined) continue;
      const had = minutesApart(rebuild, applied, run);
      if (had === undefined || had.least >= cure) continue;
      const proved = had.most < cure;
      const what = `${sealant.name} on ${to.name}`;
      yield {
        at: subjectAt(run),
        severity: proved ? 'error' : 'warning',
        message: proved
          ? `${what} had ${spokenSpan(had)} before this run, and needs ${formatQuantity(sealant.cure)} to cure. Look at it again before the next.`
          : `It cannot be shown that ${what} had cured before this run: it had ${spokenSpan(had)}, and needs ${formatQuantity(sealant.cure)}. Give the times, such as at 14:20.`,
        related: [
          { at: subjectAt(applied), message: 'it was put on here' },
          { at: sealant.at, message: 'how long it takes is stated here' },
        ],
      };
    }
  },
});
