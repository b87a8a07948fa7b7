/** A name that nothing declares. */
import { distance } from 'fastest-levenshtein';
import type { Block, TargetNode } from '../../grammar/index.ts';
import {
  type Declaration,
  type Fix,
  type LimitDeclaration,
  type Location,
  limitPlaces,
  limitSpace,
  listItems,
  locate,
  namesIn,
  type Report,
  type Scope,
  selectItems,
  selectPlaces,
  spaceOf,
  type Unresolved,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { withArticle } from './wording.ts';

/** Names that could have been meant: one that differs only in case alone, else the nearest few. */
export function nearestNames(text: string, candidates: readonly string[]): readonly string[] {
  const folded = text.toLowerCase();
  const inCase = candidates.filter((candidate) => candidate.toLowerCase() === folded);
  if (inCase.length > 0) return inCase;
  const most = Math.max(1, Math.round(text.length / 3));
  return (
    [...new Set(candidates)]
      .map((candidate) => ({ candidate, away: distance(candidate, text) }))
      // A name that shares no letter with it was not meant.
      .filter(({ away }) => away <= most && away < text.length)
      .sort((a, b) => a.away - b.away)
      .slice(0, 3)
      .map(({ candidate }) => candidate)
  );
}

function report(at: Location, text: string, opening: string, candidates: readonly string[]): Report {
  const nearest = nearestNames(text, candidates);
  const meant = nearest.length === 0 ? '' : ` Did you mean ${nearest.join(' or ')}?`;
  // A set in parentheses stands for several, and one of them would be written over all.
  const isWhole = at.block.text.slice(at.start, at.end) === text;
  const fixes: Fix[] = (isWhole ? nearest : []).map((name) => ({
    title: `Write ${name}`,
    edits: [{ ...at, text: name }],
  }));
  return { at, message: `${opening}${meant}`, fixes };
}

function describe({ at, text, what, candidates, declaration }: Unresolved): Report {
  if (what === 'heading') {
    return {
      at,
      message: `${text} stands in this line and as a heading of its table, which tells the members already: leave out the brackets.`,
      fixes: candidates.map((name) => ({ title: `Write ${name}`, edits: [{ ...at, text: name }] })),
    };
  }
  if (what === 'member' || what === 'place' || what === 'grade') {
    const known = candidates.filter((name) => name !== '');
    const owner = declaration?.name ?? 'it';
    const has = known.length === 0 ? `${owner} has none` : `it has ${listItems(known, 8)}`;
    // One with fewer segments would say less than what is written.
    const alike = known.filter((name) => name.split('/').length === text.split('/').length);
    return report(at, text, `${owner} has no ${what} ${text}: ${has}.`, alike);
  }
  if (what === 'sealant or lock' && declaration?.kind === 'fastener') {
    const { name, lock } = declaration;
    const own =
      lock === undefined ? `the table asks for no lock of ${name}` : `${name} is locked with ${lock}`;
    return {
      ...report(at, text, `No sealant is called ${text}, and ${own}.`, candidates),
      related: [{ at: declaration.at, message: `${name} is declared here` }],
    };
  }
  if (declaration !== undefined)
    return {
      ...report(
        at,
        text,
        `${text} is ${withArticle(declaration.kind)}, and ${withArticle(what)} is wanted here.`,
        candidates,
      ),
      related: [{ at: declaration.at, message: `${text} is declared here` }],
    };
  return missingName(at, text, what, candidates);
}

/** What would declare a name, by what is wanted there. */
const declares: Readonly<Record<string, (name: string) => string>> = {
  limit: (name) => `limit ${name} …`,
  'fastener group': (name) => `fastener ${name} … torque …`,
  part: (name) => `part ${name}`,
  tool: (name) => `tool ${name} "…"`,
  person: (name) => `person ${name} "…" builder`,
  sealant: (name) => `sealant ${name} "…" cure … torque …`,
};

/** A name that nothing declares: the ones it may be, else the line that would declare it. */
function missingName(at: Location, text: string, what: string, candidates: readonly string[]): Report {
  const opening = what === 'name' ? `Nothing is called ${text}.` : `No ${what} is called ${text}.`;
  const found = report(at, text, opening, candidates);
  const line = declares[what]?.(text);
  if (line === undefined || found.fixes?.length !== 0) return found;
  return {
    ...found,
    message: `${found.message} Declare it (\`${line}\`), or \`use\` the file that does.`,
  };
}

/** Members and places that a declaration names of another, and that it does not have. */
function* missingMembers(
  node: TargetNode,
  named: Declaration | undefined,
  path: string,
  block: Block,
  scope: Scope,
): Iterable<Report> {
  if (named === undefined || (node.items === undefined && node.place === undefined)) return;
  const isLimit = named.kind === 'limit';
  const members = isLimit ? limitSpace(scope, named.name) : spaceOf(named);
  const places = isLimit ? limitPlaces(scope, named.name) : undefined;
  for (const { span, text } of selectItems(node, members, members.items).unknown)
    yield describe({
      at: locate(path, block, span),
      text,
      what: 'member',
      candidates: members.items,
      declaration: named,
    });
  if (places === undefined) return;
  for (const { span, text } of selectPlaces(node.place, places).unknown)
    yield describe({
      at: locate(path, block, span),
      text,
      what: 'place',
      candidates: places.items,
      declaration: named,
    });
}

/** How a limit that is worked out leads to another: the names on the way, the last of them the one sought. */
function wayTo(
  sought: string,
  from: string,
  scope: Scope,
  seen = new Set<string>(),
): readonly string[] | undefined {
  if (from === sought) return [sought];
  if (seen.has(from)) return undefined;
  seen.add(from);
  for (const { expression } of scope.limits.get(from) ?? [])
    for (const { name } of expression === undefined ? [] : namesIn(expression)) {
      const way = wayTo(sought, name.text, scope, seen);
      if (way !== undefined) return [from, ...way];
    }
  return undefined;
}

/** Reports names in entries, steps and declarations that nothing declares, with the nearest ones. */
export const unknownName = rule({
  id: 'unknown-name',
  severity: 'error',
  title: 'name that nothing declares',
  subject: 'rebuild',
  *check({ unresolvedIn, own, scope, imports, path, joints }) {
    // While a file that is used has not been read, its names are not known to be missing.
    if (imports.some((one) => one.status !== 'read')) return;
    for (const { unresolved } of unresolvedIn) for (const one of unresolved) yield describe(one);
    for (const { declaration, closed, openings } of joints) {
      const { sealant } = declaration;
      const isUsed = closed !== undefined || openings.length > 0;
      if (!isUsed || sealant === undefined || scope.sealants.has(sealant) || declaration.path === path)
        continue;
      yield {
        at: declaration.at,
        message: `${declaration.name} is sealed with ${sealant}, and no register that this log uses says how long that cures: write sealant ${sealant} "…" cure 12 h open 10 min torque cured, with its own times.`,
      };
    }
    for (const declaration of own.declarations) {
      const { block } = declaration;
      const shared = [...scope.shared.keys()];
      const missing = (
        name: { text: string; start: number; end: number },
        what: string,
        names: readonly string[],
      ) =>
        names.includes(name.text) ? [] : [missingName(locate(path, block, name), name.text, what, names)];
      for (const [name, what] of [
        ['of', 'part, joint or group'],
        ['before', 'part, joint or assembly'],
      ] as const) {
        const pointer = name in declaration ? (declaration as LimitDeclaration)[name] : undefined;
        if (pointer === undefined) continue;
        const named = scope.shared.get(pointer.name);
        // A reading rests on a thing, not on another reading.
        if (named?.kind === 'limit' || named?.kind === 'inspection')
          yield describe({
            at: locate(path, block, pointer.node.name),
            text: pointer.name,
            what,
            candidates: [],
            declaration: named,
          });
        else {
          yield* missing(pointer.node.name, what, shared);
          yield* missingMembers(pointer.node, named, path, block, scope);
        }
      }
      switch (declaration.kind) {
        case 'limit':
          if (declaration.grade !== undefined) {
            const { node, name } = declaration.grade.part;
            yield* missing(node.name, 'part', [...scope.parts.keys()]);
            yield* missingMembers(node, scope.parts.get(name), path, block, scope);
          }
          if (declaration.expression !== undefined)
            for (const target of namesIn(declaration.expression)) {
              const round = wayTo(declaration.name, target.name.text, scope);
              if (round === undefined) {
                yield* missing(target.name, 'limit', [...scope.limits.keys()]);
                const read = scope.limits.get(target.name.text)?.[0];
                yield* missingMembers(target, read, path, block, scope);
                continue;
              }
              const through = round.slice(0, -1);
              yield {
                at: locate(path, block, target),
                message: `${declaration.name} cannot be worked out from itself${through.length === 0 ? '' : `, and ${listItems(through)} ${through.length === 1 ? 'rests' : 'rest'} on it`}.`,
              };
            }
          break;
        case 'stack':
          for (const { node, name } of declaration.members) {
            yield* missing(node.name, 'part', [...scope.parts.keys()]);
            yield* missingMembers(node, scope.parts.get(name), path, block, scope);
          }
          break;
        case 'covers':
          for (const name of declaration.names)
            yield* missing(name, 'assembly', [...scope.assemblies.keys()]);
          break;
        case 'joint': {
          for (const clause of declaration.statement.clauses) {
            // A table of limits names the sealants of whatever workshop's register its log uses.
            if (clause.name === 'sealant' && clause.value !== undefined && own.kind === 'rebuild')
              yield* missing(clause.value as never, 'sealant', [...scope.sealants.keys()]);
            if (clause.name === 'fasteners')
              for (const name of (clause.value ?? []) as readonly {
                text: string;
                start: number;
                end: number;
              }[])
                yield* missing(name, 'fastener group', [...scope.fasteners.keys()]);
          }
          break;
        }
        default:
          break;
      }
    }
  },
});
