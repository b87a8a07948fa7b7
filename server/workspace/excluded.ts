/** What a configuration leaves out, for the command line and the editor alike. */
import ignore, { type Ignore } from 'ignore';
import type { Settings } from './configuration.ts';
import { directoryOf } from './paths.ts';

const matchers = new WeakMap<readonly string[], Ignore>();

/**
 * Whether the settings that hold for a file leave it out. Both paths are absolute or URIs; what lies outside the
 * configuration's folder is never left out.
 */
export function isExcluded({ from, exclude }: Settings, path: string): boolean {
  if (from === undefined || exclude === undefined || exclude.length === 0) return false;
  const folder = directoryOf(from).replace(/\/$/, '');
  if (!path.startsWith(`${folder}/`)) return false;
  const matcher = matchers.get(exclude) ?? ignore().add([...exclude]);
  matchers.set(exclude, matcher);
  return matcher.ignores(path.slice(folder.length + 1));
}
