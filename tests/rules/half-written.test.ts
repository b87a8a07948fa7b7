/**
 * A log is half-written most of its life: the examples of every page with a line left out, a line cut short, or a value
 * not yet known are judged without a rule failing, and no message speaks of what is not there.
 */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { rules } from '../../server/rules/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { type Example, examplesOf } from '../harness/pages.ts';

/** The line as it may stand while it is being written. */
function unfinished(line: string): string[] {
  const words = line.trimEnd().split(' ');
  const short = words.slice(0, -1).join(' ');
  const unknown = line.replace(/-?\d+(?:\.\d+)?(?= (?:mm|N·m|°|h|min|bar|in·lbf|ft·lbf)\b)/, '?');
  return ['', ...(short.trim() === '' ? [] : [short]), ...(unknown === line ? [] : [unknown])];
}

function variantsOf(example: Example): { path: string; text: string }[] {
  return example
    .filter(({ path }) => !path.endsWith('.json'))
    .flatMap(({ path, text }) => {
      const lines = text.split('\n');
      return lines.flatMap((line, i) =>
        line.trim() === ''
          ? []
          : unfinished(line).map((other) => ({ path, text: lines.with(i, other).join('\n') })),
      );
    });
}

test.each(rules.map(({ id }) => id))('%s judges its examples half-written', (id) => {
  const page = readFileSync(new URL(`../../server/rules/${id}.md`, import.meta.url), 'utf8');
  for (const example of examplesOf(page)) {
    const workspace = createWorkspace();
    for (const { path, text } of example) workspace.set(path, text);
    for (const path of workspace.wanted()) workspace.markAbsent(path);
    for (const variant of variantsOf(example)) {
      workspace.set(variant.path, variant.text);
      for (const { path } of example)
        for (const { rule, message, related = [], fixes = [] } of workspace.check(path)?.findings ?? []) {
          if (rule !== id) continue;
          const said = [message, ...related.map((one) => one.message), ...fixes.map(({ title }) => title)];
          for (const sentence of said)
            expect(sentence, variant.text).not.toMatch(/undefined|NaN|Infinity|\[object|\(\)|^$| {2}/);
        }
    }
  }
});
