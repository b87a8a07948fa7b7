/** Features over several files: links, what a moved file changes in others, and the search for names. */
import { describe, expect, test } from 'vitest';
import { editsForMoves, linksOf, type Move, symbolsMatching } from '../../server/features/index.ts';
import { edited, marked, remark } from './marked.ts';

test('links are the files that are used and the photographs, without their quotes', () => {
  const files = {
    'logs/a.rebuild':
      'log "A"‸\nuse "⟦../t.limits⟧" mark 9f3c0d1e7a55b2c4\nuse ""\nstep "S" ?\n  photo "⟦img/00 31.jpg⟧" "squish"\n  photo ?\n  note photo "x.jpg"\n  photo “⟦b.jpg⟧”\n  photo "c.jpg\n',
  };
  const at = marked(files);
  const links = linksOf(at.workspace, at.path);
  expect(
    remark(
      at,
      links.map((link) => ({ ...link, path: at.path })),
    ),
  ).toEqual(files);
  expect(links.map((link) => link.path)).toEqual(['t.limits', 'logs/img/00 31.jpg', 'logs/b.jpg']);
});

describe('when files move', () => {
  const limits = 'limits "T"\n';
  const bench = 'bench "H"\n';
  function moved(files: Record<string, string>, moves: readonly Move[]): Record<string, string> {
    const at = marked(files);
    return edited(at, editsForMoves(at.workspace, moves));
  }

  test.each<[string, Move[], string]>([
    [
      'a table gets another name',
      [{ from: 't/tern.limits', to: 't/tern-3.limits' }],
      'use "../t/tern-3.limits"\nuse "./h.bench"',
    ],
    [
      'a table moves beside the log',
      [{ from: 't/tern.limits', to: 'logs/tern.limits' }],
      'use "tern.limits"\nuse "./h.bench"',
    ],
    [
      'a register moves, and keeps its leading ./',
      [{ from: 'logs/h.bench', to: 'logs/x/h"2.bench' }],
      'use "../t/tern.limits"\nuse "./x/h\\"2.bench"',
    ],
    [
      'a folder gets another name',
      [{ from: 't', to: 'tables' }],
      'use "../tables/tern.limits"\nuse "./h.bench"',
    ],
    [
      'the log moves',
      [{ from: 'logs/a.rebuild', to: 'a.rebuild' }],
      'use "t/tern.limits"\nuse "./logs/h.bench"',
    ],
    [
      'the log moves with its register',
      [{ from: 'logs', to: 'old/logs' }],
      'use "../../t/tern.limits"\nuse "./h.bench"',
    ],
    [
      'everything moves together',
      [
        { from: 't', to: 'z/t' },
        { from: 'logs', to: 'z/logs' },
      ],
      'use "../t/tern.limits"\nuse "./h.bench"',
    ],
    [
      'something else moves',
      [{ from: 't/tern.limits.txt', to: 'x' }],
      'use "../t/tern.limits"\nuse "./h.bench"',
    ],
  ])('%s', (_, moves, uses) => {
    const log = 'log "A"\nuse "../t/tern.limits"\nuse "./h.bench"\n';
    const files = { 't/tern.limits': limits, 'logs/h.bench': bench, 'logs/a.rebuild': log };
    expect(moved(files, moves)).toEqual({ ...files, 'logs/a.rebuild': `log "A"\n${uses}\n` });
  });

  test('a photograph moves; addresses of an editor count as one root', () => {
    const files = { 'file:///w/a.rebuild': 'log "A"\nstep "S" ?\n  photo "img/1.jpg" "x"\n' };
    expect(moved(files, [{ from: 'file:///w/img', to: 'file:///photos' }])).toEqual({
      'file:///w/a.rebuild': 'log "A"\nstep "S" ?\n  photo "../photos/1.jpg" "x"\n',
    });
    expect(moved(files, [{ from: 'file:///w/img', to: 'vault://x/photos' }])).toEqual(files);
  });

  test('what is signed with a mark needs a yes', () => {
    const at = marked({
      't.limits': limits,
      'a.rebuild':
        'log "A"\nuse "t.limits"\nsign AQ "x" 2026-05-04 mark 9f3c0d1e7a55b2c4\nstep "S" ?\n  photo "t.limits"\n',
    });
    const edits = editsForMoves(at.workspace, [{ from: 't.limits', to: 'u.limits' }]);
    expect(edits.map((one) => one.breaks)).toEqual([
      'a.rebuild is signed with a mark, which this would break',
      undefined,
    ]);
  });
});

describe('search', () => {
  const files = {
    't.limits':
      '‸limits ⟦"Tern 460"⟧\nassembly ⟦bottom-end⟧ "x"\nlimit ⟦crank-runout⟧ 0..1 mm of crank\nfastener ⟦case-m8⟧[1..2] torque 5 N·m\npart ⟦crank⟧\n',
    'a.rebuild':
      'log ⟦"Tern 0117"⟧\nmachine ⟦tern⟧ serial "0117"\nstep ⟦"Measure the crank"⟧ 2026-05-04 by AQ\n  measure crank-runout = 1 mm\n  note crank\n',
  };
  test('finds titles, declarations and steps, nothing else', () => {
    const at = marked(files);
    expect(remark(at, symbolsMatching(at.workspace, ''))).toEqual(files);
  });

  test.each([
    ['crank', ['crank-runout', 'crank', 'Measure the crank']],
    ['CRNK', ['crank-runout', 'crank', 'Measure the crank']],
    ['tern 01', ['Tern 0117']],
    ['m8', ['case-m8']],
    ['knarc', []],
  ])('%s', (query, names) => {
    const at = marked(files);
    expect(symbolsMatching(at.workspace, query).map((one) => one.name)).toEqual(names);
  });

  test('says in which file', () => {
    const at = marked(files);
    expect(symbolsMatching(at.workspace, 'Measure').map((one) => one.container)).toEqual(['Tern 0117']);
  });
});
