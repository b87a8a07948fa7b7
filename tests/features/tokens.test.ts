/** What each word is: the words of a text, each with its type; `*` where it is declared. */
import { expect, test } from 'vitest';
import { parse } from '../../grammar/index.ts';
import { tokensOf } from '../../server/features/index.ts';

function typed(text: string): string[] {
  return parse(text).blocks.flatMap((block) =>
    tokensOf(block).map(
      ({ start, end, type, declares }) => `${block.text.slice(start, end)} ${type}${declares ? '*' : ''}`,
    ),
  );
}

test.each<[string, string[]]>([
  [
    'tool TW1 "3/8 wrench" range 10..60 N·m accuracy 4 % due 2027-03-02 # spare',
    [
      'tool keyword',
      'TW1 tool*',
      '"3/8 wrench" string',
      'range clause',
      '10 number',
      '60 number',
      'N·m unit',
      'accuracy clause',
      '4 number',
      '% unit',
      'due clause',
      '2027-03-02 date',
      '# spare comment',
    ],
  ],
  [
    'limit bore[front rear] @ (top low)/pin 67.5 +0.02/-0.01 mm wear <= 68 mm TIR of cylinder for cylinder os1 material al-si',
    [
      'limit keyword',
      'bore variable*',
      'front member',
      'rear member',
      'top member',
      'low member',
      'pin member',
      '67.5 number',
      '+0.02 number',
      '-0.01 number',
      'mm unit',
      'wear clause',
      '68 number',
      'mm unit',
      'TIR unit',
      'of clause',
      'cylinder variable',
      'for clause',
      'cylinder variable',
      'os1 word',
      'material clause',
      'al-si word',
    ],
  ],
  [
    'limit play[front rear] = max(bore) - piston-skirt 0.060..? mm',
    [
      'limit keyword',
      'play variable*',
      'front member',
      'rear member',
      'max function',
      'bore variable',
      'piston-skirt variable',
      '0.060 number',
      '? placeholder',
      'mm unit',
    ],
  ],
  [
    'fastener a[1..4] M8x1.25 class 8.8 torque 24 ± 2 N·m (212 in·lbf) order 1 3 2 4 layout rows 2 lock wire',
    [
      'fastener keyword',
      'a variable*',
      '1..4 member',
      'M8x1.25 word',
      'class clause',
      '8.8 word',
      'torque clause',
      '24 number',
      '2 number',
      'N·m unit',
      '212 number',
      'in·lbf unit',
      'order clause',
      '1 member',
      '3 member',
      '2 member',
      '4 member',
      'layout clause',
      'lock clause',
      'wire sealant',
    ],
  ],
  [
    'step "Close 🔧" ? by AQ, JM with TW1',
    [
      'step keyword',
      '"Close 🔧" string',
      '? placeholder',
      'by clause',
      'AQ person',
      'JM person',
      'with clause',
      'TW1 tool',
    ],
  ],
  [
    'inspect flush pass by JM at 17:40',
    ['inspect keyword', 'flush variable', 'pass clause', 'by clause', 'JM person', 'at clause', '17:40 date'],
  ],
  [
    'measure bore in mm TIR\n  |     | pin    | skew |\n  | top | 67.532 | ?    | # first\n  | 2   | 2.6 in |      |',
    [
      'measure keyword',
      'bore variable',
      'in clause',
      'mm unit',
      'TIR unit',
      'pin member',
      'skew member',
      'top member',
      '67.532 number',
      '? placeholder',
      '# first comment',
      '2 member',
      '2.6 number',
      'in unit',
    ],
  ],
  ['note to AQ: 24 N·m\n  ... and more', ['note keyword', 'to AQ: 24 N·m string', '... and more string']],
  ['nonsense TW1 "x" # y', ['# y comment']],
])('%s', (text, words) => {
  expect(typed(text)).toEqual(words);
});

test('words are in order, never on two lines, never over one another', () => {
  const text =
    'log "A"\r\n# one\r\n# two\r\nstep "S" 2026-05-04\r\n  torque a[(front rear)/1..4] to 1 h 20 min\r\n  ... by AQ\r\n  measure [ = | x\r\n';
  for (const block of parse(text).blocks) {
    let last = 0;
    for (const { start, end } of tokensOf(block)) {
      expect(start).toBeGreaterThanOrEqual(last);
      expect(end).toBeGreaterThan(start);
      expect(block.text.slice(start, end)).not.toMatch(/[\r\n]/);
      last = end;
    }
  }
});
