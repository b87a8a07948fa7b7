/** Statements where they may not stand. */
import type { Block } from '../../grammar/index.ts';
import {
  earlierTrouble,
  fileName,
  type Import,
  locate,
  type MachineDeclaration,
  type Rebuild,
  type Report,
} from '../rebuild/index.ts';
import { lineBreakOf } from './insertion.ts';
import { rule } from './rule.ts';

/** The line that each kind of file begins with. */
const openings: Readonly<Record<Rebuild['kind'], { readonly word: string; readonly line: string }>> = {
  rebuild: { word: 'log', line: '`log "what is rebuilt"`, which is its title in reports' },
  limits: { word: 'limits', line: '`limits "what they are of, and which issue"`' },
  bench: { word: 'bench', line: '`bench "whose tools and people"`' },
};

/**
 * Reports entries outside a log or before any step, text after the release, opening lines that are not first, and logs
 * that are used but hand nothing on.
 */
export const misplaced = rule({
  id: 'misplaced',
  severity: 'error',
  title: 'statement out of place',
  subject: 'rebuild',
  *check({ path, misplaced, kind, release, imports, scope, steps, byKind }) {
    for (const one of imports) yield* earlierLog(path, one, scope.machine);
    const afterwards = misplaced.filter(({ reason }) => reason === 'after-release');
    const stepless = runsWithoutStep({ misplaced, steps, byKind });
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
        case 'before-any-step': {
          const run = stepless.get(block);
          if (run === undefined) break;
          const where = run.isFirst ? 'before any step' : 'after a signature, which ended the step';
          yield {
            at,
            message: `\`${word}\` stands ${where}${andMore(run.lines - 1)}. Begin one above it: step "what is done" 2026-05-03 09:00`,
            fixes: [
              {
                title: 'Begin a step above',
                edits: [
                  { ...locate(path, block, { start: 0, end: 0 }), text: `step ? ?${lineBreakOf(block)}` },
                ],
              },
            ],
          };
          break;
        }
        case 'after-release':
          if (block !== afterwards[0]?.block) break;
          yield {
            at,
            message: `\`${word}\` stands after the release${andMore(afterwards.length - 1)}. It closes the log: only notes may follow. Start a new log that uses this one.`,
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
        case 'no-opening': {
          const line = `${openings[kind].word} "${fileName(path)
            .replace(/\.[^.]*$/, '')
            .replaceAll('"', '')}"`;
          yield {
            at,
            severity: 'warning',
            message: `This file does not begin with ${openings[kind].line}.`,
            fixes: [
              {
                title: `Begin with \`${line}\``,
                edits: [
                  { ...locate(path, block, { start: 0, end: 0 }), text: `${line}${lineBreakOf(block)}` },
                ],
              },
            ],
          };
          break;
        }
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

function andMore(others: number): string {
  if (others === 0) return '';
  return `, and so ${others === 1 ? 'does one more line' : `do ${others} more lines`} below it`;
}

/** Lines that want a step, by the first of those with neither a step nor a signature between them. */
function runsWithoutStep({
  misplaced,
  steps,
  byKind,
}: Pick<Rebuild, 'misplaced' | 'steps' | 'byKind'>): ReadonlyMap<Block, { isFirst: boolean; lines: number }> {
  const runs = new Map<Block, { isFirst: boolean; lines: number }>();
  const stepless = misplaced.filter(({ reason }) => reason === 'before-any-step');
  if (stepless.length === 0) return runs;
  const ends = [...steps, ...(byKind.get('sign') ?? [])]
    .map(({ block }) => block.start)
    .sort((a, b) => a - b);
  let passed = 0;
  let run: { isFirst: boolean; lines: number } | undefined;
  for (const { block } of stepless) {
    const before = passed;
    while ((ends[passed] ?? Number.POSITIVE_INFINITY) < block.start) passed++;
    if (run === undefined || passed > before) {
      run = { isFirst: passed === 0, lines: 0 };
      runs.set(block, run);
    }
    run.lines++;
  }
  return runs;
}

/** A log that is used and is of another machine, or not released: nothing carries over from it. */
function* earlierLog(path: string, one: Import, machine: MachineDeclaration | undefined): Iterable<Report> {
  const { declaration, rebuild } = one;
  const trouble = earlierTrouble(one, machine);
  // What is still to be filled in is told by the rule open-item.
  if (rebuild === undefined || trouble === undefined || trouble === 'serial-open') return;
  const { file, block, statement } = declaration;
  const other = rebuild.scope.machine;
  const name = (one: MachineDeclaration | undefined) => `${one?.name} serial "${one?.serial ?? '?'}"`;
  const message = {
    'not-released': `${file} is not released, so nothing carries over from it. Release it first, or go on in it.`,
    'another-machine': `${file} is a log of ${name(other)} and this one is of ${name(machine)}, so nothing carries over from it. Use the log of this machine, or take the line out.`,
    'no-machine-here':
      other === undefined
        ? `Neither this log nor ${file} says which machine it is of, so nothing carries over. Add to both: machine NAME serial "NUMBER"`
        : `This log does not say which machine it is of, so nothing carries over from ${file}. Add a line below: machine ${name(other)}`,
    'no-machine-there': `${file} does not say which machine it is of, so nothing carries over from it. Add there: machine ${name(machine)}`,
  }[trouble];
  yield {
    at: locate(path, block, statement.text ?? statement),
    message,
    related: [
      ...(machine === undefined ? [] : [{ at: machine.at, message: 'the machine of this log' }]),
      ...(other === undefined ? [] : [{ at: other.at, message: 'the machine of the log that is used' }]),
    ],
  };
}
