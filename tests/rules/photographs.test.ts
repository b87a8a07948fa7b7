/** Photographs that a log pins by their bytes: what is told of one that is another now, or is gone. */
import { expect, test } from 'vitest';
import type { Finding } from '../../server/rebuild/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const DIGEST = '3b'.repeat(32);
const OTHER = 'c7'.repeat(32);

const LOG = `log "Tern 460 no. 0117"
person AQ "Ada Quill" builder
step "Strip" 2026-05-02 09:30
  photo "img/0012.jpg" mark ${DIGEST.slice(0, 16)}
  photo "img/0013.jpg" mark ${DIGEST}
  photo "img/0014.jpg"
`;

/** The findings of a log whose photographs have these digests; null is one that is gone. */
function changed(digests: Record<string, string | null>, text = LOG): readonly Finding[] {
  const workspace = createWorkspace();
  workspace.set('logs/0117.rebuild', text);
  workspace.setPhotographs('logs/0117.rebuild', new Map(Object.entries(digests)));
  const { findings = [] } = workspace.check('logs/0117.rebuild') ?? {};
  return findings.filter(({ rule }) => rule === 'import-changed');
}

const textAt = (text: string, { at }: Pick<Finding, 'at'>) =>
  text.slice(at.block.start + at.start, at.block.start + at.end);

test('as they were pinned, to however many digits, nothing is said; nor of one that is not pinned', () => {
  expect(changed({ 'img/0012.jpg': DIGEST, 'img/0013.jpg': DIGEST, 'img/0014.jpg': OTHER })).toEqual([]);
  expect(changed({})).toEqual([]);
});

test('another picture under the name: the new digest to as many digits, and a fix that pins it', () => {
  const found = changed({ 'img/0012.jpg': OTHER, 'img/0013.jpg': OTHER });
  expect(found.map(({ message }) => message)).toEqual([
    `img/0012.jpg is not the photograph that was pinned here: its digest is now ${OTHER.slice(0, 16)}. Put the right one back, or pin it as it is.`,
    `img/0013.jpg is not the photograph that was pinned here: its digest is now ${OTHER}. Put the right one back, or pin it as it is.`,
  ]);
  expect(textAt(LOG, found[1]!)).toBe(DIGEST);
  const [fix] = found[1]!.fixes!;
  expect(fix!.title).toBe('Pin img/0013.jpg as it is now');
  expect(fix!.edits.map(({ text }) => text)).toEqual([OTHER]);
  expect(textAt(LOG, { at: fix!.edits[0]! })).toBe(DIGEST);
});

test('one that is gone has no fix: it is to be put back', () => {
  const [found, ...more] = changed({ 'img/0012.jpg': null, 'img/0013.jpg': DIGEST });
  expect(more).toEqual([]);
  expect(found).toMatchObject({
    message:
      'img/0012.jpg was pinned here and cannot be read. The path counts from the folder of this file: put the photograph back.',
  });
  expect(found!.fixes ?? []).toEqual([]);
  expect(textAt(LOG, found!)).toBe(DIGEST.slice(0, 16));
});

test('under a signature with a mark the pin stays; a line below the signature can be pinned anew', () => {
  const text = `${LOG}sign AQ "Stripped" 2026-05-02 16:00 mark 63ef2fd3caf53289
step "Clean" 2026-05-03 09:30
  photo "img/0015.jpg" mark ${DIGEST.slice(0, 16)}
`;
  const found = changed({ 'img/0012.jpg': OTHER, 'img/0015.jpg': OTHER }, text);
  expect(found.map(({ message, fixes }) => [message, fixes?.length])).toEqual([
    [
      `img/0012.jpg is not the photograph that was pinned here: its digest is now ${OTHER.slice(0, 16)}. The line is signed and marked, so it stays: put the one that was pinned back under this name.`,
      0,
    ],
    [
      `img/0015.jpg is not the photograph that was pinned here: its digest is now ${OTHER.slice(0, 16)}. Put the right one back, or pin it as it is.`,
      1,
    ],
  ]);
});
