/** Writing a mark: what is pinned first, where the digits go, and when none is written. */
import { describe, expect, test } from 'vitest';
import { format, parse } from '../../grammar/index.ts';
import { applyMarkEdits, type MarkWishes, markEdits } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const TABLE = 'limits "Tern 460"\nlimit crank-runout 0..0.05 mm\n';
const PHOTO = 'ab'.repeat(32);

/** A log with the table that it uses; files that are not there are known to be absent. */
function workspaceOf(text: string) {
  const workspace = createWorkspace();
  workspace.set('tern.limits', TABLE);
  workspace.set('log.rebuild', text);
  for (const path of workspace.wanted()) workspace.markAbsent(path);
  return workspace.check('log.rebuild')!;
}

/** The log once its mark is written, or why it is not. */
function marked(text: string, wishes: MarkWishes = {}): string {
  const plan = markEdits(workspaceOf(text).rebuild, wishes);
  return 'edits' in plan ? applyMarkEdits(text, plan.edits) : plan.message;
}

const rules = (text: string) => workspaceOf(text).findings.map(({ rule }) => rule);

const LOG = `log "Tern 460 no. 0117"
use "tern.limits"
person AQ "Ada Quill" builder
person JM "Jory Marsh" inspector

step "Measure" 2026-05-02 14:00 by AQ
  measure crank-runout = 0.03 mm
  photo "img/0012.jpg" "dial at zero" at 14:05
sign AQ "Measured" 2026-05-02 16:00
`;

test('pins what is used, then marks the signature; the mark holds', () => {
  const text = marked(LOG, { photos: new Map([['img/0012.jpg', PHOTO]]) });
  expect(text).toMatch(/^use "tern\.limits" mark [0-9a-f]{16}$/m);
  expect(text).toMatch(/^ {2}photo "img\/0012\.jpg" "dial at zero" mark abababababababab at 14:05$/m);
  expect(text).toMatch(/^sign AQ "Measured" 2026-05-02 16:00 mark [0-9a-f]{16}$/m);
  expect(text.replaceAll(/ mark [0-9a-f]{16}/g, '')).toBe(LOG);
  expect(rules(text)).toEqual([]);
});

test('the edits are canonical: formatting changes nothing more', () => {
  const text = marked(LOG, { photos: new Map([['img/0012.jpg', PHOTO]]) });
  expect(format(parse(text))).toBe(text);
});

test('a photograph that nobody could read stays unpinned, and is named', () => {
  const plan = markEdits(workspaceOf(LOG).rebuild);
  expect(plan).toMatchObject({
    pinned: ['tern.limits'],
    unpinned: [{ file: 'img/0012.jpg', reason: 'unread' }],
  });
});

test('the next signature goes on from the mark before it, which stays as it was', () => {
  const once = marked(LOG);
  const more = `${once}step "Run in" 2026-05-20 16:00 by AQ
  run 30 min "idle"
release JM "Returned to service" 2026-05-20 18:00
  ... hours 0.5 h
`;
  const twice = marked(more);
  expect(twice.startsWith(once)).toBe(true);
  expect(twice).toMatch(/hours 0\.5 h mark [0-9a-f]{16}\n$/);
  expect(rules(twice).filter((rule) => /mark|import/.test(rule))).toEqual([]);
});

test('of several signatures without a mark the last one is marked, or the one that is asked for', () => {
  const text = `${LOG}sign JM "Looked at" 2026-05-02 17:00\n`;
  expect(marked(text)).toMatch(/16:00\nsign JM "Looked at" 2026-05-02 17:00 mark [0-9a-f]{16}\n$/);
  const { rebuild } = workspaceOf(text);
  const first = rebuild.marks.unmarked[0]!;
  const plan = markEdits(rebuild, { closing: first });
  expect('edits' in plan && applyMarkEdits(text, plan.edits)).toMatch(/16:00 mark [0-9a-f]{16}\nsign JM/);
});

test('what an earlier mark covers is not pinned any more: that would break it', () => {
  const unpinned = `log "Tern 460 no. 0117"\nuse "tern.limits"\nperson AQ "Ada Quill" builder\nsign AQ "Begun" 2026-05-02 16:00`;
  const { digest } = workspaceOf(`${unpinned} mark 0000000000000000\n`).rebuild.marks.spans[0]!;
  const first = `${unpinned} mark ${digest.slice(0, 16)}\n`;
  const text = marked(`${first}sign AQ "Ended" 2026-05-03 16:00\n`);
  expect(text.startsWith(first)).toBe(true);
  expect(rules(text)).toEqual([]);
});

describe('no mark is written', () => {
  test.each([
    ['nothing signed', 'log "x"\n', /Nothing is signed yet/],
    ['all marked', marked('log "x"\nperson A "A" builder\nsign A "x" 2026-05-02\n'), /marked already/],
    ['a table of limits has no signatures', '', /Nothing is signed/],
    ['a line is not understood', LOG.replace('measure', 'mesure'), /not understood/],
    ['a unit is not understood', LOG.replace('0.03 mm', '0.03 mn'), /not understood/],
    [
      'a cell is not understood',
      LOG.replace('= 0.03 mm', 'in mm\n    | | a |\n    | x | 3,5 |'),
      /not understood/,
    ],
    ['the date is open', LOG.replace('2026-05-02 16:00', '?'), /date of this signature is still open/],
    [
      'a used file is missing',
      LOG.replace('tern.limits', 'turn.limits'),
      /cannot be pinned: it cannot be read/,
    ],
    [
      'a used file has changed since it was pinned',
      LOG.replace('tern.limits"', 'tern.limits" mark 9f3c0d1e7a55b2c4'),
      /not what it was when it was pinned/,
    ],
    [
      'an earlier mark is broken',
      `${marked(LOG).replace('0.03 mm', '0.04 mm')}sign AQ "Again" 2026-05-03\n`,
      /earlier mark is broken/,
    ],
  ])('%s', (_, text, said) => expect(marked(text)).toMatch(said));

  test('another photograph than was pinned', () => {
    const text = LOG.replace('"dial at zero"', '"dial at zero" mark cdcdcdcdcdcdcdcd');
    expect(marked(text, { photos: new Map([['img/0012.jpg', PHOTO]]) })).toMatch(/not the photograph/);
  });

  test('not for a log: only logs are signed', () => {
    const workspace = createWorkspace();
    workspace.set('tern.limits', TABLE);
    expect(markEdits(workspace.check('tern.limits')!.rebuild)).toMatchObject({
      message: 'Only a log is signed and marked.',
    });
  });
});
