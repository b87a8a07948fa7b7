/** Paths with `/`, as the workspace names its files; they may also be URIs of an editor (`file:///…`). */

/** A path without `.` and `..` segments and with `/` between them. */
export function normalisePath(path: string): string {
  const slashed = path.replaceAll('\\', '/');
  const scheme = schemeOf(slashed);
  const rest = slashed.slice(scheme.length);
  const rooted = rest.startsWith('/');
  const segments: string[] = [];
  for (const segment of rest.split('/')) {
    if (segment === '' || segment === '.') continue;
    if (segment === '..' && segments.length > 0 && segments.at(-1) !== '..') segments.pop();
    else if (segment !== '..' || !rooted) segments.push(segment);
  }
  return `${scheme}${rooted ? '/' : ''}${segments.join('/')}`;
}

/** The folder of a file; empty for a file without one. */
export function directoryOf(path: string): string {
  const slash = path.lastIndexOf('/');
  return slash < 0 ? '' : path.slice(0, Math.max(slash, 1));
}

/** A path as written in a `use`, from the folder of the file that it stands in. */
export function resolvePath(directory: string, path: string): string {
  const slashed = path.replaceAll('\\', '/');
  if (slashed.startsWith('/') || /^[a-zA-Z]:\//.test(slashed)) return normalisePath(slashed);
  return normalisePath(directory === '' ? slashed : `${directory}/${slashed}`);
}

/**
 * The path of a file that another names: a `use` or a `photo`, as written there. An absolute path in a file that an
 * editor names by its URI is one of the same root.
 */
export function resolveUsed(from: string, written: string): string {
  const resolved = resolvePath(directoryOf(from), written);
  const root = schemeOf(from);
  return root === '' || schemeOf(resolved) !== '' ? resolved : `${root}/${resolved.replace(/^\//, '')}`;
}

/** `file://` or `scheme://authority`; empty for a plain path. */
function schemeOf(path: string): string {
  return /^[a-z][a-z0-9+.-]+:\/\/[^/]*/i.exec(path)?.[0] ?? '';
}
