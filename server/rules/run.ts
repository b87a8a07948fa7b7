/**
 * Runs the rules over a rebuild. Results of the run before are kept for every subject that is still the same
 * object, so an edit re-checks only what it can reach.
 */
import {
  type Block,
  canonicalStatement,
  type StatementKind,
  type SyntaxFault,
  statements,
} from '../../grammar/index.ts';
import { defaultGuard } from '../calculations/index.ts';
import {
  type Duplicate,
  type Entry,
  type FileDeclarations,
  type Finding,
  isStep,
  locate,
  type Rebuild,
  type Report,
  type Severity,
  type State,
  sameEnds,
} from '../rebuild/index.ts';
import { nothing, type Rule, type Subjects, type Surroundings } from './rule.ts';
import { isMilder, type SeverityOverrides } from './severities.ts';

/** A report with its rule, and the finding that it last became: the same object for as long as nothing changes. */
interface Pending {
  readonly rule: Rule;
  readonly report: Report;
  finished: { readonly by: Circumstances; readonly finding: Finding | undefined } | undefined;
}

/** What a finding depends on besides its report. */
interface Circumstances {
  readonly state: State | null;
  readonly own: FileDeclarations;
  readonly overrides: SeverityOverrides | undefined;
}

/** What one run hands to the next. */
export interface Run {
  readonly findings: readonly Finding[];
  readonly rebuild: Rebuild;
  readonly circumstances: Circumstances;
  /** What was reported of each block and the entry that it is; only of blocks with something to report. */
  readonly perBlock: ReadonlyMap<Block, readonly Pending[]>;
  readonly perSubject: ReadonlyMap<object, readonly Pending[]>;
  readonly perDeclarations: readonly Pending[];
  readonly guard: number;
}

const NONE: readonly never[] = [];

/** Sorts the rules by what they look at, once. */
export function prepareRules(
  rules: readonly Rule[],
): (rebuild: Rebuild, previous?: Run, overrides?: SeverityOverrides, guard?: number) => Run {
  const by = <K extends keyof Subjects>(subject: K): readonly Rule<K>[] =>
    rules.flatMap((rule): readonly Rule<K>[] => {
      if (rule.subject === subject) return [rule as unknown as Rule<K>];
      const check = rule.also?.[subject];
      return check === undefined ? [] : [{ ...rule, subject, check } as unknown as Rule<K>];
    });
  const statementRules = by('statement');
  const entryRules = by('entry');
  const declarationRules = by('declaration');
  const duplicateRules = by('duplicate');
  const characteristicRules = by('characteristic');
  const groupRules = by('fastener-group');
  const partRules = by('part');
  const jointRules = by('joint');
  const inspectionRules = by('inspection');
  const prerequisiteRules = by('prerequisite');
  const rebuildRules = by('rebuild');
  const releaseRules = by('release');
  const faultRules = new Map(by('fault').map((rule) => [rule.id, rule]));
  const rulesForKind = new Map<StatementKind, readonly Rule<'entry'>[]>();
  for (const kind of Object.keys(statements) as StatementKind[])
    rulesForKind.set(
      kind,
      entryRules.filter((rule) => rule.kinds === undefined || rule.kinds.includes(kind)),
    );

  /**
   * Runs rules over one subject. A rule that fails is a fault of the program: it throws in tests, and in production
   * it is reported with its id while the others go on.
   */
  function collect<K extends keyof Subjects>(
    list: readonly Rule<K>[],
    subject: Subjects[K],
    surroundings: Surroundings,
    block: Block | undefined,
    into: Pending[],
  ): void {
    for (const one of list) {
      const rule = one as unknown as Rule;
      try {
        const reports = one.check(subject, surroundings);
        // To ask nearly every rule's empty list for an iterator takes longer than to see that it is that.
        if (reports === nothing) continue;
        for (const report of reports) into.push({ rule, report, finished: undefined });
      } catch (error) {
        if (process.env.WITNESSMARK_PRODUCTION === undefined) throw error;
        if (block === undefined) continue;
        const report: Report = {
          at: locate(surroundings.path, block, block.statement ?? { start: 0, end: 0 }),
          severity: 'warning',
          message: `The rule ${rule.id} failed here, so this was not checked by it (${error instanceof Error ? error.message : String(error)}). Please report it.`,
        };
        into.push({ rule, report, finished: undefined });
      }
    }
  }

  function collectFaults(path: string, block: Block, faults: readonly SyntaxFault[], into: Pending[]): void {
    for (const fault of faults) {
      const rule = faultRules.get(fault.rule) as unknown as Rule | undefined;
      if (rule !== undefined)
        into.push({ rule, report: faultReport(path, block, fault), finished: undefined });
    }
  }

  /** What is to be said of one block: by itself, and as the entry that it is. */
  function ofBlock(block: Block, entry: Entry | undefined, surroundings: Surroundings): readonly Pending[] {
    const { statement, faults } = block;
    const { path } = surroundings;
    const fresh: Pending[] = [];
    if (faults.length > 0) collectFaults(path, block, faults, fresh);
    // A value has its equivalent in parentheses; few lines have one, and only they are looked at.
    if (statement !== undefined && block.text.includes('('))
      collect(statementRules, { block, statement, entry }, surroundings, block, fresh);
    if (entry !== undefined) {
      collect(rulesForKind.get(entry.kind) ?? NONE, entry, surroundings, block, fresh);
      if (entry.faults.length > 0) collectFaults(path, block, entry.faults, fresh);
    }
    return fresh;
  }

  return (rebuild, previous, overrides, guard = defaultGuard) => {
    const { path, scope, own, state } = rebuild;
    const { blocks } = rebuild.file;
    const surroundings: Surroundings = { scope, path, guard };
    const kept =
      previous !== undefined && previous.rebuild.scope === scope && previous.guard === guard
        ? previous
        : undefined;
    const last = previous?.circumstances;
    const circumstances: Circumstances =
      last !== undefined && last.state === state && last.own === own && last.overrides === overrides
        ? last
        : { state, own, overrides };
    const findings: Finding[] = [];
    const finish = (pending: readonly Pending[]) => {
      for (const one of pending) {
        if (one.finished?.by !== circumstances)
          one.finished = { by: circumstances, finding: findingOf(one, rebuild, overrides) };
        if (one.finished.finding !== undefined && one.report.mended?.(rebuild) !== true)
          findings.push(one.finished.finding);
      }
    };

    const oldBlocks = kept?.rebuild.file.blocks ?? NONE;
    const oldBound = kept?.rebuild.bound ?? NONE;
    const { prefix, suffix } = sameEnds(rebuild.file, oldBlocks);
    const shift = oldBlocks.length - blocks.length;
    const perBlock = new Map(kept?.perBlock);
    for (let i = prefix; i < oldBlocks.length - suffix; i++) perBlock.delete(oldBlocks[i] as Block);
    const only = rebuild.rebound?.since === oldBound ? rebuild.rebound.block : undefined;
    for (let i = only ?? 0; i <= (only ?? blocks.length - 1); i++) {
      const bound = rebuild.bound[i];
      const old = i < prefix ? i : i >= blocks.length - suffix ? i + shift : -1;
      if (old >= 0 && oldBound[old] === bound) continue;
      const block = blocks[i] as Block;
      const pending = ofBlock(block, bound === undefined || isStep(bound) ? undefined : bound, surroundings);
      if (pending.length > 0) perBlock.set(block, pending);
      else perBlock.delete(block);
    }
    for (const pending of perBlock.values()) finish(pending);

    let perDeclarations: readonly Pending[];
    if (kept !== undefined && kept.rebuild.own === own) perDeclarations = kept.perDeclarations;
    else {
      const pending: Pending[] = [];
      for (const declaration of own.declarations)
        collect(declarationRules, declaration, surroundings, declaration.block, pending);
      for (const duplicate of ownDuplicates(rebuild))
        collect(duplicateRules, duplicate, surroundings, duplicate.first.block, pending);
      perDeclarations = pending;
    }
    finish(perDeclarations);

    const first = blocks[0];
    const perSubject = new Map<object, readonly Pending[]>();
    const each = <
      K extends 'characteristic' | 'fastener-group' | 'part' | 'joint' | 'inspection' | 'prerequisite',
    >(
      list: readonly Rule<K>[],
      subjects: readonly Subjects[K][],
    ) => {
      for (const subject of subjects) {
        let pending = kept?.perSubject.get(subject);
        if (pending === undefined) {
          const fresh: Pending[] = [];
          collect(list, subject, surroundings, first, fresh);
          pending = fresh;
        }
        perSubject.set(subject, pending);
        finish(pending);
      }
    };
    each(characteristicRules, rebuild.characteristics);
    each(groupRules, rebuild.fastenerGroups);
    each(partRules, rebuild.parts);
    each(jointRules, rebuild.joints);
    each(inspectionRules, rebuild.inspections);
    each(prerequisiteRules, rebuild.prerequisites);

    const whole: Pending[] = [];
    collect(rebuildRules, rebuild, surroundings, first, whole);
    finish(whole);
    if (rebuild.release !== undefined) {
      const atRelease: Pending[] = [];
      collect(
        releaseRules,
        { release: rebuild.release, due: stillDue(findings) },
        surroundings,
        first,
        atRelease,
      );
      finish(atRelease);
    }
    return { findings, rebuild, circumstances, perBlock, perSubject, perDeclarations, guard };
  };
}

/** The report as a finding of this file; undefined when its rule is off. */
function findingOf(
  { rule, report }: Pending,
  rebuild: Rebuild,
  overrides: SeverityOverrides | undefined,
): Finding | undefined {
  const override = overrides?.get(rule.id);
  if (override === 'off') return undefined;
  const usual = severityOf(rule, report, rebuild.state);
  const severity = override ?? usual;
  const { mended: _, ...shown } = placedHere(report, rebuild);
  const finding = {
    ...shown,
    rule: rule.id,
    severity,
    ...(isMilder(severity, usual) ? { lowered: usual } : {}),
  };
  // A rule by-state that states a severity of its own speaks of something else than what is due.
  return rule.severity === 'by-state' && report.severity === undefined ? { ...finding, due: true } : finding;
}

/**
 * What a release asks for and the log does not have yet: the findings of the rules by-state, whatever the state of
 * the log. The one list behind release-incomplete, the open items of an editor and the report.
 */
export function stillDue(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter((finding) => finding.due === true);
}

function severityOf(rule: Rule, report: Report, state: State | null): Severity {
  if (rule.severity === 'by-state') {
    if (report.severity !== undefined) return report.severity;
    if (state === 'released') return 'error';
    return report.touched === true ? 'warning' : 'information';
  }
  if (rule.severity === 'varies') return report.severity ?? 'warning';
  return report.severity ?? rule.severity;
}

/**
 * What is due by a line of another file is reported in this one: where it uses that file if it is an earlier log, else
 * at what it covers, else at its first line.
 */
function placedHere(report: Report, rebuild: Rebuild): Report {
  if (report.at.path === rebuild.path) return report;
  const earlier = rebuild.carried?.logs.some(({ path }) => path === report.at.path);
  const line = earlier
    ? (
        rebuild.imports.find(({ path }) => path === report.at.path) ??
        rebuild.imports.find((one) => one.rebuild !== undefined)
      )?.declaration
    : rebuild.own.declarations.find((one) => one.kind === 'covers');
  const shown = line ?? rebuild.own.declarations[0];
  const at = shown === undefined ? firstPlace(rebuild) : locate(rebuild.path, shown.block, shown.statement);
  if (at === undefined) return report;
  const related = (report.related ?? []).some((one) => one.at.block === report.at.block);
  return related
    ? { ...report, at }
    : {
        ...report,
        at,
        related: [
          { at: report.at, message: earlier ? 'it stands here' : 'it is asked for here' },
          ...(report.related ?? []),
        ],
      };
}

/** What the parser found, in its own words. */
function faultReport(path: string, block: Block, fault: SyntaxFault): Report {
  return {
    message: fault.message,
    at: locate(path, block, fault),
    fixes: fault.fixes.map((fix) => ({
      title: fix.title,
      edits: fix.edits.map((edit) => ({ ...locate(path, block, edit), text: edit.text })),
    })),
  };
}

/**
 * Duplicates of the file itself: both places in it, one of them in a table or register that it uses, or each in one
 * that it names. What says the same in both is none, nor what an earlier log declares for itself.
 */
function ownDuplicates({ scope, path, imports }: Rebuild): readonly Duplicate[] {
  const kinds = new Map(scope.files.map((file) => [file.path, file.kind]));
  const useOf = (file: string) => imports.find((one) => one.path === file)?.declaration;
  return scope.duplicates.flatMap((duplicate): Duplicate[] => {
    const { declaration, first } = duplicate;
    if (declaration.path === path) return [duplicate];
    if (declaration.kind === 'assembly' || kinds.get(declaration.path) === 'rebuild') return [];
    if (canonicalStatement(declaration.block) === canonicalStatement(first.block)) return [];
    const use = useOf(declaration.path);
    if (use === undefined) return [];
    if (first.path === path) return [duplicate];
    return useOf(first.path) === undefined || kinds.get(first.path) === 'rebuild'
      ? []
      : [{ ...duplicate, use }];
  });
}

function firstPlace(rebuild: Rebuild): Report['at'] | undefined {
  const block = rebuild.file.blocks[0];
  return block === undefined ? undefined : locate(rebuild.path, block, { start: 0, end: 0 });
}
