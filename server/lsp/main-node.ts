/** The language server on Node: over standard input and output, or the channel that an editor opens. */
import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { cancelUndispatched } from './cancellation.ts';
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
    page(rule) {
      if (!pages.has(rule)) {
        const path = join(__dirname, 'rules', `${rule}.md`);
        pages.set(rule, existsSync(path) ? pathToFileURL(path).href : undefined);
      }
      return pages.get(rule);
    },
    // The next message waits in the round after this one: two rounds let it come first.
    later: (work) => setImmediate(() => setImmediate(work)),
  });
}

if (require.main === module) startServer();
