/** Inspections that the log must have and does not. */
import { locate } from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Reports inspections of a covered assembly, or of what the log fitted or closed, that are not recorded. */
export const missingInspection = rule({
  id: 'missing-inspection',
  severity: 'by-state',
  title: 'inspection not recorded',
  subject: 'rebuild',
  *check(rebuild) {
    for (const { name, declaration, state, required, touched } of rebuild.inspections) {
      if (declaration === undefined || state !== 'not-done' || !(required || touched !== undefined)) continue;
      const target = touched?.targets.find((one) => one.name === declaration.of?.name)?.node;
      const by = declaration.needs === 'inspector' ? ', by an inspector' : '';
      const below = lastEntry(rebuild);
      yield {
        at:
          touched === undefined || target === undefined
            ? declaration.at
            : locate(touched.path, touched.block, target),
        message: `${name} is not recorded yet${refOf(declaration)}: "${declaration.text}"${by}.`,
        touched: touched !== undefined,
        related: [{ at: declaration.at, message: 'it is asked for here' }],
        fixes:
          below === undefined
            ? []
            : [
                {
                  title: `Add \`inspect ${name} ?\`, to be filled in`,
                  edits: [lineBelow(below, `inspect ${name} ?`)],
                },
              ],
      };
    }
  },
});
