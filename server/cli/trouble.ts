/** A wrong world (a missing file, a bad option), told to the user in one sentence. */
export class Trouble extends Error {}

/** Why a file cannot be read, in words. */
export function whyUnreadable(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'ENOENT':
      return 'there is no such file';
    case 'EISDIR':
      return 'it is a folder, not a file';
    case 'EACCES':
    case 'EPERM':
      return 'this user may not read it';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}
