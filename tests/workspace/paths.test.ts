/** Where a written path leads, from plain paths and from the addresses of an editor. */
import { expect, test } from 'vitest';
import { resolveUsed } from '../../server/workspace/index.ts';

test.each([
  ['logs/a.rebuild', '../t.limits', 't.limits'],
  ['a.rebuild', './x/../t.limits', 't.limits'],
  ['logs/a.rebuild', 'x\\t.limits', 'logs/x/t.limits'],
  ['/w/logs/a.rebuild', '/tables/t.limits', '/tables/t.limits'],
  ['file:///w/logs/a.rebuild', '../t.limits', 'file:///w/t.limits'],
  ['file:///w/logs/a.rebuild', '/tables/t.limits', 'file:///tables/t.limits'],
  ['file:///c:/w/a.rebuild', 'D:/tables/t.limits', 'file:///D:/tables/t.limits'],
  ['vault://shop/w/a.rebuild', '/t.limits', 'vault://shop/t.limits'],
])('%s uses %s: %s', (from, written, path) => {
  expect(resolveUsed(from, written)).toBe(path);
});
