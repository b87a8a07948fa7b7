/** The language server on Node: over standard input and output, or the channel that an editor opens. */
import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import ignore, { type Ignore } from 'ignore';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { cancelUndispatched } from './cancellation.ts';
import { now } from './clock.ts';
import { serve } from './serve.ts';

/** Starts the server; it ends when its editor does. */
export function startServer(): void {
  const pages = new Map<string, string | undefined>();
  serve(createConnection(ProposedFeatures.all, { cancelUndispatched }), {
    read(uri) {
      try {
        return readFileSync(fileURLToPath(uri), 'utf8');
      } catch {
        return undefined;
      }
    },
    digest(uri) {
      try {
        return createHash('sha256')
          .update(readFileSync(fileURLToPath(uri)))
          .digest('hex');
      } catch {
        return undefined;
      }
    },
    async *list(uri) {
      const folder = fileURLToPath(uri);
      yield* filesBelow(folder, await rulesAbove(folder));
    },
    isTop: (folder) => folder.startsWith('file:') && existsSync(join(fileURLToPath(folder), '.git')),
    page(rule) {
      if (!pages.has(rule)) {
        const path = join(__dirname, 'rules', `${rule}.md`);
        pages.set(rule, existsSync(path) ? pathToFileURL(path).href : undefined);
      }
      return pages.get(rule);
    },
    now,
    // The next message waits in the round after this one: two rounds let it come first.
    later: (work) => setImmediate(() => setImmediate(work)),
  });
}

/** What a folder's `.gitignore` leaves out; the nearest that speaks of a path decides. */
interface Rules {
  readonly folder: string;
  readonly own: Ignore;
}

async function rulesIn(folder: string): Promise<readonly Rules[]> {
  try {
    return [{ folder, own: ignore().add(await readFile(join(folder, '.gitignore'), 'utf8')) }];
  } catch {
    return [];
  }
}

/** The rules of the folders above, the nearest first, up to the root of the repository. */
async function rulesAbove(folder: string): Promise<readonly Rules[]> {
  const parent = dirname(folder);
  if (existsSync(join(folder, '.git')) || parent === folder) return [];
  return [...(await rulesIn(parent)), ...(await rulesAbove(parent))];
}

function isLeftOut(path: string, slash: '' | '/', rules: readonly Rules[]): boolean {
  for (const { folder, own } of rules) {
    const verdict = own.test(relative(folder, path).split(sep).join('/') + slash);
    if (verdict.ignored) return true;
    if (verdict.unignored) return false;
  }
  return false;
}

/** The URIs of the logs, tables and registers in a folder; the same files that `check` would find there. */
async function* filesBelow(folder: string, above: readonly Rules[]): AsyncIterable<string> {
  const rules = [...(await rulesIn(folder)), ...above];
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    const path = join(folder, entry.name);
    if (entry.name.startsWith('.') || entry.name === 'node_modules') continue;
    if (entry.isDirectory()) {
      if (!isLeftOut(path, '/', rules)) yield* filesBelow(path, rules);
    } else if (/\.(?:rebuild|limits|bench)$/.test(entry.name) && !isLeftOut(path, '', rules))
      yield pathToFileURL(path).href;
  }
}

if (require.main === module) startServer();
