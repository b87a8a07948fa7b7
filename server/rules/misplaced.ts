/** Statements where they may not stand. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports entries outside a log or before any step, text after the release, and opening lines that are not first. */
export const misplaced = rule({
  id: 'misplaced',
  severity: 'error',
  title: 'statement out of place',
  subject: 'rebuild',
  *check({ path, misplaced, kind, release }) {
    for (const { block, statement, reason } of misplaced) {
      const word = statement.keyword.text;
      const at = locate(path, block, statement.keyword);
      switch (reason) {
        case 'not-a-log':
          yield {
            at,
            message: `\`${word}\` records something that happened: it belongs in a .rebuild log, not in a ${kind === 'limits' ? 'table of limits' : "workshop's register"}.`,
          };
          break;
        case 'before-any-step':
          yield {
            at,
            message: `\`${word}\` stands before any step. Begin one above it: step "what is done" 2026-05-03 09:00`,
          };
          break;
        case 'after-release':
          yield {
            at,
            message: `\`${word}\` stands after the release, which closes the log: only notes may follow. Start a new log that uses this one.`,
            ...(release === undefined
              ? {}
              : {
                  related: [
                    {
                      at: locate(path, release.block, release.statement),
                      message: 'the log is released here',
                    },
                  ],
                }),
          };
          break;
        case 'second-opening':
          yield { at, message: `\`${word}\` opens a file, and this one is open already: remove this line.` };
          break;
        case 'not-first':
          yield { at, message: `\`${word}\` must be the first line of the file: move it to the top.` };
          break;
        case 'wrong-opening':
          yield {
            at,
            message: `\`${word}\` does not open this kind of file: a .rebuild opens with \`log\`, a .limits with \`limits\`, a .bench with \`bench\`.`,
          };
          break;
      }
    }
  },
});
