/** Readings and inspections that rest on something that is no longer what it was. */
import { type JudgedReading, locate, staleReadings, writeTarget } from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';
import { andList, refOf, whatHappened } from './wording.ts';

/** Reports what was read or inspected before its part was replaced or reworked, or its joint opened, and not since. */
export const stale = rule({
  id: 'stale',
  severity: 'by-state',
  title: 'due again',
  subject: 'characteristic',
  *check({ name, instances }) {
    for (const instance of instances) {
      const { item, declaration } = instance;
      const { of } = declaration;
      const old = staleReadings(instance);
      if (old.length === 0 || of === undefined) continue;
      for (const because of new Set(old.map((one) => one.because))) {
        const group = old.filter((one) => one.because === because);
        const last = group.at(-1) as JudgedReading;
        if (because === undefined || last.history === undefined) continue;
        const places = group.map(({ reading }) => reading.place);
        const all = places[0] === '' || places.length === declaration.places.items.length;
        const { entry } = last.reading;
        const target = entry.targets[0]?.node ?? entry.statement;
        yield {
          at: group.length === 1 ? last.reading.at : locate(entry.path, entry.block, target),
          message: `${writeTarget(name, item)} was measured${all ? '' : ` at ${andList(places)}`} before ${whatHappened(of.name, last.history, because)}, and not since${refOf(declaration)}: measure it again.`,
          touched: true,
          related: [
            { at: locate(because.path, because.block, because.statement), message: 'it became history here' },
            { at: of.at, message: 'it is asked for here' },
          ],
        };
      }
    }
  },
  also: {
    *rebuild(rebuild) {
      for (const { name, declaration, state, last } of rebuild.inspections) {
        if (state !== 'due-again' || declaration?.of === undefined || last?.history === undefined) continue;
        const { of } = declaration;
        const { entry, history, because } = last;
        if (because === undefined) continue;
        const below = lastEntry(rebuild);
        yield {
          at: locate(entry.path, entry.block, entry.statement.subject ?? entry.statement),
          message: `${name} was inspected before ${whatHappened(of.name, history, because)}, and not since${refOf(declaration)}: inspect it again.`,
          touched: true,
          related: [
            { at: locate(because.path, because.block, because.statement), message: 'it became history here' },
            { at: of.at, message: 'it is asked for here' },
          ],
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
  },
});
