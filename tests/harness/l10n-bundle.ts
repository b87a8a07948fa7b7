/**
 * Gathers what the extension says to its user, for translators.
 *
 * `node tests/harness/l10n-bundle.ts` brings `client/l10n/bundle.l10n.json` up to date.
 */
import { globSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const root = join(import.meta.dirname, '../..');
export const bundlePath = join(root, 'client/l10n/bundle.l10n.json');

/** The texts of `l10n.t(…)` in a source; throws where one is put together while the program runs. */
export function textsIn(source: string): readonly string[] {
  const calls = [...source.matchAll(/\bl10n\.t\(\s*/g)];
  return calls.map((call) => {
    const rest = source.slice(call.index + call[0].length);
    const literal = /^(?:'((?:[^'\\\n]|\\.)*)'|"((?:[^"\\\n]|\\.)*)")\s*[,)]/.exec(rest);
    if (literal === null) throw new Error(`l10n.t takes a literal: ${rest.slice(0, 60)}`);
    return (literal[1] ?? literal[2] ?? '').replace(/\\(.)/g, '$1');
  });
}

/** The bundle: every text, sorted, which stands for itself in English. */
export function bundle(): string {
  const texts = globSync('client/*.ts', { cwd: root }).flatMap((file) =>
    textsIn(readFileSync(join(root, file), 'utf8')),
  );
  const sorted = [...new Set(texts)].sort();
  return `${JSON.stringify(Object.fromEntries(sorted.map((text) => [text, text])), null, 2)}\n`;
}

if (import.meta.main) writeFileSync(bundlePath, bundle());
