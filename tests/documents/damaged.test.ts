/**
 * Logs and tables with words, numbers and lines put where they do not belong: every document is made and every question of
 * an editor answered, none has a hole in its words, and no fix leaves a line that is not understood.
 */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { format, parse } from '../../grammar/index.ts';
import * as documents from '../../server/documents/index.ts';
import * as features from '../../server/features/index.ts';
import type { Fix } from '../../server/rebuild/index.ts';
import { type Checked, createWorkspace, type Workspace } from '../../server/workspace/index.ts';
import { examplesOf } from '../harness/pages.ts';
import { sampleWorkspace } from './samples.ts';

type Files = readonly (readonly [path: string, text: string])[];

const samples = sampleWorkspace();
const pages = readdirSync('server/rules').filter((name) => name.endsWith('.md'));
const sets: readonly Files[] = [
  samples.paths().map((path) => [path, samples.file(path)?.text ?? ''] as const),
  ...pages.flatMap((page) =>
    examplesOf(readFileSync(`server/rules/${page}`, 'utf8')).map((example) =>
      example.filter(({ path }) => !path.endsWith('.json')).map(({ path, text }) => [path, text] as const),
    ),
  ),
].filter((files) => files.length > 0);
const lines = sets.flat().flatMap(([, text]) => text.split('\n'));
const words = [...new Set(lines.flatMap((line) => line.match(/[^\s[\]()=|]+/g) ?? []))];
const numbers = [
  ...[
    '0',
    '-5',
    '-0',
    '1e9',
    '0.0000001',
    '99999999999999999999',
    '1/3',
    '1/0',
    '3 1/2',
    '20,5',
    '٣',
    '?',
    '"',
  ],
  ...['0..0', '5..1', '10 ± 20', '0 ± 0', '10 %', '[1..99999]', '2026-02-30', '24:00', '-40 °C', '...'],
];

/** Where on from 0 to 1. */
const somewhere = fc.nat({ max: 9999 }).map((n) => n / 10_000);
const damage = fc.record({
  line: somewhere,
  place: somewhere,
  how: fc.constantFrom(
    'drop',
    'repeat',
    'move',
    'cut',
    'insert',
    'lengthen',
    'word',
    'word',
    'number',
    'number',
  ),
  word: fc.constantFrom(...words),
  number: fc.constantFrom(...numbers),
  other: fc.constantFrom(...lines),
});
type Damage = typeof damage extends fc.Arbitrary<infer T> ? T : never;

function damaged(text: string, { line, place, how, word, number, other }: Damage): string {
  const all = text.split('\n');
  const i = Math.floor(line * all.length);
  const own = all[i] ?? '';
  const replaced = (pattern: RegExp, by: string) => {
    const found = [...own.matchAll(pattern)];
    const one = found[Math.floor(place * found.length)];
    if (one === undefined) return own;
    return own.slice(0, one.index) + by + own.slice(one.index + one[0].length);
  };
  switch (how) {
    case 'drop':
      return all.toSpliced(i, 1).join('\n');
    case 'repeat':
      return all.toSpliced(i, 0, own).join('\n');
    case 'move':
      return all
        .toSpliced(i, 1)
        .toSpliced(Math.floor(place * all.length), 0, own)
        .join('\n');
    case 'insert':
      return all.toSpliced(i, 0, other).join('\n');
    case 'cut':
      return all.with(i, own.slice(0, Math.floor(place * own.length))).join('\n');
    case 'lengthen':
      return all.with(i, `${own} ${word}`).join('\n');
    case 'word':
      return all.with(i, replaced(/[^\s[\]()=|]+/g, word)).join('\n');
    default:
      return all.with(i, replaced(/\d+(?:\.\d+)?/g, number)).join('\n');
  }
}

/** Everything that is made of a checked file, as the words that a person would read. */
function* documentsOf(checked: Checked, before: documents.LogReport | undefined, logs: readonly Checked[]) {
  const { path, rebuild, units } = checked;
  if (rebuild.kind === 'limits') {
    const source = { path, scope: rebuild.scope, units };
    yield documents.worksheetText(source);
    yield documents.worksheetHtml(source);
  }
  if (rebuild.kind !== 'rebuild') return;
  yield documents.reportHtml(checked);
  yield documents.reportMarkdown(checked);
  yield documents.reportCsv(checked);
  yield* documents.verificationText(documents.verify(rebuild, () => undefined));
  yield JSON.stringify([...documents.exportRows(checked)], told);
  const facts = documents.reportFacts(checked);
  if (facts !== undefined && before !== undefined) {
    const comparison = documents.compareReports(before, facts);
    yield documents.comparisonText(comparison);
    yield documents.comparisonMarkdown(comparison);
    yield documents.comparisonHtml(comparison);
  }
  const trends = documents.trendsOf(logs);
  yield documents.trendsText(trends);
  yield documents.trendsHtml(trends);
  const due = documents.dueList(
    logs.map((log) => log.rebuild),
    { on: '2026-11-29' },
  );
  yield documents.dueText(due);
  yield documents.dueHtml(due);
}

/** What an editor may ask at an offset. */
function* answersAt(workspace: Workspace, checked: Checked, offset: number): Iterable<unknown> {
  const { path, file } = checked;
  yield features.hoverAt(checked, offset, { theme: 'neutral', pictures: true, today: '2026-11-29' });
  const offers = features.completionsAt(checked, offset, {
    now: '2026-11-29 10:00',
    snippets: true,
    usable: ['tern-460.limits'],
    onlyWanted: false,
  });
  for (const { start, end } of offers) expect(start <= offset && offset <= end).toBe(true);
  yield offers;
  yield features.signatureAt(file.text, offset, false);
  yield features.actionsAt(checked, offset, offset).map(({ title, edits }) => [title, edits]);
  yield features.nextTighteningAt(checked, offset);
  yield features.selectionsAt(file, offset);
  yield features.definitionsAt(workspace, path, offset).map(({ to }) => to);
  yield features.referencesAt(workspace, path, offset).map(({ start, end }) => [start, end]);
  yield features.renameAt(workspace, path, offset, 'new-name');
  yield features.editsAfterTyping(file, offset, '|');
  yield features.editsAfterTyping(file, offset, '\n');
}

function* answersOf(workspace: Workspace, checked: Checked): Iterable<unknown> {
  const { path, file, findings } = checked;
  yield features.codeLensesOf(checked);
  yield features.inlayHintsIn(checked, 0, file.text.length, { units: true, progress: true });
  yield features.outlineOf(file);
  yield features.foldingOf(file);
  yield features.linksOf(workspace, path).map(({ written, path: to }) => [written, to]);
  yield features.fixAll(checked);
  yield file.blocks.map(features.tokensOf);
  for (const { message, related = [], fixes = [] } of findings)
    yield [message, related.map((one) => one.message), fixes.map(({ title }) => title)];
}

/** For JSON: blocks are no words, and a number that is none shows. */
function told(key: string, value: unknown): unknown {
  if (key === 'block') return undefined;
  return typeof value === 'number' && !Number.isFinite(value) ? String(value) : value;
}

const hole = /\b(?:undefined|NaN|Infinity)\b|\[object /;

function mended(text: string, { edits }: Fix): string {
  const placed = edits.map((edit) => ({
    ...edit,
    from: edit.block.start + edit.start,
    to: edit.block.start + edit.end,
  }));
  return placed
    .toSorted((a, b) => b.from - a.from)
    .reduce((whole, { from, to, text: by }) => whole.slice(0, from) + by + whole.slice(to), text);
}

function faultsIn(text: string): number {
  return parse(text).blocks.reduce((sum, { faults }) => sum + faults.length, 0);
}

test('whatever is written, everything that reads it answers in whole words', () => {
  const choice = fc.record({
    set: fc.oneof(fc.constant(0), fc.nat({ max: sets.length - 1 })),
    file: fc.nat(),
    damages: fc.array(damage, { minLength: 1, maxLength: 5 }),
    places: fc.array(somewhere, { minLength: 4, maxLength: 4 }),
  });
  fc.assert(
    fc.property(choice, ({ set, file, damages, places }) => {
      const files = sets[set] ?? [];
      const [path, original] = files[file % files.length] ?? ['', ''];
      const workspace = createWorkspace();
      for (const [one, text] of files) workspace.set(one, text);
      const whole = workspace.check(path);
      const before = whole?.rebuild.kind === 'rebuild' ? documents.reportFacts(whole) : undefined;
      const text = damages.reduce(damaged, original);
      workspace.set(path, text);
      const checked = workspace.check(path);
      if (checked === undefined) throw new Error(`${path} is gone`);
      const logs = workspace
        .paths()
        .filter((one) => one.endsWith('.rebuild'))
        .flatMap((one) => workspace.check(one) ?? []);

      const says = [
        ...documentsOf(checked, before, logs),
        ...[
          ...answersOf(workspace, checked),
          ...places.flatMap((place) => [...answersAt(workspace, checked, Math.floor(place * text.length))]),
        ].map((answer) => JSON.stringify(answer, told) ?? ''),
      ];
      for (const one of says) expect(hole.exec(one ?? '')).toBeNull();

      const once = format(parse(text));
      expect(format(parse(once))).toBe(once);
      const faults = faultsIn(text);
      for (const { fixes = [], rule } of checked.findings)
        for (const fix of fixes) {
          // A line that was not understood may show its next fault when its first is mended.
          if (['syntax', 'unknown-unit'].includes(rule) || fix.edits.some((edit) => edit.path !== path))
            continue;
          expect(faultsIn(mended(text, fix)), fix.title).toBeLessThanOrEqual(faults);
        }
    }),
    { numRuns: Number(process.env.WITNESSMARK_RUNS ?? 200) },
  );
}, 120_000);
