/** Renaming: what the files say afterwards, what is refused and in which words, what needs a person's yes. */
import { describe, expect, test } from 'vitest';
import { renameAt, renameableAt } from '../../server/features/index.ts';
import { edited, type Marked, marked } from './marked.ts';

function renamed(at: Marked, name: string): Record<string, string> | string {
  const edits = renameAt(at.workspace, at.path, at.offset, name);
  return 'refused' in edits ? edits.refused : edited(at, edits);
}

const bench = 'bench "Harbour workshop"\ntool TW1 "3/8 click wrench"\ntool TW2 "1/4 click wrench"\n';
const log = 'log "A"\nuse "harbour.bench"\nstep "S" 2026-05-04 with TW‸1\n  torque x[1] to 24 N·m with TW1\n';

test('a tool is renamed in the register and in every log that uses it', () => {
  const at = marked({
    'harbour.bench': bench,
    'logs/a.rebuild': log.replace('harbour', '../harbour'),
    'logs/b.rebuild': 'log "B"\r\nuse "../harbour.bench"\r\nstep "🔧" 2026-05-04 with TW1\r\n',
    'logs/c.rebuild': 'log "C"\ntool TW1 "its own"\n',
  });
  expect(renamed(at, 'W-3/8'.replace('/', '_'))).toEqual({
    'harbour.bench': bench.replace('TW1', 'W-3_8'),
    'logs/a.rebuild': log.replace('harbour', '../harbour').replace('‸', '').replaceAll('TW1', 'W-3_8'),
    'logs/b.rebuild': 'log "B"\r\nuse "../harbour.bench"\r\nstep "🔧" 2026-05-04 with W-3_8\r\n',
    'logs/c.rebuild': 'log "C"\ntool TW1 "its own"\n',
  });
});

test.each([
  ['fastener case-m8[1..4] torque 24 N·m of case-m8\n', 'case-‸m8[1..4]', 'case-m8', 'half-m8'],
  ['limit bore 1..2 mm\nlimit oval = out-of-round(bore) <= 1 mm\n', 'bo‸re 1', 'bore', 'bore-id'],
  [
    'part ring[a b] "ring"\nlimit gap[a b] 1..2 mm of ring before ring\n',
    'ri‸ng[a b]',
    'ring',
    'piston-ring',
  ],
  ['person AQ "Ada"  builder\nstep "S" 2026-05-04 by AQ\nsign AQ "x" 2026-05-04\n', 'AQ‸ "', 'AQ', 'A_Q'],
  ['sealant grey "RTV"\njoint j sealant grey\nstep "S" ?\n  apply grey to j\n', 'gre‸y "', 'grey', 'black'],
  [
    'joint j sealant grey\nlimit drop 0..1 bar of j\nstep "S" ?\n  apply stripe to j\n',
    'j‸ s',
    'j',
    'case-joint',
  ],
  ['assembly top "Top"\ncovers top\nlimit x 1..2 mm before top\n', 'to‸p "', 'top', 'top-end'],
  ['step "S" ?\n  open R1 "x"\n  close R1\n', 'R‸1 "', 'R1', 'R-reed'],
  [
    'inspection flush "x" needs builder\nstep "S" ?\n  inspect flush pass\n',
    'flus‸h "',
    'flush',
    'pins-flush',
  ],
  ['part a\npart b\nstack s = a, b\n', '‸a\n', 'a', 'kolben-ä'],
])('in one log: %j', (text, cursor, from, to) => {
  const at = marked({ 'a.rebuild': `log "A"\n${text.replace(cursor.replace('‸', ''), cursor)}` });
  const after = renamed(at, to) as Record<string, string>;
  expect(after['a.rebuild']).toBe(
    `log "A"\n${text.replace(new RegExp(`(?<![\\w"-])${from}(?![\\w-])`, 'g'), to)}`,
  );
  // Read again: nothing is unknown that was known, and nothing fails to parse.
  const before = at.workspace.check('a.rebuild')!.findings.map((one) => one.rule);
  at.workspace.set('a.rebuild', after['a.rebuild']!);
  expect(at.workspace.check('a.rebuild')!.findings.map((one) => one.rule)).toEqual(before);
});

const MEMBER =
  'Members are not renamed: limits, parts and readings that belong together are matched by them. To rename the whole, put the cursor before the bracket.';
const PLACE =
  'Places are not renamed: readings of other logs are compared by them. To rename the whole, put the cursor on the name in front.';
const GRADE = 'Grades are not renamed: they are written as the maker of the part calls them.';

describe('refused', () => {
  test.each([
    ['', 'A name cannot be empty.'],
    ['torque wrench', 'A name has no blanks: write torque-wrench.'],
    ['1TW', 'A name begins with a letter: 1TW does not.'],
    ['TW1-', 'A name does not end in a hyphen.'],
    ['TW#1', 'A name has letters, digits, `-` and `_`, no `#`.'],
    ['TW2', 'harbour.bench has TW2 already (line 3): `tool TW2 "1/4 click wrench"`.'],
    ['M8x1.25', 'A name has letters, digits, `-` and `_`, no `.`.'],
  ])('TW1 to %j', (name, words) => {
    expect(renamed(marked({ 'harbour.bench': bench, 'a.rebuild': log }), name)).toBe(words);
  });

  test('a word that is a keyword where the name stands', () => {
    const at = marked({
      'a.rebuild':
        'log "A"\nfastener a‸[1..2] torque 5 N·m\nfastener b[1..2] torque 5 N·m\njoint j fasteners b a\n',
    });
    expect(renamed(at, 'sealant')).toBe(
      '`sealant` would not be read as a name here (a.rebuild, line 4: `joint j fasteners b a`)',
    );
  });

  test('a name that some log which uses the register has given to another tool', () => {
    const at = marked({
      'harbour.bench': 'bench "H"\ntool TW‸1 "wrench"\n',
      'a.rebuild': 'log "A"\nuse "harbour.bench"\ntool TX "own"\n',
    });
    expect(renamed(at, 'TX')).toBe('a.rebuild has TX already (line 3): `tool TX "own"`.');
  });

  test('a sealant that would take a word of the trade', () => {
    const at = marked({
      'h.bench': 'bench "H"\nsealant gre‸y "RTV"\n',
      't.limits': 'limits "T"\nfastener n[1..2] torque 5 N·m lock wire\n',
      'a.rebuild': 'log "A"\nuse "h.bench"\nuse "t.limits"\n',
    });
    expect(renamed(at, 'wire')).toMatch(/^`wire` is how a fastener is locked/);
    expect(renamed(at, 'stripe')).toMatch(/^`stripe` is the witness mark/);
  });

  test('a sealant that one table names for the registers of two workshops', () => {
    const at = marked({
      'h.bench': 'bench "H"\nsealant gre‸y "RTV"\n',
      'i.bench': 'bench "I"\nsealant grey "RTV"\n',
      't.limits': 'limits "T"\njoint j sealant grey\n',
      'a.rebuild': 'log "A"\nuse "h.bench"\nuse "t.limits"\n',
      'b.rebuild': 'log "B"\nuse "i.bench"\nuse "t.limits"\n',
    });
    expect(renamed(at, 'grey-rtv')).toBe(
      't.limits names grey for logs of i.bench too, where it would stay as it is. Rename it in both by hand.',
    );
  });

  test.each([
    ['step "S" 2026-05-04 with T‸X\n', 'Nothing declares TX.'],
    [
      'fastener n[1..2] torque 5 N·m lock wi‸re\n',
      '`wire` is a word of the trade, not a name that was declared.',
    ],
    ['fastener n[1..‸2] torque 5 N·m\n', MEMBER],
    ['step "S" ?\n  remove piston[re‸ar]\n', MEMBER],
    ['step "S" ?\n  measure bore[rear] @ to‸p/thrust = 67.5 mm\n', PLACE],
    ['step "S" ?\n  measure bore[rear] in mm\n    | | thr‸ust |\n    | top | 67.5 |\n', PLACE],
    ['step "S" ?\n  measure bore in mm\n    | | top |\n    | rea‸r | 67.5 |\n', MEMBER],
    ['limit bore 67.75 mm for cylinder os‸1\n', GRADE],
    ['step "S" ?\n  fit cylinder grade os‸1\n', GRADE],
    ['step "S‸" 2026-05-04\n', 'Put the cursor on a name: a tool, a person, a limit, a group …'],
  ])('%j', (text, words) => {
    const at = marked({ 'a.rebuild': `log "A"\n${text}` });
    expect(renameableAt(at.workspace, at.path, at.offset)).toEqual({ refused: words });
    expect(renamed(at, 'other')).toBe(words);
  });
});

describe('what was signed or pinned', () => {
  const mark = '9f3c0d1e7a55b2c4';
  test('a name before a mark needs a yes, after it none', () => {
    const at = marked({
      'a.rebuild': `log "A"\ntool T1‸ "x"\nstep "S" ? with T1\nsign AQ "x" 2026-05-04 mark ${mark}\nstep "T" ? with T1\n`,
    });
    const edits = renameAt(at.workspace, at.path, at.offset, 'T2');
    expect('refused' in edits ? edits : edits.map((one) => one.breaks)).toEqual([
      'a.rebuild is signed with a mark, which this would break',
      'a.rebuild is signed with a mark, which this would break',
      undefined,
    ]);
  });

  test('a register that a log pins needs a yes', () => {
    const at = marked({
      'h.bench': 'bench "H"\ntool T1‸ "x"\n',
      'a.rebuild': `log "A"\nuse "h.bench" mark ${mark}\nstep "S" ? with T1\n`,
    });
    const edits = renameAt(at.workspace, at.path, at.offset, 'T2');
    expect('refused' in edits ? edits : edits.map((one) => one.breaks)).toEqual([
      'a.rebuild pins h.bench by its mark, which this would break',
      undefined,
    ]);
  });
});
