/** Inspections that came out bad. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import { locate } from '../rebuild/index.ts';
import { lineBelow } from './insertion.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Reports inspections whose last record that stands is `fail`. */
export const inspectionFailed = rule({
  id: 'inspection-failed',
  severity: 'error',
  title: 'inspection failed',
  subject: 'inspection',
  *check({ name, key, declaration, state, last, accepted }) {
    if (state !== 'failed' || last === undefined || accepted !== undefined) return;
    const { path, block, statement } = last.entry;
    const because = clauseValue(statement, 'because')?.text;
    const who = declaration === undefined ? `"${name}"` : name;
    yield {
      at: locate(path, block, clauseNode(statement, 'verdict') ?? statement),
      message: `${who} failed${because === undefined ? '' : ` ("${because}")`} and has not passed since${declaration === undefined ? '' : refOf(declaration)}: put it right and inspect again.`,
      fixes: [
        { title: 'Add its next inspection as `?`', edits: [lineBelow(last.entry, `inspect ${key} ?`)] },
      ],
      related:
        declaration === undefined
          ? []
          : [{ at: declaration.at, message: `it is asked for here: ${declaration.text}` }],
    };
  },
});
