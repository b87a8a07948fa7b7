/** The rules' pages, which the build puts beside the command. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** The Markdown page of a rule; undefined when the command was shipped without it. */
export function rulePage(id: string): string | undefined {
  try {
    return readFileSync(join(__dirname, 'rules', `${id}.md`), 'utf8');
  } catch {
    return undefined;
  }
}
