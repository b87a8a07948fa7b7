/** Which mutants the type checker refuses: they could never be committed, so no test need notice them. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Mutant, MutatedFile } from './page.ts';

/** Complaints of something that is no longer used; such a mutant does compile. */
const UNUSED = new Set(['TS6133', 'TS6192', 'TS6196', 'TS6198', 'TS6199']);

/**
 * Marks as `CompileError`, as Stryker's own checker would, those survivors of `{ path, source, mutants }` whose file no
 * longer passes `tsc`. (That checker needs a compiler API, which TypeScript 7 does not have.) Each survivor becomes a
 * file of its own beside the one that it changes, so that one run of the compiler judges them all.
 */
export function refuseIllTyped(root: string, files: readonly MutatedFile[]): void {
  const folder = join(root, '.stryker-tmp/types');
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  for (const part of ['server', 'grammar', 'package.json'])
    cpSync(join(root, part), join(folder, part), { recursive: true });
  writeFileSync(
    join(folder, 'tsconfig.json'),
    JSON.stringify({
      extends: '../../tsconfig.json',
      include: ['server/**/*.ts', 'grammar/**/*.ts'],
      exclude: [],
    }),
  );
  const placed = new Map<string, Mutant>();
  for (const { path, source, mutants } of files)
    for (const [number, mutant] of mutants.entries())
      if (mutant.status === 'Survived' || mutant.status === 'NoCoverage') {
        const copy = path.replace(/\.ts$/, `.mutant-${number}.ts`);
        placed.set(copy, mutant);
        writeFileSync(join(folder, copy), mutated(source, mutant));
      }
  const { stdout } = spawnSync('tsc', ['--noEmit', '--pretty', 'false', '-p', folder], {
    cwd: folder,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  for (const [, file = '', code = ''] of stdout.matchAll(/^(\S+\.ts)\(\d+,\d+\): error (TS\d+)/gm)) {
    const mutant = placed.get(file);
    if (mutant === undefined) throw new Error(`The text itself does not compile: ${file}, ${code}`);
    if (!UNUSED.has(code)) mutant.status = 'CompileError';
  }
  rmSync(folder, { recursive: true, force: true });
}

function mutated(source: string, { location: { start, end }, replacement }: Mutant): string {
  const lines = source.split('\n');
  const offset = ({ line, column }: Mutant['location']['start']) =>
    lines.slice(0, line - 1).join('\n').length + (line > 1 ? 1 : 0) + column - 1;
  return source.slice(0, offset(start)) + replacement + source.slice(offset(end));
}
