/** A joint loaded before its sealant had cured. */
import { convert, formatQuantity } from '../quantities/index.ts';
import {
  type Curing,
  curingsOf,
  minutesApart,
  type Rebuild,
  type Report,
  subjectAt,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { spokenSpan } from './wording.ts';

/** What is to be said of the first torque that came too soon, or may have. */
function tooSoon(rebuild: Rebuild, { applied, sealant, to, closings, undone }: Curing): Report | undefined {
  const cure = sealant.cure === undefined ? undefined : convert(sealant.cure.value, sealant.cure.unit, 'min');
  if (undone || sealant.torqued !== 'cured' || sealant.cure === undefined || cure === undefined)
    return undefined;
  for (const torqued of closings) {
    if (torqued.kind !== 'torque') continue;
    const had = minutesApart(rebuild, applied, torqued);
    if (had === undefined || had.least >= cure) continue;
    const what = `${sealant.name} on ${to.name}`;
    const needs = formatQuantity(sealant.cure);
    const proved = had.most < cure;
    return {
      at: subjectAt(torqued),
      severity: proved ? 'error' : 'warning',
      message: proved
        ? `${what} had ${spokenSpan(had)} before this torque, and needs ${needs} to cure. Until then its bolts are finger-tight: take the joint apart, clean it and seal it anew.`
        : `It cannot be shown that ${what} had cured: it had ${spokenSpan(had)} before this torque, and needs ${needs}. Give the times, such as \`at 17:52\`.`,
      related: [
        { at: subjectAt(applied), message: 'it was put on here' },
        { at: sealant.at, message: 'how long it takes is stated here' },
      ],
    };
  }
  return undefined;
}

/** Reports the first torque on a joint that came before its sealant had cured, or that may have. */
export const torqueBeforeCure = rule({
  id: 'torque-before-cure',
  severity: 'error',
  title: 'torqued before the sealant had cured',
  subject: 'rebuild',
  *check(rebuild) {
    for (const curing of curingsOf(rebuild)) {
      const report = tooSoon(rebuild, curing);
      if (report !== undefined) yield report;
    }
  },
});
