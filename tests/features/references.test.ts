/** Definition, references and highlights: the marks in each text are what must be found. */
import { describe, expect, test } from 'vitest';
import { definitionsAt, highlightsAt, referencesAt } from '../../server/features/index.ts';
import { marked, remark } from './marked.ts';

/** Marks of the tests are stretches; without them nothing would be compared. */
function holdsMarks(files: Readonly<Record<string, string>>): void {
  expect(Object.values(files).join('')).toContain('⟦');
}

describe('references', () => {
  test.each<[string, Record<string, string>]>([
    [
      'a tool of the register, in every log that uses it',
      {
        'harbour.bench':
          'bench "Harbour workshop"\ntool ⟦TW‸1⟧ "3/8 click wrench" range 10..60 N·m\ntool TW10 "1/2 click wrench"\n',
        'a.rebuild':
          'log "A"\nuse "harbour.bench"\nstep "Torque TW1" 2026-05-04 with ⟦TW1⟧\n  torque x[1] to 24 N·m with ⟦TW1⟧ # TW1\n  note TW1 is worn\n',
        'b.rebuild': 'log "B"\nuse "./harbour.bench"\nstep "S" 2026-05-04 with ⟦TW1⟧\n',
        'c.rebuild': 'log "C"\ntool TW1 "another shop\'s"\nstep "S" 2026-05-04 with TW1\n',
        'd.rebuild': 'log "D"\nstep "S" 2026-05-04 with TW1\n',
      },
    ],
    [
      'a log’s own tool stands before that of the register',
      {
        'harbour.bench': 'bench "H"\ntool TW1 "wrench"\n',
        'a.rebuild': 'log "A"\nuse "harbour.bench"\ntool ⟦TW1⟧ "own"\nstep "S" 2026-05-04 with ⟦T‸W1⟧\n',
      },
    ],
    [
      'a limit: its lines for each grade, expressions, readings, concessions; whole words only',
      {
        't.limits':
          'limits "T"\nlimit ⟦bore⟧[front rear] 67.50..67.52 mm of cylinder\nlimit ⟦bore⟧[front rear] 67.75..67.77 mm of cylinder for cylinder os1\nlimit bore-taper[front rear] = taper(⟦bore⟧) <= 0.03 mm\nlimit clearance[front rear] = ⟦bore⟧ - skirt 0.06..0.12 mm\npart cylinder[front rear]\n',
        'a.rebuild':
          'log "A"\nuse "t.limits"\nstep "S" 2026-05-04\n  measure ⟦bo‸re⟧[rear] = 67.51 mm because "bore"\n  accept ⟦bore⟧[rear] because "x" by JM\n',
      },
    ],
    [
      'a sealant that a table of limits names for the register of its log',
      {
        'h.bench': 'bench "H"\nsealant ⟦grey-rtv⟧ "grey RTV" cure 12 h\n',
        't.limits': 'limits "T"\nfastener a[1..4] torque 10 N·m\njoint j sealant ⟦grey-rtv⟧ fasteners a\n',
        'a.rebuild':
          'log "A"\nuse "h.bench"\nuse "t.limits"\nstep "S" 2026-05-04\n  apply ⟦grey‸-rtv⟧ to j\n',
      },
    ],
    [
      'a joint, a part, an assembly and an inspection share one name space with groups',
      {
        't.limits':
          'limits "T"\nassembly top "Top"\nfastener ⟦case-m8⟧[1..10] torque 24 N·m of ⟦case-m8⟧\njoint j fasteners ⟦case-m8⟧\nstack s = case-m8x, ⟦case-m8⟧\n',
        'a.rebuild':
          'log "A"\nuse "t.limits"\ncovers top\nstep "S" 2026-05-04\n  finger-tight ⟦case‸-m8⟧[all]\n  torque ⟦case-m8⟧[1..10] to 24 N·m\n  apply stripe to ⟦case-m8⟧[1..4] ⟦case-m8⟧[5..10]\n',
      },
    ],
    [
      'a person, in lists and signatures',
      {
        'a.rebuild':
          'log "A"\nperson ⟦A‸Q⟧ "Ada Quill" builder\nperson JM "Jory Marsh" inspector\nstep "S" 2026-05-04 by ⟦AQ⟧, JM\n  note AQ\nsign ⟦AQ⟧ "done AQ" 2026-05-04\n',
      },
    ],
    [
      'an open item belongs to its log',
      {
        'a.rebuild':
          'log "A"\nstep "S" 2026-05-04\n  open ⟦R1⟧ "Order a stop"\n  close ⟦R‸1⟧ "fitted"\n  open R2 "R1"\n',
        'b.rebuild': 'log "B"\nuse "a.rebuild"\nstep "S" 2026-05-04\n  close R1\n',
      },
    ],
    [
      'a name that nothing declares, in its own file',
      {
        'a.rebuild': 'log "A"\nstep "S" 2026-05-04 with ⟦TX⟧\n  torque x[1] to 5 N·m with ⟦T‸X⟧\n',
        'b.rebuild': 'log "B"\nstep "S" 2026-05-04 with TX\n',
      },
    ],
    [
      'letters of any script, with marks written in two ways',
      {
        'a.rebuild':
          'log "A"\r\npart ⟦kol‸ben-vorn-\u00e4⟧\r\nstep "🔧" 2026-05-04\r\n  fit ⟦kolben-vorn-a\u0308⟧ new\r\n',
      },
    ],
    [
      'tables: the name above the rows',
      {
        'a.rebuild':
          'log "A"\nlimit ⟦gap⟧[a b] 1..2 mm\nstep "S" 2026-05-04\n  measure ⟦g‸ap⟧ in mm\n    | | a | b |\n    | | 1 | 2 |\n',
      },
    ],
    [
      'a member: whatever says or means it',
      {
        'a.rebuild':
          'log "A"\nfastener ⟦case[1..4]⟧ torque 24 N·m\nlimit play[1 3] 1..2 mm of ⟦case⟧\njoint j fasteners ⟦case⟧\nstep "S" 2026-05-04\n  torque case[1 2] to 24 N·m\n  torque ⟦case[‸3]⟧ to 24 N·m\n  torque ⟦case[2..4]⟧ to 24 N·m\n  loosen case[4]\n  apply stripe to ⟦case[all]⟧\n',
      },
    ],
    [
      'members under one of their parents',
      {
        'a.rebuild':
          'log "A"\npart ⟦ring[(front rear)/(top low)]⟧\nstep "S" 2026-05-04\n  fit ⟦ring[fr‸ont]⟧\n  fit ⟦ring[front/low]⟧\n  fit ring[rear/low]\n  remove ⟦ring[rear front/top]⟧\n',
      },
    ],
  ])('%s', (_, files) => {
    holdsMarks(files);
    const at = marked(files);
    expect(remark(at, referencesAt(at.workspace, at.path, at.offset))).toEqual(files);
  });

  test('no name under the cursor, nothing found', () => {
    const at = marked({ 'a.rebuild': 'log "A‸Q"\nperson AQ "Ada Quill" builder\n' });
    expect(referencesAt(at.workspace, at.path, at.offset)).toEqual([]);
  });

  test('a name just typed is found where it was not before', () => {
    const at = marked({ 'a.rebuild': 'log "A"\ntool T‸1 "x"\nstep "S" 2026-05-04\n  run 1 h with T\n' });
    const text = at.workspace.file('a.rebuild')!.text;
    at.workspace.set('a.rebuild', text.replace('with T\n', 'with T1\n'));
    expect(referencesAt(at.workspace, at.path, at.offset).map((one) => one.declares)).toEqual([true, false]);
  });
});

describe('highlights', () => {
  test('only in the file, declarations told from uses', () => {
    const files = {
      'h.bench': 'bench "H"\ntool TW1 "wrench"\n',
      'a.rebuild':
        'log "A"\nuse "h.bench"\nstep "S" 2026-05-04 with ⟦TW‸1⟧\n  torque x[1] to 24 N·m with ⟦TW1⟧\n',
    };
    const at = marked(files);
    const found = highlightsAt(at.workspace, at.path, at.offset);
    expect(remark(at, found)).toEqual(files);
    expect(found.map((one) => one.declares)).toEqual([false, false]);
  });
});

describe('definition', () => {
  test.each<[string, Record<string, string>]>([
    [
      'of a tool, in the register',
      {
        'h.bench': 'bench "H"\ntool ⟦TW1⟧ "wrench"\n',
        'a.rebuild': 'log "A"\nuse "h.bench"\nstep "S" 2026-05-04 with TW‸1\n',
      },
    ],
    [
      'of a member: the group that it belongs to',
      {
        'a.rebuild':
          'log "A"\nfastener ⟦case-m8⟧[1..10] torque 24 N·m\nstep "S" 2026-05-04\n  torque case-m8[1 ‸2] to 24 N·m\n',
      },
    ],
    [
      'of a limit with a line for each grade: both',
      {
        'a.rebuild':
          'log "A"\npart cylinder\nlimit ⟦bore⟧ 67.50..67.52 mm of cylinder\nlimit ⟦bore⟧ 67.75..67.77 mm of cylinder for cylinder os1\nstep "S" 2026-05-04\n  measure ‸bore = 67.51 mm\n',
      },
    ],
    ['of an open item', { 'a.rebuild': 'log "A"\nstep "S" 2026-05-04\n  open ⟦R1⟧ "x"\n  close R1‸\n' }],
    [
      'of an inspection',
      {
        'a.rebuild':
          'log "A"\ninspection ⟦flush⟧ "Pins flush" needs builder\nstep "S" 2026-05-04\n  inspect flus‸h pass\n',
      },
    ],
    [
      'of the file that is used: its start',
      { 't.limits': '⟦⟧limits "T"\n', 'a.rebuild': 'log "A"\nuse "t‸.limits"\n' },
    ],
    ['of a file that is not there: nothing', { 'a.rebuild': 'log "A"\nuse "t‸.limits"\n' }],
    [
      'of words in quotes: nothing',
      { 'a.rebuild': 'log "A"\nstep "S" 2026-05-04\n  inspect "fl‸ush" pass\n' },
    ],
  ])('%s', (_, files) => {
    const at = marked(files);
    const found = definitionsAt(at.workspace, at.path, at.offset);
    expect(
      remark(
        at,
        found.map((one) => one.to),
      ),
    ).toEqual(files);
  });
});
