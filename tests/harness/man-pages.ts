/** Writes the manual page of every command into a folder: `node tests/harness/man-pages.ts FOLDER`. Every build does so. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { manPage, pageName } from '../../server/cli/man-page.ts';
import { addCommands, createProgram } from '../../server/cli/program.ts';

const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { readonly version: string };
// The bundles have it filled in.
(globalThis as { __VERSION__?: string }).__VERSION__ = version;

const [, , folder = 'dist/man'] = process.argv;
const program = createProgram();
await addCommands(program, () => {}, undefined);
mkdirSync(folder, { recursive: true });
for (const command of [program, ...program.commands])
  writeFileSync(join(folder, `${pageName(command)}.1`), manPage(command, version));
