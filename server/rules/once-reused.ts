/** A part that goes in once only, or that was scrapped, put back after use. */
import { clauseNode } from '../../grammar/index.ts';
import { fitCondition, locate, membersByEntry, writeMembers } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports fittings that stand and that put a `once` part, or one that was scrapped, back in. */
export const onceReused = rule({
  id: 'once-reused',
  severity: 'error',
  title: 'used again',
  subject: 'part',
  *check({ name, declaration, members }) {
    const again = members.filter(
      ({ fitted, scrappedBefore }) =>
        fitted !== undefined &&
        fitCondition(fitted) !== 'new' &&
        (declaration.once || scrappedBefore !== undefined),
    );
    for (const [fitting, group] of membersByEntry(again, (member) => member.fitted)) {
      const one = group.length === 1;
      const who = writeMembers(
        name,
        group.map((member) => member.item),
      );
      const scrapped = group.find((member) => member.scrappedBefore !== undefined)?.scrappedBefore;
      const { path, block, statement } = fitting;
      const target = fitting.targets.find((part) => part.name === name)?.node ?? statement;
      const condition = clauseNode(statement, 'condition');
      const put = `this line puts the old ${one ? 'one' : 'ones'} back${condition === undefined ? ' (`fit` alone does)' : ''}`;
      yield {
        at: locate(path, block, target),
        message: declaration.once
          ? `${who} ${one ? 'is' : 'are'} never to be used again, and ${put}: fit ${one ? 'a new one' : 'new ones'}.`
          : `${who} ${one ? 'was' : 'were'} scrapped, and ${put}: fit ${one ? 'a new one' : 'new ones'}.`,
        related: [
          scrapped === undefined
            ? { at: declaration.at, message: 'it is declared `once` here' }
            : {
                at: locate(scrapped.path, scrapped.block, scrapped.statement),
                message: 'it was scrapped here',
              },
        ],
        fixes: [
          {
            title: 'Write that it was a new one: `new`',
            edits: [
              condition === undefined
                ? { ...locate(path, block, { start: target.end, end: target.end }), text: ' new' }
                : { ...locate(path, block, condition), text: 'new' },
            ],
          },
        ],
      };
    }
  },
});
