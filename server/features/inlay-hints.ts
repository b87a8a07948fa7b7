/**
 * What stands behind the text in grey: a value in the other system of units, how far a group or a table is, and what a
 * wrench with an adapter must read.
 */
import {
  type Block,
  clauseNode,
  clauseValue,
  hasClause,
  type QuantityNode,
  type SpreadNode,
  torqueTo,
} from '../../grammar/index.ts';
import {
  convertQuantity,
  formatQuantity,
  formatSpread,
  otherUnit,
  quantityOf,
  type Spread,
  spreadIn,
  type UnitSystem,
  unitInSystem,
} from '../quantities/index.ts';
import { countTorqued, type Declaration, type Entry, wrenchMustRead } from '../rebuild/index.ts';
import type { CheckedFile } from './checked.ts';

export interface InlayHint {
  /** In the file. */
  readonly offset: number;
  readonly text: string;
  readonly tooltip: string;
  readonly kind: 'unit' | 'progress';
}

export interface InlayWishes {
  readonly units: boolean;
  readonly progress: boolean;
}

/** The unit to show a value in besides its own: of the system that is wanted, without one of the other. */
function besideUnit(unit: string, value: number, system: UnitSystem | undefined): string | undefined {
  return system === undefined ? otherUnit(unit, value) : unitInSystem(unit, value, system);
}

/** The hints between two offsets of a file. */
export function inlayHintsIn(
  checked: CheckedFile,
  start: number,
  end: number,
  wishes: InlayWishes,
): readonly InlayHint[] {
  const hints: InlayHint[] = [];
  const { file, rebuild, units: system } = checked;
  const wanted = (blockStart: number, length: number) => blockStart < end && blockStart + length > start;
  const last = wishes.progress ? lastMentions(checked) : new Map<Entry, string>();
  for (const [i, block] of file.blocks.entries()) {
    if (block.statement === undefined || !wanted(block.start, block.text.length)) continue;
    const bound = rebuild.bound[i];
    const entry = bound !== undefined && 'kind' in bound ? bound : undefined;
    if (wishes.units)
      for (const hint of entry === undefined ? [] : entryUnits(entry, system))
        hints.push({ ...hint, offset: block.start + hint.offset });
    const wrench = entry === undefined || !wishes.progress ? undefined : wrenchHint(entry);
    if (wrench !== undefined) hints.push({ ...wrench, offset: block.start + wrench.offset });
    const progress = entry === undefined ? undefined : last.get(entry);
    if (progress !== undefined)
      hints.push({
        offset: block.start + firstLineEnd(block),
        text: progress,
        tooltip: 'At the end of the log as it stands.',
        kind: 'progress',
      });
  }
  if (wishes.units)
    for (const declaration of rebuild.own.declarations) {
      if (!wanted(declaration.block.start, declaration.block.text.length)) continue;
      for (const hint of declarationUnits(declaration, system))
        hints.push({ ...hint, offset: declaration.block.start + hint.offset });
    }
  return hints.filter(({ offset }) => offset >= start && offset <= end).sort((a, b) => a.offset - b.offset);
}

/** The end of what a statement says on its first line: a table's rows stand below, a comment behind. */
function firstLineEnd({ text, statement, comments }: Block): number {
  const [from, to] = [statement?.start ?? 0, statement?.end ?? text.length];
  const comment = comments.find(({ start }) => start >= from)?.start ?? to;
  return from + text.slice(from, Math.min(to, comment)).replace(/\s*(?:[\r\n].*)?$/s, '').length;
}

function entryUnits(entry: Entry, system: UnitSystem | undefined): readonly InlayHint[] {
  const nodes: QuantityNode[] = [];
  for (const { node } of entry.readings)
    if (node.kind === 'exact' && node.equivalent === undefined) nodes.push(node.value);
  if (entry.kind === 'torque')
    nodes.push(
      ...[torqueTo(entry.statement), clauseValue(entry.statement, 'set')].filter(
        (node) => node !== undefined,
      ),
    );
  const seen = new Set<number>();
  return nodes.flatMap((node) => {
    if (node.equivalent !== undefined || node.unit === undefined || seen.has(node.end)) return [];
    seen.add(node.end);
    const quantity = quantityOf(node);
    const unit = quantity === undefined ? undefined : besideUnit(quantity.unit, quantity.value, system);
    const other = quantity === undefined || unit === undefined ? undefined : convertQuantity(quantity, unit);
    return other === undefined ? [] : [unitHint(node.end, formatQuantity(other))];
  });
}

/** What the wrench must read, behind its adapter or the drag; once the line records what it was set to, no more. */
function wrenchHint(entry: Entry): InlayHint | undefined {
  const { statement } = entry;
  const behind = clauseNode(statement, 'adapter') ?? clauseNode(statement, 'drag');
  if (behind === undefined || hasClause(statement, 'set')) return undefined;
  const reads = wrenchMustRead(entry);
  return reads === undefined
    ? undefined
    : {
        offset: behind.end,
        text: `wrench ${formatQuantity(reads)}`,
        tooltip: 'What the wrench must read for this torque at the fastener.',
        kind: 'progress',
      };
}

const unitHint = (offset: number, text: string): InlayHint => ({
  offset,
  text,
  tooltip: 'Rounded to what the written digits carry.',
  kind: 'unit',
});

function declarationUnits(declaration: Declaration, system: UnitSystem | undefined): readonly InlayHint[] {
  const { statement } = declaration;
  const clause = (name: string) =>
    statement.clauses.find((one) => one.name === name)?.value as SpreadNode | undefined;
  switch (declaration.kind) {
    case 'limit': {
      const node = statement.limit !== undefined && 'kind' in statement.limit ? statement.limit : undefined;
      return [
        ...spreadHint(node, declaration.limit, system),
        ...spreadHint(clause('wear'), declaration.wear, system),
      ];
    }
    case 'fastener':
      return spreadHint(clause('torque'), declaration.torque, system);
    default:
      return [];
  }
}

function spreadHint(
  node: SpreadNode | undefined,
  spread: Spread | undefined,
  system: UnitSystem | undefined,
): readonly InlayHint[] {
  if (node === undefined || spread === undefined || hasEquivalent(node)) return [];
  const value = spread.nominal?.value ?? spread.upper?.value ?? spread.lower?.value ?? 0;
  const unit = besideUnit(spread.unit, value, system);
  const other = unit === undefined ? undefined : spreadIn(spread, unit);
  return other === undefined ? [] : [unitHint(node.end, formatSpread(other))];
}

function hasEquivalent(node: SpreadNode): boolean {
  return (
    node.equivalent !== undefined ||
    ('value' in node && node.value.equivalent !== undefined) ||
    ('nominal' in node && node.nominal.equivalent !== undefined)
  );
}

/** The last line that speaks of each group, and of each member with places still to be read, with how far it is. */
function lastMentions({ rebuild }: CheckedFile): ReadonlyMap<Entry, string> {
  const last = new Map<Entry, string>();
  for (const group of rebuild.fastenerGroups) {
    const entry = group.entries.findLast((one) => one.kind === 'torque' || one.kind === 'finger-tight');
    if (entry === undefined || group.members.length < 2) continue;
    last.set(entry, `${countTorqued(group)} of ${group.members.length}`);
  }
  for (const { instances } of rebuild.characteristics)
    for (const { declaration, missing, readings } of instances) {
      const all = declaration.places.items.length;
      const entry = readings.at(-1)?.reading.entry;
      if (entry !== undefined && all > 1 && missing.length > 0 && entry.targets[0]?.items.length === 1)
        last.set(entry, `${all - missing.length} of ${all}`);
    }
  return last;
}
