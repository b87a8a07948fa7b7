/** The one change that broke a mark is found again, and nothing is claimed that the digest does not prove. */
import { expect, test } from 'vitest';
import { applyMarkEdits, findLostText, markEdits } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const LOG = `log "Tern 460 no. 0117"
person AQ "Ada Quill" builder
step "Measure" 2026-05-02 14:00 by AQ
  measure crank-runout = 0.03 mm
  measure bore[rear] in mm
    |     | thrust | pin    |
    | top | 67.532 | 67.528 |
  inspect "Case clean" pass
  note Oil was clean.
sign AQ "Measured" 2026-05-02 16:00
step "Close" 2026-05-03 14:00 by AQ
  torque case[1..6] to 10 N·m
sign AQ "Closed" 2026-05-03 16:00
`;

function rebuildOf(text: string) {
  const workspace = createWorkspace();
  workspace.set('log.rebuild', text);
  return workspace.check('log.rebuild')!.rebuild;
}

const marked = [0, 1].reduce((text) => {
  const rebuild = rebuildOf(text);
  const plan = markEdits(rebuild, { closing: rebuild.marks.unmarked[0]! });
  return 'edits' in plan ? applyMarkEdits(text, plan.edits) : text;
}, LOG);

const lost = (text: string) =>
  rebuildOf(text).marks.spans.map((span) => {
    const found = findLostText(span);
    return found === undefined ? undefined : [found.block.line, found.change, found.was];
  });

test.each([
  ['a digit', '0.03 mm', '0.04 mm', [3, 'changed', 'measure crank-runout = 0.03 mm'], undefined],
  [
    'two digits exchanged in a table',
    '67.532',
    '67.523',
    [4, 'changed', 'measure bore[rear] in mm\n||thrust|pin|\n|top|67.532|67.528|'],
    undefined,
  ],
  ['a verdict', 'clean" pass', 'clean" fail', [7, 'changed', 'inspect "Case clean" pass'], undefined],
  [
    'a date of a signature',
    '2026-05-02 16:00',
    '2026-05-01 16:00',
    [9, 'changed', 'sign AQ "Measured" 2026-05-02 16:00'],
    undefined,
  ],
  ['a line put in', '  note Oil', '  note Water pump new.\n  note Oil', [8, 'added', null], undefined],
  [
    'two lines exchanged',
    '  inspect "Case clean" pass\n  note Oil was clean.\n',
    '  note Oil was clean.\n  inspect "Case clean" pass\n',
    [8, 'moved', null],
    undefined,
  ],
  [
    'the second part only',
    '1..6] to 10',
    '1..6] to 11',
    undefined,
    [11, 'changed', 'torque case[1..6] to 10 N·m'],
  ],
  [
    'one in each part',
    /0\.03 mm|to 10/g,
    (one: string) => one.replace('3', '5').replace('10', '12'),
    [3, 'changed', 'measure crank-runout = 0.03 mm'],
    [11, 'changed', 'torque case[1..6] to 10 N·m'],
  ],
])('%s', (_, from, to, first, second) => {
  expect(lost(marked.replace(from as string, to as string))).toEqual([first, second]);
});

test.each([
  ['nothing changed', (text: string) => text],
  ['a line taken out', (text: string) => text.replace('  note Oil was clean.\n', '')],
  ['two changes in one part', (text: string) => text.replace('0.03', '0.04').replace('67.528', '67.529')],
  [
    'the digits of the mark',
    (text: string) => text.replace(/mark ([0-9a-f])/, (_, digit) => `mark ${digit === 'a' ? 'b' : 'a'}`),
  ],
])('%s: nothing is claimed', (_, change) => {
  expect(lost(change(marked))).toEqual([undefined, undefined]);
});

test('a long text is given up rather than waited for', () => {
  const long = `log "x"\nperson AQ "A" builder\nstep "s" 2026-05-02 14:00\n${'  measure bore = 67.5312345 mm because "1234567890"\n'.repeat(3000)}sign AQ "x" 2026-05-02 mark 9f3c0d1e7a55b2c4\n`;
  const start = performance.now();
  expect(lost(long)).toEqual([undefined]);
  expect(performance.now() - start).toBeLessThan(10_000);
});
