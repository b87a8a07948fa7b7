/** A long log that is edited all day: the texts before an edit are not kept. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import { createWorkspace } from '../../server/workspace/index.ts';

setFlagsFromString('--expose-gc');
const collect: () => void = runInNewContext('gc');

test('edits of many lines keep no earlier text in memory', () => {
  const line = (i: number) =>
    `  note Wiped down and looked over, nothing to be seen, for the time no. ${i}\n`;
  const head = 'log "Tern 460 no. 0117"\nstep "Look over" 2026-05-02\n';
  const all = Array.from({ length: 30_000 }, (_, i) => line(i));
  let text = head + all.join('');
  const workspace = createWorkspace();
  workspace.set('a.rebuild', text);
  const held = () => {
    workspace.check('a.rebuild');
    collect();
    return process.memoryUsage().heapUsed;
  };
  const before = held();
  for (let i = 0; i < 60; i++) {
    const start = text.indexOf(`no. ${i * 400}\n`);
    text = `${text.slice(0, start)}again, ${text.slice(start)}`;
    workspace.set('a.rebuild', text, { start, oldEnd: start, newEnd: start + 7 });
  }
  // One text is about 2.3 MB.
  expect(text.length).toBeGreaterThan(2e6);
  expect((held() - before) / text.length).toBeLessThan(10);
});
