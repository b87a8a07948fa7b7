/** A text that is no longer the one that was marked. */
import type { Block } from '../../grammar/index.ts';
import { locate, type MarkedSpan } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** The statements that a mark covers besides its own line. */
function statementsOf({ blocks }: MarkedSpan): readonly Block[] {
  return blocks.slice(0, -1).filter((block) => block.statement !== undefined);
}

/** Reports every mark that no longer holds, with the lines that can have changed. */
export const markBroken = rule({
  id: 'mark-broken',
  severity: 'error',
  title: 'text changed since it was marked',
  subject: 'rebuild',
  *check({ path, marks }) {
    for (const [i, span] of marks.spans.entries()) {
      if (span.holds) continue;
      const { block, mark, cause, digest } = span;
      const at = locate(path, block, mark);
      const next = marks.spans[i + 1];
      if (cause === 'digits' && next !== undefined) {
        const digits = digest.slice(0, mark.text.length);
        yield {
          at,
          message: `The digits of this mark were changed; the text above it was not: it gives ${digits}, and the next mark was taken over that. Put them back.`,
          related: [
            { at: locate(path, next.block, next.mark), message: 'this mark was taken over the right digits' },
          ],
          fixes: [{ title: 'Put the digits back', edits: [{ ...at, text: digits }] }],
        };
        continue;
      }
      const statements = statementsOf(span);
      const [first] = statements;
      const before = marks.spans[i - 1];
      const date = dateOf(span);
      const lines =
        first === undefined
          ? 'this line'
          : `the ${statements.length + 1} statements from line ${first.line + 1} to line ${block.line + 1}`;
      yield {
        at,
        message: `Something in ${lines} was changed, added or taken out after ${who(span)}${date}${cause === 'text' ? '' : ', or the digits of this mark were'}. Bring back what was signed (earlier revisions have it); what is new goes below the signature.`,
        related: [
          ...(first?.statement === undefined
            ? []
            : [{ at: locate(path, first, first.statement), message: 'what this mark covers begins here' }]),
          ...(before === undefined
            ? []
            : [
                {
                  at: locate(path, before.block, before.mark),
                  message: before.holds ? 'the mark before it holds' : 'the mark before it is broken too',
                },
              ]),
        ],
      };
    }
  },
});

function who({ statement }: MarkedSpan): string {
  return `${statement.name?.text ?? 'somebody'} ${statement.kind === 'release' ? 'released' : 'signed'} it`;
}

function dateOf({ statement }: MarkedSpan): string {
  return statement.when?.date === undefined ? '' : ` on ${statement.when.date}`;
}
