/** A wear limit that leaves out new parts; a derived limit that its own parts may miss, each of them inside its limit. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import {
  type Bound,
  containsSpread,
  convert,
  formatAmount,
  formatNumber,
  formatQuantity,
  formatSpread,
  fromBase,
  quantityOf,
  type Spread,
  sameKind,
  toBase,
} from '../quantities/index.ts';
import {
  type AllowedByParts,
  allowedByParts,
  type FastenerDeclaration,
  fileKind,
  fromBaseDifference,
  type LimitDeclaration,
  locate,
  namesIn,
  type Report,
  type Scope,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { andList, refOf, twoDigits } from './wording.ts';

/** How far the parts may take a derived value past one end of its limit, in the limit's unit. */
interface Miss {
  readonly by: number;
  readonly side: 'over' | 'under';
}

function missesOf(spread: Spread, allowed: AllowedByParts): readonly Miss[] {
  const { unit, lower, upper } = spread;
  const misses: Miss[] = [];
  const least = 1e-9 * Math.max(Math.abs(allowed.low), Math.abs(allowed.high));
  // Who copies 0.05 mm as 0.002 in has rounded it: in another unit an end is good to half its last place.
  const isMixed = allowed.lines.some((line) => {
    const own = (line.limit ?? line.wear)?.unit;
    return own !== undefined && own !== unit && sameKind(own, unit);
  });
  const slackOf = ({ place }: Bound) =>
    isMixed ? (toBase({ value: place, unit }) - toBase({ value: 0, unit })) / 2 : least;
  if (upper !== undefined && Number.isFinite(allowed.high)) {
    const past = allowed.high - toBase({ value: upper.value, unit });
    if (past > slackOf(upper)) misses.push({ by: fromBaseDifference(past, unit), side: 'over' });
  }
  if (lower !== undefined && Number.isFinite(allowed.low)) {
    const past = toBase({ value: lower.value, unit }) - allowed.low;
    if (past > slackOf(lower)) misses.push({ by: fromBaseDifference(past, unit), side: 'under' });
  }
  return misses;
}

/** The grades that a derived limit can meet: none fitted, and those that the lines of its parts name. */
function gradesFor(declaration: LimitDeclaration, scope: Scope): readonly (string | undefined)[] {
  if (declaration.grade !== undefined) return [declaration.grade.grade];
  const { expression } = declaration;
  const grades = new Set<string | undefined>([undefined]);
  for (const target of expression === undefined ? [] : namesIn(expression))
    for (const line of scope.limits.get(target.name.text) ?? []) grades.add(line.grade?.grade);
  // A line of the derived limit's own holds for its grade.
  for (const line of scope.limits.get(declaration.name) ?? [])
    if (line.grade !== undefined) grades.delete(line.grade.grade);
  return [...grades];
}

/** A wear limit that some of what is right for new parts is past: most often a figure that lacks its `<=` or `>=`. */
function* wearThatLeavesNewOut(declaration: LimitDeclaration): Iterable<Report> {
  const { limit, wear, name, path, block, statement } = declaration;
  const value = clauseNode(statement, 'wear')?.value;
  if (limit === undefined || wear === undefined || value == null) return;
  if (containsSpread(wear, limit) !== false) return;
  const at = locate(path, block, value);
  const { upper, lower } = limit;
  const bare = wear.bare?.value;
  const sign =
    bare === undefined || wear.unit !== limit.unit
      ? undefined
      : upper !== undefined && bare >= upper.value
        ? '<='
        : lower !== undefined && bare <= lower.value
          ? '>='
          : undefined;
  yield {
    at,
    message: `The wear limit of ${name}, ${formatSpread(wear)}, leaves out some of what is right for new parts, ${formatSpread(limit)}${refOf(declaration)}.${sign === undefined ? ' Look the figures up again.' : ` \`wear ${sign} ${formatSpread(wear)}\` says how far it may go.`}`,
    ...(sign === undefined
      ? {}
      : { fixes: [{ title: `Write ${sign}`, edits: [{ ...at, end: at.start, text: `${sign} ` }] }] }),
  };
}

/** A stage past the torque that it leads to: most often a figure in another unit, or one digit too many. */
function* stagesPastTorque(declaration: FastenerDeclaration): Iterable<Report> {
  const { name, torque, angle, path, block, statement } = declaration;
  const upper = torque?.upper;
  if (torque === undefined || upper === undefined || angle !== undefined) return;
  for (const node of clauseValue(statement, 'stages') ?? []) {
    const stage = quantityOf(node);
    const value = stage === undefined ? undefined : convert(stage.value, stage.unit, torque.unit);
    if (stage === undefined || value === undefined || value <= upper.value * (1 + 1e-9)) continue;
    yield {
      at: locate(path, block, node),
      message: `A stage of ${name}, ${formatQuantity(stage)}, is past the torque that it leads to, ${formatSpread(torque)}${refOf(declaration)}. Look the figures up again.`,
    };
  }
}

/**
 * Reports wear limits that leave out what is right for new parts, and stages past their torque; and, in a table of limits, derived limits narrower than
 * what the limits of their parts leave.
 */
export const limitsInconsistent = rule({
  id: 'limits-inconsistent',
  severity: 'information',
  title: 'limits that contradict one another',
  subject: 'declaration',
  *check(declaration, { path, scope }) {
    if (declaration.kind === 'fastener') yield* stagesPastTorque(declaration);
    if (declaration.kind !== 'limit') return;
    yield* wearThatLeavesNewOut(declaration);
    if (fileKind(path) !== 'limits') return;
    const { expression, name } = declaration;
    const spread = declaration.limit ?? declaration.wear;
    if (expression === undefined || spread === undefined) return;
    const told = new Set<string>();
    for (const grade of gradesFor(declaration, scope))
      for (const item of declaration.space.items) {
        const allowed = allowedByParts(expression, item, grade, spread.unit, scope);
        if (allowed === undefined) continue;
        const misses = missesOf(spread, allowed);
        // Members under the same lines have the same to say.
        const lines = allowed.lines.map((line) => line.block.start).join();
        if (misses.length === 0 || told.has(lines)) continue;
        told.add(lines);
        const decimals = Math.max(
          spread.decimals,
          ...allowed.lines.map((line) => decimalsIn(line, spread.unit)),
        );
        const ends = [allowed.low, allowed.high].map((end) =>
          Number.isFinite(end) ? formatNumber(fromBase(end, spread.unit), decimals) : undefined,
        );
        const parts = allowed.lines.map((line) => {
          const own = line.limit ?? line.wear;
          return `${line.name}${own === undefined ? '' : ` ${formatSpread(own)}`}`;
        });
        const [low, high] = ends;
        const span =
          low === undefined
            ? `up to ${high} ${spread.unit}`
            : high === undefined
              ? `from ${low} ${spread.unit}`
              : `${low}..${high} ${spread.unit}`;
        const past = misses.map(({ by, side }) => {
          const isShown = Number(by.toFixed(Math.min(20, decimals))) > 0;
          return `${isShown ? formatAmount(by, spread.unit, decimals) : twoDigits(by, spread.unit)} ${side}`;
        });
        yield {
          at: declaration.at,
          message: `${name}${grade === undefined ? '' : ` with ${grade}`} may come to ${span} with ${andList(parts)}, and its own limit is ${formatSpread(spread)}${refOf(declaration)}: ${andList(past)}. Parts that are each inside their limits may still have to be chosen for one another; if the manual does not say so, look the figures up again.`,
          related: allowed.lines.map((line) => ({
            at: line.at,
            message: `the limit of ${line.name} stands here`,
          })),
        };
      }
  },
});

/** The decimals of a line's limit, where it is in the same unit. */
function decimalsIn({ limit, wear }: LimitDeclaration, unit: string): number {
  const spread = limit ?? wear;
  return spread?.unit === unit ? spread.decimals : 0;
}
