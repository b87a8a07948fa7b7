/** The pages in a real browser: light, dark, narrow and on paper. Needs Chromium; says so where there is none. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  compareReports,
  comparisonHtml,
  dueHtml,
  dueList,
  reportFacts,
  reportHtml,
  trendsHtml,
  trendsOf,
  worksheetHtml,
} from '../../server/documents/index.ts';
import { chromiumPath, tellWithoutChromium } from '../harness/chromium.ts';
import { checkedIn, sampleWorkspace } from './samples.ts';

tellWithoutChromium('tests/documents/print.test.ts');

const samples = sampleWorkspace();
const table = 'tern-460/tern-460.limits';
const log = (path: string) => checkedIn(samples, path);
const [released, open] = [
  log('tern-460/0117-second-rebuild.rebuild'),
  log('tern-460/0122-first-rebuild.rebuild'),
];
const pages: readonly (readonly [name: string, html: string])[] = [
  ['released', reportHtml(released)!],
  ['open', reportHtml(open)!],
  ['gearbox', reportHtml(log('pump-gearbox/no-4.rebuild'))!],
  ['bench card', worksheetHtml({ path: table, scope: checkedIn(samples, table).rebuild.scope })],
  ['comparison', comparisonHtml(compareReports(reportFacts(open)!, reportFacts(released)!))],
  [
    'due',
    dueHtml(
      dueList(
        [released, open].map(({ rebuild }) => rebuild),
        { on: '2026-11-25' },
      ),
    ),
  ],
  ['trend', trendsHtml(trendsOf([released, open]))],
];

describe.skipIf(chromiumPath === undefined)('in a browser', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'witnessmark-print-'));
    browser = await chromium.launch({ executablePath: chromiumPath!, args: ['--no-sandbox'] });
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** Opens a page and gives what it asked for besides itself, and what the console said. */
  async function openPage(
    name: string,
    html: string,
  ): Promise<{ page: Page; asked: string[]; said: string[] }> {
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
    const { page, asked, said } = await openPage(name, html);
    expect([asked, said]).toEqual([[], []]);
    for (const width of [1200, 900]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await sticksOut(page)).toEqual([]);
    }
    await page.close();
  });

  test('on a telephone what was found has half of the width', async () => {
    const { page } = await openPage('phone', reportHtml(open)!);
    await page.setViewportSize({ width: 390, height: 800 });
    const share = await page.evaluate<number>(`(() => {
      const width = (one) => one.getBoundingClientRect().width;
      return width(document.querySelector('td.prose')) / width(document.querySelector('main section'));
    })()`);
    expect(share).toBeGreaterThan(0.5);
    await page.close();
  });

  test.each(pages)('%s: dark and light, and always light on paper', async (name, html) => {
    const { page } = await openPage(name, html);
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
    const { page } = await openPage(name, html);
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width, height: 1000 });
    expect(await sticksOut(page)).toEqual([]);
    const cut = await page.evaluate<number>(`[...document.querySelectorAll('tr, figure, .entries li')]
        .filter((one) => getComputedStyle(one).breakInside !== 'avoid').length`);
    expect(cut).toBe(0);
    await page.close();
  });

  /** Puts a mark at the beginning and the end of every cell, so that a row's first and last line can be found. */
  const markRows = (page: Page) =>
    page.evaluate<number>(`(() => {
      const rows = [...document.querySelectorAll('tbody tr, .entries li')];
      const put = (cell, where, text) => {
        const mark = document.createElement('span');
        mark.textContent = text;
        mark.style = 'font:4px monospace;white-space:nowrap';
        cell.insertAdjacentElement(where, mark);
      };
      rows.forEach((row, i) => {
        for (const cell of row.matches('tr') ? row.cells : [row]) {
          put(cell, 'afterbegin', ' qb' + i + 'q ');
          put(cell, 'beforeend', ' qe' + i + 'q ');
        }
      });
      return rows.length;
    })()`);

  const hasPdftotext = spawnSync('pdftotext', ['-v']).error === undefined;
  if (!hasPdftotext)
    console.log(
      'tests/documents/print.test.ts: where rows fall on sheets is skipped, there is no pdftotext here.',
    );

  test
    .skipIf(!hasPdftotext)
    .each(pages.flatMap(([name, html]) => [[name, 'A4', html] as const, [name, 'Letter', html] as const]))(
    '%s: in the PDF on %s every row is whole on one sheet',
    async (name, format, html) => {
      const { page } = await openPage(name, html);
      const rows = await markRows(page);
      const file = join(folder, `${name}-${format}.pdf`);
      await page.pdf({ format, path: file });
      await page.close();
      const { stdout } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
      const sheets = stdout.split('\f').slice(0, -1);
      expect(sheets.length).toBeLessThan(rows);
      const cut: string[] = [];
      let found = 0;
      for (let i = 0; i < rows; i++) {
        const on = (mark: string) => sheets.flatMap((text, sheet) => (text.includes(mark) ? [sheet] : []));
        const places = new Set([...on(`qb${i}q`), ...on(`qe${i}q`)]);
        if (places.size > 0) found++;
        if (places.size > 1) cut.push(`row ${i} on sheets ${[...places].join(' and ')}`);
      }
      expect(cut).toEqual([]);
      expect(found).toBe(rows);
    },
  );
});
