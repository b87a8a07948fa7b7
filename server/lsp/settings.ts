/** What the user chose in the editor; the defaults until it has said so. */
import { DidChangeConfigurationNotification } from 'vscode-languageserver';
import { ask } from './ask.ts';
import type { Session } from './session.ts';

export interface Settings {
  /** Whether what is found in files of the folder that are not open is shown too. */
  readonly checkFolder: boolean;
  readonly inlayHints: { readonly units: Shown; readonly progress: Shown };
}

export type Shown = 'on' | 'off' | 'currentLine';

export const defaultSettings: Settings = {
  checkFolder: true,
  inlayHints: { units: 'off', progress: 'on' },
};

/** Reads the settings of an editor, section `witnessmark`; what is missing or of another kind is as by default. */
export function settingsFrom(section: unknown): Settings {
  const { units, progress } = defaultSettings.inlayHints;
  return {
    checkFolder: choice(section, ['check', 'folder'], defaultSettings.checkFolder),
    inlayHints: {
      units: shown(section, 'units', units),
      progress: shown(section, 'progress', progress),
    },
  };
}

function shown(section: unknown, name: string, otherwise: Shown): Shown {
  const value = valueAt(section, ['inlayHints', name]);
  return value === 'on' || value === 'off' || value === 'currentLine' ? value : otherwise;
}

function choice(section: unknown, path: readonly string[], otherwise: boolean): boolean {
  const value = valueAt(section, path);
  return typeof value === 'boolean' ? value : otherwise;
}

function valueAt(section: unknown, path: readonly string[]): unknown {
  let value: unknown = section;
  for (const part of path)
    value =
      typeof value === 'object' && value !== null
        ? (value as Readonly<Record<string, unknown>>)[part]
        : undefined;
  return value;
}

/**
 * Keeps `session.settings` as the editor has them, and calls `changed` when they are others. An editor that cannot be
 * asked may send them with its notification.
 */
export async function followSettings(session: Session, changed: () => void): Promise<void> {
  const { client, connection } = session;
  const asked = client.workspace?.configuration === true;
  const put = (section: unknown) => {
    const before = JSON.stringify(session.settings);
    session.settings = settingsFrom(section);
    if (JSON.stringify(session.settings) === before) return;
    changed();
    if (client.workspace?.inlayHint?.refreshSupport === true)
      ask(session, connection.languages.inlayHint.refresh());
  };
  const askAndPut = async () => {
    try {
      put(await connection.workspace.getConfiguration('witnessmark'));
    } catch {
      // An editor that does not answer leaves what is known.
    }
  };
  connection.onDidChangeConfiguration(async ({ settings }) => {
    if (asked) await askAndPut();
    else put((settings as { readonly witnessmark?: unknown } | null)?.witnessmark);
  });
  if (client.workspace?.didChangeConfiguration?.dynamicRegistration === true)
    ask(
      session,
      connection.client.register(DidChangeConfigurationNotification.type, { section: 'witnessmark' }),
    );
  if (asked) await askAndPut();
}
