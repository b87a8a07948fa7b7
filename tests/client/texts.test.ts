/** What the extension says can be translated: every text is gathered, and every setting has its scope. */
import { existsSync, globSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import manifest from '../../package.json' with { type: 'json' };
import texts from '../../package.nls.json' with { type: 'json' };
import { bundle, bundlePath, textsIn } from '../harness/l10n-bundle.ts';

const root = join(import.meta.dirname, '../..');

describe('in the program', () => {
  test('the bundle is up to date: if not, node tests/harness/l10n-bundle.ts', () => {
    expect(readFileSync(bundlePath, 'utf8')).toBe(bundle());
  });

  test('the manifest leads to it', () => {
    expect(join(root, manifest.l10n)).toBe(dirname(bundlePath));
    expect(existsSync(bundlePath)).toBe(true);
  });

  test('what is shown to the user is never put together from plain words', () => {
    const shows =
      /\b(?:showInformationMessage|showWarningMessage|showErrorMessage)\(\s*['"`]|\b(?:title|placeHolder|saveLabel|tooltip|description|detail|text|name): ['"`][^'"`]*\p{L}{3}/gu;
    for (const file of globSync('client/*.ts', { cwd: root }))
      expect([file, ...(readFileSync(join(root, file), 'utf8').match(shows) ?? [])]).toEqual([file]);
  });

  test('a text is read as the program means it; one made while it runs is refused', () => {
    expect(textsIn("l10n.t('It\\'s {0}', 1) + l10n.t(\n  \"two\",\n)")).toEqual(["It's {0}", 'two']);
    expect(() => textsIn('l10n.t(text)')).toThrow('literal');
    expect(() => textsIn("l10n.t('a' + b)")).toThrow('literal');
  });
});

describe('in the manifest', () => {
  const written = JSON.stringify(manifest);
  const named = [...written.matchAll(/"%([^%"]+)%"/g)].map((match) => match[1]!);

  test('every text that it names is there, and none that it does not name', () => {
    expect(Object.keys(texts).sort()).toEqual([...new Set(named)].sort());
  });

  test('titles, descriptions and names that a user reads are named, not written', () => {
    const { contributes } = manifest;
    const read = [
      ...contributes.commands.map(({ title }) => title),
      ...Object.values(contributes.configuration.properties).flatMap((one) => [
        one.markdownDescription,
        ...('enumDescriptions' in one ? one.enumDescriptions : []),
      ]),
      ...Object.values(contributes.views).flatMap((views) => views.map(({ name }) => name)),
      ...contributes.viewsWelcome.map(({ contents }) => contents),
      ...contributes.walkthroughs.flatMap(({ title, description, steps }) => [
        title,
        description,
        ...steps.flatMap((step) => [step.title, step.description]),
      ]),
    ];
    expect(read.filter((text) => !/^%[\w.-]+%$/.test(text))).toEqual([]);
  });

  test('every setting says where it can be set, and what it is without', () => {
    for (const [name, setting] of Object.entries(manifest.contributes.configuration.properties)) {
      expect(['window', 'resource', 'machine', 'application'], name).toContain(setting.scope);
      expect(setting.default, name).toBeDefined();
    }
  });
});
