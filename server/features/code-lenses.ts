/** What stands above a line: how far a step is, and how many logs use a line of a table of limits. */
import type { StatementNode } from '../../grammar/index.ts';
import type { Rebuild, Step } from '../rebuild/index.ts';
import { countTorqued, fileKind } from '../rebuild/index.ts';
import type { CheckedFile } from './checked.ts';
import type { Files } from './files.ts';
import { meaningOf, type Named, namesOf, occurrencesIn } from './names.ts';

export interface CodeLens {
  /** Of the word that it stands above, in the file. */
  readonly start: number;
  readonly end: number;
  /** Undefined where it takes looking into other files: `usesOf` says it. */
  readonly title: string | undefined;
}

/** The lenses of a file. */
export function codeLensesOf(checked: CheckedFile): readonly CodeLens[] {
  const { rebuild, file } = checked;
  const lenses: CodeLens[] = [];
  if (rebuild.kind === 'rebuild') {
    const bySteps = stepWords(rebuild);
    for (const step of rebuild.steps) {
      const title = bySteps.get(step);
      const { keyword } = step.statement;
      if (title !== undefined)
        lenses.push({ start: step.block.start + keyword.start, end: step.block.start + keyword.end, title });
    }
    for (const group of rebuild.fastenerGroups) {
      const { block, statement, path } = group.declaration;
      if (path !== rebuild.path) continue;
      const { keyword } = statement;
      const done = countTorqued(group);
      const title = `${done} of ${group.members.length} torqued`;
      lenses.push({ start: block.start + keyword.start, end: block.start + keyword.end, title });
    }
    return lenses;
  }
  if (rebuild.kind !== 'limits') return [];
  for (const block of file.blocks) {
    const name = declaredName(namesOf(block));
    if (name !== undefined && isNamedInLogs(block.statement))
      lenses.push({ start: block.start + name.start, end: block.start + name.end, title: undefined });
  }
  return lenses;
}

/** Not what is worked out, nor what goes in part by part: no log names it, and it counts all the same. */
function isNamedInLogs(statement: StatementNode | undefined): boolean {
  const { kind, expression } = statement ?? {};
  return kind !== 'assembly' && kind !== 'stack' && expression === undefined;
}

function declaredName(names: readonly Named[]): Named | undefined {
  return names.find((name) => name.declares && name.space === 'shared');
}

/** For each step the groups that it works on and what it leaves open; undefined where there is nothing to count. */
function stepWords(rebuild: Rebuild): ReadonlyMap<Step, string> {
  const groups = new Map(rebuild.fastenerGroups.map((group) => [group.name, group]));
  const words = new Map<Step, { groups: Set<string>; open: number }>();
  for (const entry of rebuild.entries) {
    if (entry.step === undefined) continue;
    const own = words.get(entry.step) ?? { groups: new Set(), open: 0 };
    words.set(entry.step, own);
    if (entry.kind === 'torque' || entry.kind === 'finger-tight')
      for (const { name } of entry.targets) if (groups.has(name)) own.groups.add(name);
    own.open += entry.readings.filter((reading) => reading.placeholder).length;
  }
  const titles = new Map<Step, string>();
  for (const [step, { groups: names, open }] of words) {
    const parts = [...names].slice(0, 4).map((name) => {
      const group = groups.get(name);
      const count = group?.members.length ?? 0;
      return `${name} ${group === undefined ? count : countTorqued(group)} of ${count}`;
    });
    if (names.size > 4) parts.push(`${names.size - 4} more groups`);
    if (open > 0) parts.push(`${open} ${open === 1 ? 'reading' : 'readings'} to fill in`);
    if (parts.length > 0) titles.set(step, parts.join(' · '));
  }
  return titles;
}

/** How many logs speak of what is declared at an offset of a table of limits; undefined when nothing is. */
export function usesOf(files: Files, path: string, offset: number): string | undefined {
  const block = files.file(path)?.blocks.findLast((one) => one.start <= offset);
  const name = block === undefined ? undefined : declaredName(namesOf(block));
  if (name === undefined) return undefined;
  const meaning = meaningOf(files, path, name);
  const logs = files
    .dependents(path)
    .filter(
      (one) => one !== path && fileKind(one) === 'rebuild' && occurrencesIn(files, meaning, one).length > 0,
    );
  return logs.length === 0
    ? 'no log speaks of it'
    : `${logs.length === 1 ? '1 log speaks' : `${logs.length} logs speak`} of it`;
}
