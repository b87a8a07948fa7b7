/** A part whose way round matters, fitted without saying which way round. */
import { hasClause } from '../../grammar/index.ts';
import { locate, membersByEntry, writeMembers } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports fittings that stand, of parts declared `facing`, that do not record the way round. */
export const facingMissing = rule({
  id: 'facing-missing',
  severity: 'warning',
  title: 'way round not recorded',
  subject: 'part',
  *check({ name, declaration, members }) {
    if (!declaration.facing) return;
    const silent = members.filter(
      ({ fitted }) => fitted !== undefined && !hasClause(fitted.statement, 'facing'),
    );
    for (const [{ path, block, statement, targets }, group] of membersByEntry(
      silent,
      (member) => member.fitted,
    )) {
      const who = writeMembers(
        name,
        group.map((member) => member.item),
      );
      yield {
        at: locate(path, block, targets.find((target) => target.name === name)?.node ?? statement),
        message: `${who} went in, and which way round is not written down: add \`facing "…"\`.`,
        related: [{ at: declaration.at, message: 'it is declared `facing` here' }],
        fixes: [
          {
            title: 'Add `facing ?`, to be filled in',
            edits: [
              {
                ...locate(path, block, { start: statement.end, end: statement.end }),
                text: ' facing ?',
              },
            ],
          },
        ],
      };
    }
  },
});
