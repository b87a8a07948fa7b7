/** A tool used after its calibration ran out. */
import { clauseAt, locate } from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { corrected, doneAgain } from './standing.ts';

/** Reports entries made with a tool that was past due on the day. */
export const calibrationExpired = rule({
  id: 'calibration-expired',
  severity: 'warning',
  title: 'tool past its calibration',
  subject: 'entry',
  check(entry) {
    const { tool, path, block, statement } = entry;
    const date = entry.moment?.date ?? entry.step?.moment?.date;
    if (tool?.due === undefined || date === undefined || date <= tool.due) return nothing;
    return [
      {
        at: clauseAt(entry, 'with') ?? locate(path, block, statement.target ?? statement),
        message: `${tool.name} was due for calibration on ${tool.due} and was used on ${date}. Have it calibrated, and check this again.`,
        related: [{ at: tool.at, message: `${tool.name} is registered here` }],
        mended: entry.kind === 'measure' ? corrected(entry) : doneAgain(entry),
      },
    ];
  },
});
