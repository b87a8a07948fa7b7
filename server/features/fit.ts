/** What a hole and its shaft make together by their limits: clearance, transition or interference, with the extremes. */
import type { ExpressionNode } from '../../grammar/index.ts';
import { type Fit, fitOf } from '../calculations/index.ts';
import { formatAmount, formatNumber, formatSpread, kindOf, spreadIn } from '../quantities/index.ts';
import type { LimitDeclaration, Scope } from '../rebuild/index.ts';

/** A hole and a shaft whose limits belong together. */
interface Pair {
  readonly hole: LimitDeclaration;
  readonly shaft: LimitDeclaration;
}

/** More fits than this are not shown: a table of grades has one for each. */
const MOST_SHOWN = 4;

/**
 * The fits that a limit has part in, each in a sentence: those that the table works out (`clearance = bore - piston`),
 * seen from any of the three, else the one class of the other kind (`H7` for `g6`) at the same nominal size.
 */
export function describeFits(name: string, scope: Scope): readonly string[] {
  const worked = workedPairs(name, scope);
  const pairs = worked.length > 0 ? worked : pairOfClasses(name, scope);
  const sentences = pairs.map(sentenceOf).filter((one) => one !== undefined);
  return [...new Set(sentences)].slice(0, MOST_SHOWN);
}

/** Limits of size: of a length, with two ends above nothing. */
function sizesOf(name: string, scope: Scope): readonly LimitDeclaration[] {
  return (scope.limits.get(name) ?? []).filter(
    ({ limit }) =>
      limit?.lower !== undefined &&
      limit.upper !== undefined &&
      limit.lower.value > 0 &&
      kindOf(limit.unit) === 'length',
  );
}

function nameOf(node: ExpressionNode): string | undefined {
  return node.kind === 'reading' ? node.target.name.text : undefined;
}

function workedPairs(name: string, scope: Scope): readonly Pair[] {
  return [...scope.limits.values()].flat().flatMap(({ name: derived, expression }) => {
    if (expression?.kind !== 'binary' || expression.operator !== '-') return [];
    const [hole, shaft] = [nameOf(expression.left), nameOf(expression.right)];
    if (hole === undefined || shaft === undefined || ![derived, hole, shaft].includes(name)) return [];
    const shafts = sizesOf(shaft, scope);
    return sizesOf(hole, scope).flatMap((one) =>
      shafts
        .filter((other) => other.grade?.grade === one.grade?.grade)
        .map((other) => ({ hole: one, shaft: other })),
    );
  });
}

/** `H7` or `g6` of a limit that is written as a class, with the size it is of. */
function classOf({ statement, limit }: LimitDeclaration): { text: string; isHole: boolean } | undefined {
  const node = statement.limit;
  if (limit?.nominal === undefined || node === undefined || !('kind' in node) || node.kind !== 'iso-class')
    return undefined;
  const { text } = node.isoClass;
  return { text, isHole: text[0] !== text[0]?.toLowerCase() };
}

function pairOfClasses(name: string, scope: Scope): readonly Pair[] {
  return sizesOf(name, scope).flatMap((own) => {
    const written = classOf(own);
    if (written === undefined) return [];
    const partners = [...scope.limits.values()].flat().filter((other) => {
      const others = classOf(other);
      return (
        others !== undefined &&
        others.isHole !== written.isHole &&
        other.limit?.unit === own.limit?.unit &&
        other.limit?.nominal?.value === own.limit?.nominal?.value &&
        other.assembly === own.assembly
      );
    });
    const [partner] = partners;
    // Of several nobody knows which one goes in.
    if (partner === undefined || partners.length > 1) return [];
    return [written.isHole ? { hole: own, shaft: partner } : { hole: partner, shaft: own }];
  });
}

/** `20 H7 (20.000..20.021 mm)`, or the range alone. */
function written(declaration: LimitDeclaration): string {
  const { limit, block, statement } = declaration;
  const node = statement.limit;
  const range = limit === undefined ? '' : formatSpread(limit);
  if (classOf(declaration) === undefined || node === undefined || !('kind' in node))
    return `\`${declaration.name}\` ${range}`;
  const text = block.text.slice(node.start, node.end).replace(/\s+/g, ' ');
  return `\`${declaration.name}\` ${text} (${range})`;
}

function sentenceOf({ hole, shaft }: Pair): string | undefined {
  const unit = hole.limit?.unit;
  const inside = shaft.limit === undefined || unit === undefined ? undefined : spreadIn(shaft.limit, unit);
  const [low, high] = [hole.limit?.lower, hole.limit?.upper];
  if (unit === undefined || low === undefined || high === undefined) return undefined;
  if (inside?.lower === undefined || inside.upper === undefined) return undefined;
  const fit = fitOf(
    { lower: low.value, upper: high.value },
    { lower: inside.lower.value, upper: inside.upper.value },
  );
  if (fit === undefined) return undefined;
  const decimals = Math.max(hole.limit?.decimals ?? 0, inside.decimals);
  const grade = hole.grade === undefined ? '' : `, ${hole.grade.grade}`;
  return `${written(hole)} over ${written(shaft)}${grade}: ${extremes(fit, unit, decimals)}.`;
}

function extremes({ kind, leastClearance, greatestClearance }: Fit, unit: string, decimals: number): string {
  const number = (value: number) => formatNumber(Math.abs(value), decimals);
  const amount = (value: number) => formatAmount(Math.abs(value), unit, decimals);
  switch (kind) {
    case 'clearance':
      return `**clearance** fit, ${number(leastClearance)} to ${amount(greatestClearance)}`;
    case 'interference':
      return `**interference** fit, ${number(greatestClearance)} to ${amount(leastClearance)}`;
    default:
      return `**transition** fit, from ${amount(leastClearance)} of interference to ${amount(greatestClearance)} of clearance`;
  }
}
