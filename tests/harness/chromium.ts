/** A browser for tests of pages: WITNESSMARK_CHROMIUM, else one of the machine. */
import { existsSync } from 'node:fs';

export const chromiumPath: string | undefined = [
  process.env.WITNESSMARK_CHROMIUM ?? '',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((path) => path !== '' && existsSync(path));

/** Says once that the tests of a file are left out, where there is no browser. */
export function tellWithoutChromium(file: string): void {
  if (chromiumPath === undefined)
    console.log(`${file}: skipped, there is no Chromium here (WITNESSMARK_CHROMIUM names one).`);
}
