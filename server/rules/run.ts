/**
 * Runs the rules over a rebuild. Results of the run before are kept for every subject that is still the same
 * object, so an edit re-checks only what it can reach.
 */
import type { Block, SyntaxFault } from '../../grammar/index.ts';
import {
  type Duplicate,
  type Entry,
  type FileDeclarations,
  type Finding,
  locate,
  type Rebuild,
  type Report,
  type Scope,
  type Severity,
  type State,
} from '../rebuild/index.ts';
import type { Rule, Subjects, Surroundings } from './rule.ts';

/** Severities that the configuration sets for a rule; `off` drops its findings. */
export type SeverityOverrides = ReadonlyMap<string, Severity | 'off'>;

/** A report with its rule; its severity may still depend on the state of the log. */
interface Pending {
  readonly rule: Rule;
  readonly report: Report;
}

/** What one run hands to the next. */
export interface Run {
  readonly findings: readonly Finding[];
  readonly scope: Scope;
  readonly entries: readonly Entry[];
  readonly perEntry: readonly (readonly Pending[])[];
  readonly perBlock: ReadonlyMap<Block, readonly Pending[]>;
  readonly perSubject: ReadonlyMap<object, readonly Pending[]>;
  readonly own: FileDeclarations;
  readonly perDeclarations: readonly Pending[];
}

const NONE: readonly never[] = [];

/** A rule that fails is a fault of the program: it throws in tests and is reported with its id in production. */
function* guarded<K extends keyof Subjects>(
  rule: Rule<K>,
  subject: Subjects[K],
  surroundings: Surroundings,
  at: () => Report['at'] | undefined,
): Iterable<Report> {
  try {
    yield* rule.check(subject, surroundings);
  } catch (error) {
    if (process.env.WITNESSMARK_PRODUCTION === undefined) throw error;
    const place = at();
    if (place !== undefined)
      yield {
        at: place,
        severity: 'warning',
        message: `The rule ${rule.id} failed here, so this was not checked by it (${error instanceof Error ? error.message : String(error)}). Please report it.`,
      };
  }
}

/** Sorts the rules by what they look at, once. */
export function prepareRules(
  rules: readonly Rule[],
): (rebuild: Rebuild, previous?: Run, overrides?: SeverityOverrides) => Run {
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
  const rebuildRules = by('rebuild');
  const releaseRules = by('release');
  const byState = new Set(rules.filter((rule) => rule.severity === 'by-state').map((rule) => rule.id));
  const faultRules = new Map(by('fault').map((rule) => [rule.id, rule]));

  function collect<K extends keyof Subjects>(
    list: readonly Rule<K>[],
    subject: Subjects[K],
    surroundings: Surroundings,
    at: () => Report['at'] | undefined,
    into: Pending[],
  ): void {
    for (const rule of list)
      for (const report of guarded(rule, subject, surroundings, at))
        into.push({ rule: rule as unknown as Rule, report });
  }

  return (rebuild, previous, overrides) => {
    const { path, scope } = rebuild;
    const surroundings: Surroundings = { scope, path };
    const kept = previous !== undefined && previous.scope === scope ? previous : undefined;
    const findings: Finding[] = [];
    const finish = (pending: readonly Pending[]) => {
      for (const { rule, report } of pending) {
        const override = overrides?.get(rule.id);
        if (override === 'off') continue;
        findings.push({
          ...placedHere(report, rebuild),
          rule: rule.id,
          severity: override ?? severityOf(rule, report, rebuild.state),
        });
      }
    };
    const faulty = (block: Block, faults: readonly SyntaxFault[]) => {
      for (const fault of faults) {
        const rule = faultRules.get(fault.rule);
        if (rule !== undefined)
          finish([{ rule: rule as unknown as Rule, report: faultReport(path, block, fault) }]);
      }
    };

    const perBlock = new Map<Block, readonly Pending[]>();
    for (const block of rebuild.file.blocks) {
      const { statement } = block;
      if (block.faults.length > 0) faulty(block, block.faults);
      // A value has its equivalent in parentheses; few lines have one, and only they are looked at.
      if (statement === undefined || !block.text.includes('(')) continue;
      let pending = kept?.perBlock.get(block);
      if (pending === undefined) {
        const fresh: Pending[] = [];
        collect(
          statementRules,
          { block, statement },
          surroundings,
          () => locate(path, block, statement),
          fresh,
        );
        pending = fresh;
      }
      perBlock.set(block, pending);
      if (pending.length > 0) finish(pending);
    }

    let perDeclarations: readonly Pending[];
    if (kept !== undefined && kept.own === rebuild.own) perDeclarations = kept.perDeclarations;
    else {
      const pending: Pending[] = [];
      for (const declaration of rebuild.own.declarations)
        collect(declarationRules, declaration, surroundings, () => declaration.at, pending);
      for (const duplicate of ownDuplicates(rebuild))
        collect(duplicateRules, duplicate, surroundings, () => duplicate.declaration.at, pending);
      perDeclarations = pending;
    }
    finish(perDeclarations);

    const { entries } = rebuild;
    const old = kept?.entries ?? NONE;
    let prefix = 0;
    while (prefix < entries.length && prefix < old.length && entries[prefix] === old[prefix]) prefix++;
    let suffix = 0;
    const most = Math.min(entries.length, old.length) - prefix;
    while (suffix < most && entries[entries.length - 1 - suffix] === old[old.length - 1 - suffix]) suffix++;
    const shift = old.length - entries.length;
    const perEntry: (readonly Pending[])[] = new Array(entries.length);
    for (let i = 0; i < entries.length; i++) {
      const entry = entries[i] as Entry;
      let pending: readonly Pending[];
      if (i < prefix) pending = kept?.perEntry[i] ?? NONE;
      else if (i >= entries.length - suffix) pending = kept?.perEntry[i + shift] ?? NONE;
      else {
        const fresh: Pending[] = [];
        collect(entryRules, entry, surroundings, () => locate(path, entry.block, entry.statement), fresh);
        pending = fresh.length === 0 ? NONE : fresh;
      }
      perEntry[i] = pending;
      if (pending.length > 0) finish(pending);
      if (entry.faults.length > 0) faulty(entry.block, entry.faults);
    }

    const perSubject = new Map<object, readonly Pending[]>();
    const each = <K extends 'characteristic' | 'fastener-group' | 'part'>(
      list: readonly Rule<K>[],
      subjects: readonly Subjects[K][],
    ) => {
      for (const subject of subjects) {
        let pending = kept?.perSubject.get(subject);
        if (pending === undefined) {
          const fresh: Pending[] = [];
          collect(list, subject, surroundings, () => firstPlace(rebuild), fresh);
          pending = fresh;
        }
        perSubject.set(subject, pending);
        if (pending.length > 0) finish(pending);
      }
    };
    each(characteristicRules, rebuild.characteristics);
    each(groupRules, rebuild.fastenerGroups);
    each(partRules, rebuild.parts);

    const whole: Pending[] = [];
    collect(rebuildRules, rebuild, surroundings, () => firstPlace(rebuild), whole);
    finish(whole);
    if (rebuild.release !== undefined) {
      const last: Pending[] = [];
      const due = findings.filter((finding) => byState.has(finding.rule) && finding.severity === 'error');
      collect(releaseRules, { release: rebuild.release, due }, surroundings, () => firstPlace(rebuild), last);
      finish(last);
    }
    return { findings, scope, entries, perBlock, perEntry, perSubject, own: rebuild.own, perDeclarations };
  };
}

function severityOf(rule: Rule, report: Report, state: State | null): Severity {
  if (rule.severity === 'by-state') {
    if (state === 'released') return 'error';
    return report.touched === true ? 'warning' : 'information';
  }
  if (rule.severity === 'varies') return report.severity ?? 'warning';
  return report.severity ?? rule.severity;
}

/** What is due by a line of another file is reported in this one: at what it covers, else at its first line. */
function placedHere(report: Report, rebuild: Rebuild): Report {
  if (report.at.path === rebuild.path) return report;
  const covers = rebuild.own.declarations.find((one) => one.kind === 'covers') ?? rebuild.own.declarations[0];
  const at =
    covers === undefined ? firstPlace(rebuild) : locate(rebuild.path, covers.block, covers.statement);
  if (at === undefined) return report;
  const related = (report.related ?? []).some((one) => one.at.block === report.at.block);
  return related
    ? { ...report, at }
    : {
        ...report,
        at,
        related: [{ at: report.at, message: 'it is asked for here' }, ...(report.related ?? [])],
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

/** Duplicates whose second place is in the file itself. */
function ownDuplicates(rebuild: Rebuild): readonly Duplicate[] {
  return rebuild.scope.duplicates.filter((duplicate) => duplicate.declaration.path === rebuild.path);
}

function firstPlace(rebuild: Rebuild): Report['at'] | undefined {
  const block = rebuild.file.blocks[0];
  return block === undefined ? undefined : locate(rebuild.path, block, { start: 0, end: 0 });
}
