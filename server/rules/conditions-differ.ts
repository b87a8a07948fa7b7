/** A test made under other conditions than its limit holds for. */
import { clauseNode } from '../../grammar/index.ts';
import { convert, formatQuantity, formatSpread, type Quantity, type Spread } from '../quantities/index.ts';
import {
  acceptedAt,
  type Entry,
  isOpenFinding,
  type LimitDeclaration,
  locate,
  pairConditions,
  type Report,
  statedConditions,
  wantedConditions,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { andList, refOf } from './wording.ts';

/** The conditions that hold for the reading, in the words of the limit: `0.5 bar, 3 min`. */
function write(wanted: readonly Spread[]): string {
  return wanted.map((one) => formatSpread(one)).join(', ');
}

function judge(entry: Entry, declaration: LimitDeclaration): Report | undefined {
  const wanted = wantedConditions(declaration);
  if (wanted.length === 0) return undefined;
  const { path, block, statement } = entry;
  const clause = clauseNode(statement, 'when');
  const target = statement.target ?? statement.keyword;
  const name = block.text.slice(target.start, target.end);
  const stated = statedConditions(entry);
  // Of a `?` among them open-item tells, and what it is yet to say is not said to be left out.
  const isOpen =
    clause?.value?.some(
      (one) => one.kind === 'placeholder' || (one.kind === 'exact' && one.value.number === undefined),
    ) === true;
  const related = [{ at: declaration.at, message: `the limit holds when ${write(wanted)}` }];
  const ref = refOf(declaration);
  if (isOpen && stated.length === 0) return undefined;
  if (clause === undefined || stated.length === 0) {
    const after = statement.value ?? target;
    const isWhole = wanted.every((one) => one.bare !== undefined);
    const at = locate(path, block, target);
    const text = ` when ${write(wanted)}`;
    return {
      at,
      message: `The line does not say under what conditions ${name} was measured; its limit holds when ${write(wanted)}${ref}. Write them down as they were.`,
      related,
      ...(isWhole && clause === undefined
        ? {
            fixes: [
              {
                title: `Write${text}`,
                edits: [{ ...locate(path, block, { start: after.end, end: after.end }), text }],
              },
            ],
          }
        : {}),
    };
  }
  const faults: string[] = [];
  for (const { wanted: one, stated: quantity, isMet } of pairConditions(wanted, stated)) {
    if (quantity === undefined && isOpen) continue;
    if (quantity === undefined) faults.push(`${formatSpread(one)} is not stated`);
    else if (!isMet)
      faults.push(`${formatQuantity(quantity)}${inUnitOf(quantity, one)} is not ${formatSpread(one)}`);
  }
  if (faults.length === 0) return undefined;
  return {
    at: locate(path, block, clause),
    message: `${name} was measured under other conditions than its limit holds for${ref}: ${andList(faults)}. The limit proves nothing then: test again when ${write(wanted)}.`,
    related,
  };
}

/** ` (7.3 psi)` in the limit's unit, where the units differ. */
function inUnitOf(quantity: Quantity, { unit, decimals }: Spread): string {
  if (quantity.unit === unit) return '';
  const value = convert(quantity.value, quantity.unit, unit);
  return value === undefined ? '' : ` (${value.toFixed(decimals + 1)} ${unit})`;
}

/** Reports measurements whose `when` is not that of their limit, once a line. */
export const conditionsDiffer = rule({
  id: 'conditions-differ',
  severity: 'warning',
  title: 'measured under other conditions',
  subject: 'characteristic',
  *check({ instances }) {
    const seen = new Set<Entry>();
    for (const instance of instances) {
      if (instance.declaration.conditions.length === 0) continue;
      for (const judged of instance.readings) {
        const { entry, placeholder, place } = judged.reading;
        if (placeholder || seen.has(entry) || !isOpenFinding(instance, judged)) continue;
        if (acceptedAt(instance, place) !== undefined) continue;
        seen.add(entry);
        const report = judge(entry, instance.declaration);
        if (report !== undefined) yield report;
      }
    }
  },
});
