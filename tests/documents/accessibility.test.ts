/** The pages against WCAG A and AA by axe-core, light and dark. Needs Chromium; says so where there is none. */
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  compareReports,
  comparisonHtml,
  reportFacts,
  reportHtml,
  trendsHtml,
  trendsOf,
  worksheetHtml,
} from '../../server/documents/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { accessibilityFaults } from '../harness/accessibility.ts';
import { chromiumPath, tellWithoutChromium } from '../harness/chromium.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

tellWithoutChromium('tests/documents/accessibility.test.ts');

const samples = sampleWorkspace();
const [released, open, table] = [
  'tern-460/0117-second-rebuild.rebuild',
  'tern-460/0122-first-rebuild.rebuild',
  'tern-460/tern-460.limits',
].map((path) => checkedIn(samples, path)) as [Checked, Checked, Checked];
type Checked = ReturnType<typeof checkedIn>;

/** Four rebuilds of one gearbox, so that there is a line, a band and a projection to draw. */
function trendPage(): string {
  const workspace = createWorkspace();
  workspace.set('gearbox.limits', 'limits "Gearbox"\nlimit shaft-runout 0..0.04 mm wear <= 0.06 mm\n');
  const logs = [0, 1, 2, 3].map((i) => `${i}.rebuild`);
  for (const [i, path] of logs.entries())
    workspace.set(
      path,
      `log "x"\nuse "gearbox.limits"\nmachine gearbox serial "4" hours ${1 + i}00 h\nstep "Measure" 202${i}-05-02\n  measure shaft-runout = 0.0${1 + i} mm\n`,
    );
  return trendsHtml(trendsOf(logs.map((path) => workspace.check(path)!)));
}

const pages: readonly (readonly [name: string, html: string])[] = [
  ['the report of a released log', reportHtml(released)!],
  ['the report of an open log', reportHtml(open)!],
  ['the comparison', comparisonHtml(compareReports(reportFacts(released)!, reportFacts(open)!))],
  ['the bench card', worksheetHtml({ path: table.path, scope: table.rebuild.scope })],
  ['wear over hours', trendPage()],
];

describe.skipIf(chromiumPath === undefined)('by axe-core', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: chromiumPath!, args: ['--no-sandbox'] });
  });
  afterAll(() => browser.close());

  test.each(pages)('%s: no fault, light, dark and narrow', { timeout: 60_000 }, async (_name, html) => {
    const page = await browser.newPage();
    await page.setContent(html);
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      expect(await accessibilityFaults(page)).toEqual([]);
    }
    await page.setViewportSize({ width: 480, height: 800 });
    expect(await accessibilityFaults(page)).toEqual([]);
    await page.close();
  });

  test('a fault would be found', async () => {
    const page = await browser.newPage();
    await page.setContent('<html lang="en"><title>x</title><main><h1>x</h1><img src="data:,"></main></html>');
    expect(await accessibilityFaults(page)).toHaveLength(1);
    await page.close();
  });
});
