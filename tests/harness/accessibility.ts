/** Runs axe-core in a page: what breaks WCAG 2.2 at levels A and AA, a line for each place. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** A page, or a frame of one. */
interface Scripted {
  evaluate<T>(script: string): Promise<T>;
}

/** An empty list is what is wanted. */
export async function accessibilityFaults(page: Scripted): Promise<readonly string[]> {
  await page.evaluate(`${source}; undefined`);
  return await page.evaluate<readonly string[]>(`(async () => {
    const { violations } = await axe.run(document, {
      runOnly: { type: 'tag', values: ${JSON.stringify(tags)} },
      resultTypes: ['violations'],
    });
    return violations.flatMap(({ id, nodes }) =>
      nodes.map(({ target, failureSummary }) => id + ' ' + target.join(' ') + ': ' + failureSummary));
  })()`);
}
