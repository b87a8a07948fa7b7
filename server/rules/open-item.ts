/** What is still open: open items and placeholders. */
import { clauseNode, hasClause } from '../../grammar/index.ts';
import { isUnfilled, locate, membersByEntry, writeMembers, writeTarget } from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';

/**
 * Reports open items that nothing closed, and readings, later torques, concessions, inspections and parts with a `?`
 * still.
 */
export const openItem = rule({
  id: 'open-item',
  severity: 'by-state',
  title: 'still open',
  subject: 'rebuild',
  *check(rebuild) {
    const { path, openItems, strayItems, characteristics, inspections, parts } = rebuild;
    const below = lastEntry(rebuild);
    for (const { name, opened, closed } of openItems) {
      if (closed !== undefined) continue;
      yield {
        at: locate(path, opened.block, opened.statement.name ?? opened.statement),
        message: `${name} is open: ${opened.statement.text?.text ?? '?'}.`,
        touched: true,
        fixes:
          below === undefined
            ? []
            : [{ title: `Add \`close ${name} ?\` below`, edits: [lineBelow(below, `close ${name} ?`)] }],
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
    for (const { block, statement, targets } of rebuild.byKind.get('accept') ?? []) {
      const because = clauseNode(statement, 'because');
      if (because?.value?.placeholder === true)
        yield {
          at: locate(path, block, because),
          message: `${targets.map(({ name, items }) => writeMembers(name, items)).join(', ')}: why it is accepted is still to be filled in.`,
        };
    }
    for (const { name, state, last } of inspections)
      if (state === 'to-fill-in' && last !== undefined)
        yield {
          at: locate(
            path,
            last.entry.block,
            clauseNode(last.entry.statement, 'verdict') ?? last.entry.statement,
          ),
          message: `${name} is still to be filled in: \`pass\` or \`fail\`.`,
        };
    for (const { name, members } of parts)
      for (const [{ block, statement }, group] of membersByEntry(members, (member) => member.fitted))
        for (const clause of ['facing', 'pn', 'batch'] as const) {
          const written = clauseNode(statement, clause);
          if (written?.value?.placeholder === true)
            yield {
              at: locate(path, block, written),
              message: `${writeMembers(
                name,
                group.map((member) => member.item),
              )}: \`${clause}\` is still to be filled in.`,
            };
        }
  },
  kinds: ['torque'],
  also: {
    // Of a first torque that is still `?` the rule torque-skipped tells.
    *entry(entry) {
      const { path, block, statement, targets } = entry;
      if (!isUnfilled(entry) || !hasClause(statement, 'again')) return;
      for (const { name, items } of targets)
        yield {
          at: locate(path, block, clauseNode(statement, 'to') ?? statement),
          message: `${writeMembers(name, items)}: what it was torqued to again is still to be filled in.`,
        };
    },
  },
});
