/** The pages in a real browser: light, dark, narrow and on paper. Needs Chromium; says so where there is none. */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { reportHtml, worksheetHtml } from '../../server/documents/index.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

const executablePath = [
  process.env.WITNESSMARK_CHROMIUM ?? '',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((path) => path !== '' && existsSync(path));
if (executablePath === undefined)
  console.log(
    'tests/documents/print.test.ts: skipped, there is no Chromium here (WITNESSMARK_CHROMIUM names one).',
  );

const samples = sampleWorkspace();
const table = 'tern-460/tern-460.limits';
const pages: readonly (readonly [name: string, html: string])[] = [
  ['released', reportHtml(checkedIn(samples, 'tern-460/0117-second-rebuild.rebuild'))!],
  ['open', reportHtml(checkedIn(samples, 'tern-460/0122-first-rebuild.rebuild'))!],
  ['bench card', worksheetHtml({ path: table, scope: checkedIn(samples, table).rebuild.scope })],
];

describe.skipIf(executablePath === undefined)('in a browser', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'witnessmark-print-'));
    browser = await chromium.launch({ executablePath: executablePath!, args: ['--no-sandbox'] });
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** Opens a page and gives what it asked for besides itself, and what the console said. */
  async function open(name: string, html: string): Promise<{ page: Page; asked: string[]; said: string[] }> {
    const path = join(folder, `${name}.html`);
    writeFileSync(path, html);
    const page = await browser.newPage();
    const asked: string[] = [];
    const said: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    page.on('console', (message) => said.push(message.text()));
    await page.goto(pathToFileURL(path).href);
    return { page, asked: asked.slice(1), said };
  }

  /** What sticks out of the sheet to the right, by more than a hair. Written as text: it runs in the page. */
  const sticksOut = (page: Page) =>
    page.evaluate<readonly string[]>(`(() => {
      const right = document.querySelector('main').getBoundingClientRect().right;
      return [...document.querySelectorAll('main :is(table, svg, pre, p, td, th)')]
        .filter((one) => one.getBoundingClientRect().right > right + 1)
        .map((one) => one.tagName + ' ' + one.textContent.slice(0, 40));
    })()`);

  test.each(pages)('%s: asks for nothing, breaks no policy, fits its width', async (name, html) => {
    const { page, asked, said } = await open(name, html);
    expect([asked, said]).toEqual([[], []]);
    for (const width of [1200, 900]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await sticksOut(page)).toEqual([]);
    }
    await page.close();
  });

  test.each(pages)('%s: dark and light, and always light on paper', async (name, html) => {
    const { page } = await open(name, html);
    const ground = () => page.evaluate<string>('getComputedStyle(document.body).backgroundColor');
    await page.emulateMedia({ media: 'screen', colorScheme: 'light' });
    expect(await ground()).toBe('rgb(255, 255, 255)');
    await page.emulateMedia({ media: 'screen', colorScheme: 'dark' });
    expect(await ground()).toBe('rgb(30, 30, 30)');
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    expect(await ground()).toBe('rgb(255, 255, 255)');
    await page.close();
  });

  // Widths between the margins, in CSS pixels: 210 and 216 mm less 26 mm.
  test.each(
    pages.flatMap(([name, html]) => [[name, 'A4', 695, html] as const, [name, 'Letter', 717, html] as const]),
  )('%s: prints on %s with no row cut and nothing past the margin', async (name, _paper, width, html) => {
    const { page } = await open(name, html);
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width, height: 1000 });
    expect(await sticksOut(page)).toEqual([]);
    const cut = await page.evaluate<number>(`[...document.querySelectorAll('tr, figure, .entries li')]
        .filter((one) => getComputedStyle(one).breakInside !== 'avoid').length`);
    expect(cut).toBe(0);
    await page.close();
  });

  test('is printed as a paged document', async () => {
    const [name, html] = pages[0]!;
    const { page } = await open(name, html);
    const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
    expect(pdf.slice(0, 5)).toBe('%PDF-');
    const sheets = pdf.match(/\/Type\s*\/Page\b(?!s)/g)!.length;
    expect(sheets).toBeGreaterThan(5);
    expect(sheets).toBeLessThan(25);
    await page.close();
  });
});
