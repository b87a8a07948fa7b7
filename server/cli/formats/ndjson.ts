/** `--format ndjson`: one finding a line, each complete in itself, for tools that read JSON Lines. */
import { findingRow } from './json.ts';
import type { Format } from './report.ts';

export const format: Format = ({ files }) =>
  files
    .flatMap(({ path, state, findings }) =>
      findings.map((finding) => `${JSON.stringify({ path, state, ...findingRow(finding) })}\n`),
    )
    .join('');
