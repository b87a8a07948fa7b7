/** Runs the command line as a shell does: the bundle as it is shipped, in a folder of its own. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

export interface Run {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

export interface Setting {
  readonly input?: string | Uint8Array;
  readonly env?: Readonly<Record<string, string>>;
}

export interface Shell {
  /** The folder that commands run in; the root of a repository, so no file above it counts. */
  readonly folder: string;
  /** The bundle, to be run by something else. */
  readonly cli: string;
  write(name: string, content: string | Uint8Array): void;
  read(name: string): string;
  /** Takes a file away. */
  remove(name: string): void;
  run(...words: readonly string[]): Run;
  runWith(setting: Setting, ...words: readonly string[]): Run;
  /** Runs git here as Ada Quill. */
  git(...words: readonly string[]): string;
  /** Takes the folder away. */
  close(): void;
}

const ROOT = join(import.meta.dirname, '../..');

/** What `npm run build` makes, copied so that a build under way does no harm. */
let bundle: string | undefined;
function bundled(): string {
  if (bundle !== undefined) return bundle;
  bundle = mkdtempSync(join(tmpdir(), 'witnessmark-cli-'));
  const made = spawnSync(process.execPath, ['build.mjs', '--into', bundle], { cwd: ROOT, encoding: 'utf8' });
  if (made.status !== 0) throw new Error(made.stderr);
  process.on('exit', () => rmSync(bundle as string, { recursive: true, force: true }));
  return bundle;
}

/** A shell in an empty folder. */
export function openShell(): Shell {
  const cli = join(bundled(), 'cli.cjs');
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-logs-'));
  mkdirSync(join(folder, '.git'));
  const { NO_COLOR: _, FORCE_COLOR: __, CI: ___, ...env } = process.env;
  const runWith: Shell['runWith'] = (setting, ...words) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [cli, ...words], {
      cwd: folder,
      encoding: 'utf8',
      input: setting.input ?? '',
      env: { ...env, ...setting.env },
      maxBuffer: 1 << 28,
    });
    return { status, out: stdout, err: stderr };
  };
  return {
    folder,
    cli,
    write(name, content) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), content);
    },
    read: (name) => readFileSync(join(folder, name), 'utf8'),
    remove: (name) => rmSync(join(folder, name)),
    run: (...words) => runWith({}, ...words),
    runWith,
    git(...words) {
      const who = [
        '-c',
        'user.name=Ada Quill',
        '-c',
        'user.email=aq@harbour.example',
        '-c',
        'init.defaultBranch=main',
      ];
      const { status, stdout, stderr } = spawnSync('git', [...who, ...words], {
        cwd: folder,
        encoding: 'utf8',
      });
      if (status !== 0) throw new Error(`git ${words.join(' ')}: ${stderr}`);
      return stdout;
    },
    close: () => rmSync(folder, { recursive: true, force: true }),
  };
}
