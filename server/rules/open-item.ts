/** What is still open: open items and placeholders. */
import { locate, writeTarget } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports open items that nothing closed, and readings whose value is still `?`. */
export const openItem = rule({
  id: 'open-item',
  severity: 'by-state',
  title: 'still open',
  subject: 'rebuild',
  *check({ path, openItems, strayItems, characteristics }) {
    for (const { name, opened, closed } of openItems) {
      if (closed !== undefined) continue;
      yield {
        at: locate(path, opened.block, opened.statement.name ?? opened.statement),
        message: `${name} is open: ${opened.statement.text?.text ?? '?'}.`,
        touched: true,
      };
    }
    for (const entry of strayItems) {
      const name = entry.statement.name?.text ?? '';
      yield {
        at: locate(path, entry.block, entry.statement.name ?? entry.statement),
        message:
          entry.kind === 'close'
            ? `${name} is not open, so nothing is closed here.`
            : `${name} is open already: give this item another name.`,
        touched: true,
      };
    }
    for (const { name, placeholders } of characteristics)
      for (const reading of placeholders)
        if (reading.at.end > reading.at.start)
          yield {
            at: reading.at,
            message: `${writeTarget(name, reading.item, reading.place)} is still to be filled in.`,
          };
  },
});
