/** What the user chose in the editor; the defaults until it has said so. */
import { DidChangeConfigurationNotification } from 'vscode-languageserver';
import type { Session } from './session.ts';

export interface Settings {
  /** Whether what is found in files of the folder that are not open is shown too. */
  readonly checkFolder: boolean;
}

export const defaultSettings: Settings = { checkFolder: true };

/** Reads the settings of an editor, section `witnessmark`; what is missing or of another kind is as by default. */
export function settingsFrom(section: unknown): Settings {
  return { checkFolder: choice(section, ['check', 'folder'], defaultSettings.checkFolder) };
}

function choice(section: unknown, path: readonly string[], otherwise: boolean): boolean {
  let value: unknown = section;
  for (const part of path)
    value =
      typeof value === 'object' && value !== null
        ? (value as Readonly<Record<string, unknown>>)[part]
        : undefined;
  return typeof value === 'boolean' ? value : otherwise;
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
    if (JSON.stringify(session.settings) !== before) changed();
  };
  connection.onDidChangeConfiguration(async ({ settings }) => {
    put(
      asked
        ? await connection.workspace.getConfiguration('witnessmark')
        : (settings as { readonly witnessmark?: unknown } | null)?.witnessmark,
    );
  });
  if (client.workspace?.didChangeConfiguration?.dynamicRegistration === true)
    void connection.client.register(DidChangeConfigurationNotification.type, { section: 'witnessmark' });
  if (!asked) return;
  try {
    put(await connection.workspace.getConfiguration('witnessmark'));
  } catch {
    // An editor that does not answer leaves the defaults.
  }
}
