/** A tool whose uncertainty is large against the limit that it is to judge. */
import { testUncertaintyRatio } from '../calculations/index.ts';
import { convertDifference, formatAmount, formatNumber } from '../quantities/index.ts';
import { decidingLimits, expandedUncertaintyOf, isSize } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { refOf, twoDigits } from './wording.ts';

/** Under the first it is a warning, under the second for information (4:1 is usual: ANSI/NCSL Z540.3). */
const LEAST_RATIO = 2;
const USUAL_RATIO = 4;

/**
 * Reports the first reading with each tool whose U is more than a quarter of half the limit's width. Sizes with two
 * ends only: a length that may be nothing (run-out, taper, a gap) has one.
 */
export const toolTooCoarse = rule({
  id: 'tool-too-coarse',
  severity: 'varies',
  worst: 'warning',
  title: 'tool too coarse for the limit',
  subject: 'characteristic',
  *check({ instances, name }) {
    const told = new Set<string>();
    for (const instance of instances) {
      const { declaration } = instance;
      if (declaration.expression !== undefined || instance.standing.length === 0) continue;
      const limits = decidingLimits(declaration, instance.fittedNew !== undefined);
      if (limits?.lower === undefined || limits.upper === undefined || !isSize(limits)) continue;
      const { unit, lower, upper } = limits;
      for (const reading of instance.standing) {
        const { tool } = reading.entry;
        const quantity = reading.high ?? reading.low;
        if (tool === undefined || quantity === undefined) continue;
        const key = `${tool.name} ${declaration.block.start} ${lower.value} ${upper.value}`;
        if (told.has(key)) continue;
        const stated = expandedUncertaintyOf(tool, quantity);
        const expanded = stated === undefined ? undefined : convertDifference(stated, quantity.unit, unit);
        if (expanded === undefined) continue;
        const ratio = testUncertaintyRatio({ lower: lower.value, upper: upper.value }, expanded);
        if (ratio === undefined || ratio >= USUAL_RATIO * (1 - 1e-9)) continue;
        told.add(key);
        const width = upper.value - lower.value;
        yield {
          at: reading.at,
          severity: ratio < LEAST_RATIO * (1 - 1e-9) ? 'warning' : 'information',
          message: `${tool.name} reads to within ${twoDigits(expanded, unit)} either way, and ${name} has ${formatAmount(width, unit, limits.decimals)} from end to end of its limit${refOf(declaration)}: ${formatNumber(ratio, 1)} to 1, where 4 to 1 is usual. Measure with a finer tool.`,
          related: [
            { at: tool.at, message: `${tool.name} is registered here` },
            { at: declaration.at, message: 'the limit stands here' },
          ],
        };
      }
    }
  },
});
