/** The name of a file, as a person is told it. */

/** The last part of a path with `/`; the workspace's paths carry no escapes. */
export function fileName(path: string): string {
  return path.slice(path.lastIndexOf('/') + 1);
}
