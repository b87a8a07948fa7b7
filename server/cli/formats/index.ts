/** The output formats of `check`. Each is loaded only when it is asked for. */
import type { Format } from './report.ts';

const formats = {
  text: () => import('./text.ts'),
  json: () => import('./json.ts'),
  ndjson: () => import('./ndjson.ts'),
  sarif: () => import('./sarif.ts'),
  junit: () => import('./junit.ts'),
  github: () => import('./github.ts'),
  gitlab: () => import('./gitlab.ts'),
} satisfies Readonly<Record<string, () => Promise<{ readonly format: Format }>>>;

export type FormatName = keyof typeof formats;

export const formatNames = Object.keys(formats) as readonly FormatName[];

export function isFormatName(name: string): name is FormatName {
  return Object.hasOwn(formats, name);
}

/** Loads what writes a format. */
export async function formatOf(name: FormatName): Promise<Format> {
  return (await formats[name]()).format;
}
