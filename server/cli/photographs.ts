/** The digests of the photographs that a log names. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { resolveUsed } from '../workspace/index.ts';

/** SHA-256 of the bytes of a photograph, by its path as the log at `log` writes it; undefined if it cannot be read. */
export function photoDigest(log: string, file: string): string | undefined {
  try {
    return createHash('sha256')
      .update(readFileSync(resolveUsed(log, file)))
      .digest('hex');
  } catch {
    return undefined;
  }
}
