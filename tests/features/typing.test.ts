/** What typing tidies: the text before (the character was just typed, `‸` is the cursor) and after. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalStatement, parse } from '../../grammar/index.ts';
import { editsAfterTyping, nextTighteningAt } from '../../server/features/index.ts';
import { edited, marked } from './marked.ts';

function typed(text: string, character: string): string {
  const at = marked({ 'a.rebuild': text });
  const file = at.workspace.file(at.path)!;
  const edits = editsAfterTyping(file, at.offset, character).map((edit) => ({ ...edit, path: at.path }));
  return edited(at, edits)['a.rebuild']!;
}

describe('a bar in a table', () => {
  test.each([
    [
      'columns line up as a cell is closed',
      'step "S" ?\n  measure bore in mm\n    | | thrust | pin |\n    | top | 67.532 |‸\n',
      'step "S" ?\n  measure bore in mm\n    |     | thrust | pin |\n    | top | 67.532 |\n',
    ],
    [
      'the cell that is being typed keeps what stands behind the cursor',
      'measure bore in mm\n  |        | thrust | pin    |\n  | middle |‸  67.5 | 1\n',
      'measure bore in mm\n  |        | thrust | pin |\n  | middle | 67.5   | 1\n',
    ],
    [
      'wide letters and emoji count as they are shown; dashes and comments stay',
      'measure x in mm\n| | 日本 |  # one\n|--|--|\n|🔧|1|‸\n',
      'measure x in mm\n|    | 日本 |  # one\n| -- | --   |\n| 🔧 | 1    |\n',
    ],
    [
      'rows stand under the first',
      'measure x in mm\r\n    | | a |\r\n  | b | 1 |‸\r\n',
      'measure x in mm\r\n    |   | a |\r\n    | b | 1 |\r\n',
    ],
    [
      'units stay as they were written',
      'torque x[1] to 2 Nm\nmeasure x\n| 5 Nm |\n| 10 Nm |‸\n',
      'torque x[1] to 2 Nm\nmeasure x\n| 5 Nm  |\n| 10 Nm |\n',
    ],
    ['not in a note', 'note a |‸  b\n', 'note a |  b\n'],
    ['not in a comment', '# | a |‸  b\n', '# | a |  b\n'],
  ])('%s', (_, before, after) => {
    expect(typed(before, '|')).toBe(after);
  });

  test('whatever the table, only blanks move and nothing is said otherwise', () => {
    const cell = fc.constantFrom(
      '',
      ' ',
      'top',
      ' 67.5 ',
      '"a | b"',
      '?',
      '-',
      '1 in',
      '“x”',
      '日',
      '# c',
      '…',
    );
    const row = fc.array(cell, { maxLength: 4 }).map((cells) => `${cells.map((one) => `|${one}`).join('')}|`);
    const tables = fc.array(fc.tuple(fc.constantFrom('', ' ', '\t', '     '), row), {
      minLength: 1,
      maxLength: 4,
    });
    fc.assert(
      fc.property(tables, fc.constantFrom('\n', '\r\n'), (rows, newline) => {
        const text = ['step "S" ?', '  measure bore in mm', ...rows.map((one) => one.join(''))].join(newline);
        const after = typed(`${text}‸`, '|');
        expect(after.replace(/[ \t]/g, '')).toBe(text.replace(/[ \t]/g, ''));
        const facts = (one: string) => parse(one).blocks.map((block) => canonicalStatement(block));
        expect(facts(after)).toEqual(facts(text));
        expect(typed(`${after}‸`, '|')).toBe(after);
      }),
    );
  });
});

describe('a line break', () => {
  const table = '  measure bore in mm\n    | | pin |\n    | top | 67.5 |';
  const aligned = '  measure bore in mm\n    |     | pin  |\n    | top | 67.5 |';
  test.each([
    ['below a row: the next row begins', `${table}\n    ‸\n`, `${aligned}\n    | \n`],
    ['whatever the editor put there', `${table}\n‸`, `${aligned}\n    | `],
    ['between two rows', `${table}\n    ‸\n    | low | 1 |\n`, `${aligned}\n    | \n    | low | 1    |\n`],
    [
      'in a CRLF file',
      `${table}\n    ‸\n`.replaceAll('\n', '\r\n'),
      `${aligned}\n    | \n`.replaceAll('\n', '\r\n'),
    ],
    ['below an empty row: the table ends', `${table}\n    |\n    ‸\nsign`, `${table}\n    \nsign`],
    ['below a row of empty cells too', `${table}\n    |  |   |\n    ‸\n`, `${table}\n    \n`],
    ['in the middle of a row: nothing', `${table}\n    ‸ | 3 |\n`, `${table}\n     | 3 |\n`],
    ['below anything else: nothing', 'step "S" ?\n  ‸\n', 'step "S" ?\n  \n'],
    ['two lines below a table: nothing', `${table}\n\n    ‸\n`, `${table}\n\n    \n`],
    ['below a torque: nothing is written', '  torque x[1] to 2 N·m\n  ‸\n', '  torque x[1] to 2 N·m\n  \n'],
    ['at the start of a file', '\n‸', '\n'],
  ])('%s', (_, before, after) => {
    expect(typed(before, '\n')).toBe(after);
  });
});

describe('the next fastener', () => {
  const head =
    'log "A"\nfastener a[1..4] torque 24 ± 2 N·m stages 12 N·m, 24 N·m order 1 3 2 4\nstep "S" 2026-05-04\n';
  function offered(text: string): string | undefined {
    const at = marked({ 'a.rebuild': head + text });
    return nextTighteningAt(at.workspace.check('a.rebuild')!, at.offset);
  }

  test.each([
    ['the next in the order', '  torque a[1] to 12 N·m with TW1\n  ‸\n', 'torque a[3] to 12 N·m with TW1'],
    [
      'those that have the stage are passed over',
      '  torque a[3] to 12 N·m\n  torque a[1] to 12 N·m\n  ‸',
      'torque a[2] to 12 N·m',
    ],
    [
      'round to one that was left out',
      '  torque a[3 2 4] to 12 N·m\n  torque a[4] to 12 N·m\n‸',
      'torque a[1] to 12 N·m',
    ],
    [
      'the pass over: the next stage, in its first',
      '  torque a[1 3 2] to 12 N·m\n  torque a[4] to 12 N·m\n  ‸\n',
      'torque a[1] to 24 N·m',
    ],
    [
      'a comment stays behind, what was felt or timed is not repeated',
      '  torque a[1] to 12 N·m drag 2 N·m lubricant oiled at 09:10 because "x" # first\n  ‸\n',
      'torque a[3] to 12 N·m lubricant oiled',
    ],
    ['every one done', '  torque a[1 3 2] to 24 N·m\n  torque a[4] to 24 N·m\n  ‸\n', undefined],
    [
      'one that was loosened again is not gone on from',
      '  torque a[1] to 12 N·m\n  ‸\n  loosen a[1]\n',
      undefined,
    ],
    ['several at once', '  torque a[1 3] to 12 N·m\n  ‸\n', undefined],
    ['a value that is no stage', '  torque a[1] to 5 N·m\n  ‸\n', undefined],
    ['a line that is not empty', '  torque a[1] to 12 N·m\n  ‸note\n', undefined],
    ['further down', '  torque a[1] to 12 N·m\n\n  ‸\n', undefined],
    ['on the line itself', '  torque a[1] to 12 N·m‸\n', undefined],
    ['a group that nothing declares', '  torque x[1] to 12 N·m\n  ‸\n', undefined],
  ])('%s', (_, text, wanted) => {
    expect(offered(text)).toBe(wanted);
  });

  test('what is offered stands for itself: taken, it is the next of the same pass', () => {
    let text = '  torque a[1] to 12 N·m\n';
    for (let more = offered(`${text}  ‸`); more !== undefined; more = offered(`${text}  ‸`))
      text += `  ${more}\n`;
    expect(text.match(/a\[\d\] to \d+/g)).toEqual([
      'a[1] to 12',
      'a[3] to 12',
      'a[2] to 12',
      'a[4] to 12',
      'a[1] to 24',
      'a[3] to 24',
      'a[2] to 24',
      'a[4] to 24',
    ]);
    const at = marked({ 'a.rebuild': head + text });
    const rules = at.workspace.check('a.rebuild')!.findings.map((one) => one.rule);
    expect(rules.filter((rule) => rule.startsWith('torque') || rule.startsWith('stage'))).toEqual([]);
  });
});
