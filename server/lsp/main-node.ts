/** The language server on Node: over standard input and output, or the channel that an editor opens. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { serve } from './serve.ts';

/** Starts the server; it ends when its editor does. */
export function startServer(): void {
  serve(createConnection(ProposedFeatures.all), (uri) => {
    try {
      return readFileSync(fileURLToPath(uri), 'utf8');
    } catch {
      return undefined;
    }
  });
}

if (require.main === module) startServer();
