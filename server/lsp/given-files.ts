/**
 * Files that the editor hands over itself: those of a folder that no server can read from a disk, as in a web editor or
 * a repository that is browsed where it is kept.
 */
import type { Connection } from 'vscode-languageserver';
import { pathOf, uriOf } from './convert.ts';
import { type GivenFile, givenMethod } from './methods.ts';

export interface GivenFiles {
  /** Takes `files` of what the editor sends with `initialize`; what is malformed is passed over. */
  take(options: unknown): void;
  read(uri: string): string | undefined;
  /** The URIs of the logs, tables and registers below a folder. */
  list(folder: string): readonly string[];
}

/** Follows what the editor hands over; it tells of a change here before the watched file's event. */
export function followGivenFiles(connection: Connection): GivenFiles {
  const texts = new Map<string, string>();

  function put(said: unknown): void {
    const { files }: { readonly files?: unknown } = typeof said === 'object' && said !== null ? said : {};
    if (!Array.isArray(files)) return;
    for (const { uri, text } of files.filter(isGivenFile)) {
      if (text === null) texts.delete(pathOf(uri));
      else texts.set(pathOf(uri), text);
    }
  }

  connection.onNotification(givenMethod, put);
  return {
    take: put,
    read: (uri) => texts.get(pathOf(uri)),
    list(folder) {
      const within = `${pathOf(folder).replace(/\/$/, '')}/`;
      return [...texts.keys()]
        .filter((path) => path.startsWith(within) && /\.(?:rebuild|limits|bench)$/.test(path))
        .map(uriOf);
    },
  };
}

function isGivenFile(value: unknown): value is GivenFile {
  if (typeof value !== 'object' || value === null) return false;
  const { uri, text }: { readonly uri?: unknown; readonly text?: unknown } = value;
  return typeof uri === 'string' && (typeof text === 'string' || text === null);
}
