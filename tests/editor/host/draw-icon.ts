/** Draws the extension's icon, `client/icons/extension.png`, from the SVG beside it. Run by hand. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { startBrowser } from './editor.ts';
import { installHost } from './install.ts';

const icons = resolve(import.meta.dirname, '../../../client/icons');
const browser = await startBrowser((await installHost()).browser);
const page = await browser.newPage({ viewport: { width: 128, height: 128 } });
await page.setContent(`<body style="margin:0">${readFileSync(`${icons}/extension.svg`, 'utf8')}</body>`);
await page.screenshot({ path: `${icons}/extension.png`, omitBackground: true });
await browser.close();
