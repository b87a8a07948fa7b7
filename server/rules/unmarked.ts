/** A signature without a mark. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/**
 * Reports signatures and releases after the last mark. The edits that write one (`markEdits`) take a digest of the
 * whole log, and photographs that only the host can read, so they are made when somebody asks for them.
 */
export const unmarked = rule({
  id: 'unmarked',
  severity: 'hint',
  title: 'signed without a mark',
  subject: 'rebuild',
  *check({ path, marks }) {
    for (const block of marks.unmarked) {
      const { statement } = block;
      // A mark that could not be read is reported as such.
      if (statement === undefined || statement.broken || block.faults.length > 0) continue;
      yield {
        at: locate(path, block, statement.keyword),
        message: `${statement.name?.text ?? 'Somebody'} ${statement.kind === 'release' ? 'released' : 'signed'} without a mark, so nothing would show that the text above was changed afterwards. \`witnessmark mark\` writes one.`,
      };
    }
  },
});
