/** Whether a reading was taken under the conditions that its limit holds for, and says the same of the dead centre. */
import { clauseValue, type SpreadNode } from '../../grammar/index.ts';
import {
  isSpread,
  kindOf,
  type Quantity,
  quantityAndEquivalent,
  type Spread,
  spreadOf,
  standing,
} from '../quantities/index.ts';
import type { LimitDeclaration } from './declarations.ts';
import type { Entry, Reading } from './entries.ts';

/** A condition of a limit, and the one of its kind that the reading states. */
export interface PairedCondition {
  readonly wanted: Spread;
  readonly stated: Quantity | undefined;
  readonly isMet: boolean;
}

/** The conditions under which a limit holds. */
export function wantedConditions({ conditions }: LimitDeclaration): readonly Spread[] {
  return spreadsOf(conditions);
}

/** The conditions that a line states: none where it has no `when`, or nothing but `?`. */
export function statedConditions({ statement }: Entry): readonly Quantity[] {
  return spreadsOf(clauseValue(statement, 'when') ?? [])
    .map((one) => one.bare)
    .filter((one) => one !== undefined);
}

/** Each wanted condition with the first stated one of its kind that is still free. */
export function pairConditions(
  wanted: readonly Spread[],
  stated: readonly Quantity[],
): readonly PairedCondition[] {
  const free = [...stated];
  return wanted.map((one) => {
    const i = free.findIndex((quantity) => kindOf(quantity.unit) === kindOf(one.unit));
    const [quantity] = i < 0 ? [] : free.splice(i, 1);
    return { wanted: one, stated: quantity, isMet: quantity !== undefined && meets(one, quantity) };
  });
}

/** Whether both say the same of the dead centre or of the indicator's full movement. */
export function isSameQualifier(one: string | undefined, other: string | undefined): boolean {
  return plainQualifier(one) === plainQualifier(other);
}

/** Whether the limit can tell anything of a reading: taken under its conditions, with its qualifier. */
export function isUnderConditions(reading: Reading, declaration: LimitDeclaration): boolean {
  if (!isSameQualifier(reading.qualifier, declaration.qualifier)) return false;
  return (
    declaration.conditions.length === 0 ||
    pairConditions(wantedConditions(declaration), statedConditions(reading.entry)).every((one) => one.isMet)
  );
}

/** Whether a stated condition is the one asked for: the same number, or the same within what a conversion keeps. */
function meets(wanted: Spread, stated: Quantity): boolean {
  if (wanted.bare !== undefined && wanted.unit !== stated.unit)
    return quantityAndEquivalent(wanted.bare, stated).agrees;
  const { where } = standing(wanted, stated);
  return where === 'inside' || where === 'not-comparable';
}

function spreadsOf(conditions: readonly SpreadNode[]): readonly Spread[] {
  return conditions.map((node) => spreadOf(node)).filter((one) => one !== undefined && isSpread(one));
}

/** A full indicator movement is a total indicator reading. */
function plainQualifier(qualifier: string | undefined): string | undefined {
  return qualifier === 'FIM' ? 'TIR' : qualifier;
}
