/** Changes that an editor offers beside a finding's own fixes, and those that may be made all at once. */
import { type Block, blockAt, type QuantityNode } from '../../grammar/index.ts';
import { convertQuantity, formatQuantity, otherUnit, quantityOf, unwritten } from '../quantities/index.ts';
import {
  acceptedAt,
  type Entry,
  type FastenerGroup,
  type Fix,
  type Instance,
  isUnfilled,
  judgeReading,
  lastInStep,
  lastMarkedStart,
  notTorqued,
  type Unresolved,
  writeTarget,
} from '../rebuild/index.ts';
import { type CheckedFile, entryAt } from './checked.ts';
import { withoutPlaces } from './offer.ts';
import { tableLines } from './templates.ts';
import { conditionUnits } from './wanted.ts';

/** A change of one file; offsets count in it. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

export interface Action {
  readonly title: string;
  readonly kind: 'mend' | 'rewrite';
  readonly edits: readonly Edit[];
}

/** What can be done with the lines between two offsets. */
export function actionsAt(checked: CheckedFile, start: number, end: number): readonly Action[] {
  const block = blockAt(checked.file, start);
  const entry = entryAt(checked, start);
  if (block?.statement === undefined) return [];
  // The cursor may stand on the blank lines below a statement.
  if (start > block.start + block.statement.end || end < block.start + block.statement.start) return [];
  const actions: Action[] = [];
  // What a broken line says is not known yet, so neither is what is left.
  if (entry !== undefined && block.faults.length === 0 && entry.faults.length === 0) {
    actions.push(
      ...leftOfGroup(checked, entry),
      ...leftToRead(checked, entry),
      ...concession(checked, entry),
    );
    actions.push(...entry.unresolved.flatMap((one) => declareIt(checked, one)));
  }
  const step = checked.rebuild.steps.find((one) => one.block === block);
  for (const one of step?.unresolved ?? []) actions.push(...declareIt(checked, one));
  if (block.statement.kind === 'covers') actions.push(...notSpokenOf(checked));
  actions.push(...equivalent(block, start - block.start));
  return actions.filter(({ edits }) => edits.every((edit) => isUnmarked(checked, edit)));
}

/** Whether an edit lies behind everything that a mark covers: what was signed stays as it was signed. */
export function isUnmarked({ path, rebuild }: CheckedFile, edit: Edit | Fix['edits'][number]): boolean {
  if (!('block' in edit)) return edit.start > lastMarkedStart(rebuild);
  return edit.path !== path || edit.block.start + edit.start > lastMarkedStart(rebuild);
}

/** New lines below a statement, each with its indent. */
function below(checked: CheckedFile, block: Block, lines: readonly string[]): Edit {
  const { text } = checked.file;
  const at = block.start + (block.statement?.end ?? 0);
  const rest = /^[^\r\n]*/.exec(text.slice(at))?.[0].length ?? 0;
  const from = block.start + (block.statement?.start ?? 0);
  const lineStart = Math.max(text.lastIndexOf('\n', from - 1), text.lastIndexOf('\r', from - 1)) + 1;
  const indent = /^[ \t]*/.exec(text.slice(lineStart))?.[0] ?? '';
  const lineBreak = text.includes('\r\n') ? '\r\n' : '\n';
  return {
    start: at + rest,
    end: at + rest,
    text: lines.map((line) => `${lineBreak}${indent}${line}`).join(''),
  };
}

function leftOfGroup(checked: CheckedFile, entry: Entry): readonly Action[] {
  if (entry.kind !== 'torque' && entry.kind !== 'finger-tight') return [];
  return entry.targets.flatMap((target): Action[] => {
    const group = checked.rebuild.fastenerGroups.find((one) => one.name === target.name);
    const torque = group?.declaration.torque;
    if (group === undefined || torque === undefined) return [];
    const unfilled = new Set(
      group.entries
        .filter((one) => one.kind === 'torque' && isUnfilled(one))
        .flatMap((one) => one.targets.flatMap(({ name, items }) => (name === group.name ? items : []))),
    );
    const due = notTorqued(group).flatMap(({ item }) => (unfilled.has(item) ? [] : [item]));
    if (due.length === 0) return [];
    return [
      {
        title: `Add what is left of ${group.name} as \`?\``,
        kind: 'mend',
        edits: [below(checked, entry.block, [torqueLine(group, due, torque.unit)])],
      },
    ];
  });
}

/** A torque to fill in, of those members in the order that is asked for. */
function torqueLine(
  { name, declaration, members }: FastenerGroup,
  due: readonly string[],
  unit: string,
): string {
  const order = declaration.order ?? members.map((member) => member.item);
  const rest = [
    declaration.angle === undefined ? '' : ` angle ? ${declaration.angle.unit}`,
    declaration.drag === undefined ? '' : ` drag ? ${declaration.drag.unit}`,
  ].join('');
  return `torque ${writeTarget(name, order.filter((item) => due.includes(item)).join(' '))} to ? ${unit}${rest}`;
}

/** Places of a member that no line speaks of: neither read, nor in the log as `?`. */
function notWritten({ missing, standing }: Instance): readonly string[] {
  const asked = new Set(standing.filter(({ placeholder }) => placeholder).map(({ place }) => place));
  return missing.filter((place) => !asked.has(place));
}

/** Readings to fill in, with the conditions of their test: a line for what lacks one, a table for several places. */
function readLines(name: string, instances: readonly Instance[]): readonly string[] {
  return instances.flatMap((instance) => {
    const { item, declaration } = instance;
    const places = notWritten(instance);
    const unit = (declaration.limit ?? declaration.wear)?.unit;
    const conditions = conditionUnits(declaration).map(unwritten);
    const when = conditions.length === 0 ? '' : ` when ${conditions.join(', ')}`;
    if (places.length > 1 && unit !== undefined) {
      const [first = '', ...rows] = tableLines(writeTarget(name, item), places, unit).map(withoutPlaces);
      return [`${first}${when}`, ...rows];
    }
    return [`measure ${writeTarget(name, item, places[0] ?? '')} = ${unwritten(unit)}${when}`];
  });
}

/** What the covered assemblies ask for and no line speaks of yet, below the last entry. */
function notSpokenOf(checked: CheckedFile): readonly Action[] {
  const { entries, characteristics, fastenerGroups } = checked.rebuild;
  const last = lastInStep(entries);
  if (last === undefined) return [];
  const lines = characteristics
    .filter(({ required, derived }) => required && !derived)
    .flatMap(({ name, instances }) =>
      readLines(
        name,
        instances.filter(({ missing, readings }) => missing.length > 0 && readings.length === 0),
      ),
    );
  for (const group of fastenerGroups) {
    const { torque } = group.declaration;
    const due = notTorqued(group).map(({ item }) => item);
    if (group.required && !group.touched && due.length > 0 && torque !== undefined)
      lines.push(torqueLine(group, due, torque.unit));
  }
  if (lines.length === 0) return [];
  const edits = [below(checked, last.block, lines)];
  return [{ title: 'Add the readings and torques that no line speaks of as `?`', kind: 'mend', edits }];
}

function leftToRead(checked: CheckedFile, entry: Entry): readonly Action[] {
  const target = entry.kind === 'measure' ? entry.targets[0] : undefined;
  const characteristic = checked.rebuild.characteristics.find((one) => one.name === target?.name);
  if (target === undefined || characteristic === undefined || characteristic.derived) return [];
  const actions: Action[] = [];
  for (const instance of characteristic.instances) {
    const spread = instance.declaration.limit ?? instance.declaration.wear;
    if (notWritten(instance).length === 0 || spread === undefined || !target.items.includes(instance.item))
      continue;
    const named = writeTarget(characteristic.name, instance.item);
    const lines = readLines(characteristic.name, [instance]);
    actions.push({
      title: `Add what is still to be read of ${named} as \`?\``,
      kind: 'mend',
      edits: [below(checked, entry.block, lines)],
    });
  }
  const others = characteristic.instances.filter(
    (one) => notWritten(one).length > 0 && !target.items.includes(one.item),
  );
  if (others.length > 0)
    actions.push({
      title: `Add the other members of ${characteristic.name} as \`?\``,
      kind: 'mend',
      edits: [below(checked, entry.block, readLines(characteristic.name, others))],
    });
  return actions;
}

/** A concession for a reading past its limit, its reason left to the inspector. */
function concession(checked: CheckedFile, entry: Entry): readonly Action[] {
  const inspector = [...checked.rebuild.scope.people.values()].find((person) => person.inspector);
  if (inspector === undefined) return [];
  const past = new Set<string>();
  for (const reading of entry.readings) {
    const instance = checked.rebuild.characteristics
      .find((one) => one.name === reading.name)
      ?.instances.find((one) => one.item === reading.item);
    if (instance === undefined || !instance.standing.includes(reading)) continue;
    if (acceptedAt(instance, reading.place) !== undefined) continue;
    const judged = judgeReading(reading, instance.declaration, instance.fittedNew !== undefined);
    if (judged?.judgement.verdict === 'outside') past.add(writeTarget(reading.name, reading.item));
  }
  return [...past].map((target) => ({
    title: `Record a concession for ${target}`,
    kind: 'mend',
    edits: [below(checked, entry.block, [`accept ${target} because ? by ${inspector.name}`])],
  }));
}

/** A line that registers a tool or a person that nothing declares, above the first step. */
function declareIt(checked: CheckedFile, { what, text }: Unresolved): readonly Action[] {
  const line =
    what === 'tool' ? `tool ${text} ?` : what === 'person' ? `person ${text} ? builder` : undefined;
  if (line === undefined) return [];
  const first = checked.rebuild.steps[0]?.block;
  const declared = checked.file.blocks.findLast(
    (block) => block.statement !== undefined && (first === undefined || block.start < first.start),
  );
  if (declared === undefined) return [];
  return [{ title: `Declare the ${what} ${text}`, kind: 'mend', edits: [below(checked, declared, [line])] }];
}

/** Writes the other system's value behind the quantity at an offset of a block. */
function equivalent(block: Block, inside: number): readonly Action[] {
  const node = quantityAt(block.statement, inside);
  const quantity = node === undefined || node.unit === undefined ? undefined : quantityOf(node);
  if (node === undefined || quantity === undefined || node.equivalent !== undefined) return [];
  const unit = otherUnit(quantity.unit, quantity.value);
  const other = unit === undefined ? undefined : convertQuantity(quantity, unit);
  // Behind a part of a spread it would stand for the whole.
  if (other === undefined || /^\s*(?:\(|\.\.|±|\+\/-|[+-]\d)/.test(block.text.slice(node.end))) return [];
  if (/(?:\.\.|±|\+\/-)\s*$/.test(block.text.slice(0, node.start))) return [];
  const at = block.start + node.end;
  return [
    {
      title: `Write ${formatQuantity(other)} behind it`,
      kind: 'rewrite',
      edits: [{ start: at, end: at, text: ` (${formatQuantity(other)})` }],
    },
  ];
}

function quantityAt(node: unknown, inside: number): QuantityNode | undefined {
  if (typeof node !== 'object' || node === null) return undefined;
  if (Array.isArray(node)) {
    for (const one of node) {
      const found = quantityAt(one, inside);
      if (found !== undefined) return found;
    }
    return undefined;
  }
  const quantity = node as QuantityNode;
  if (quantity.kind === 'quantity' && quantity.start <= inside && inside <= quantity.end) return quantity;
  for (const value of Object.values(node)) {
    const found = quantityAt(value, inside);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** Letters, digits, where the decimal point stands and which way a limit goes: what a line records, without its layout. */
const recorded = (text: string) =>
  text
    .replaceAll('≤', '<')
    .replaceAll('≥', '>')
    .replace(/(?<=\p{N}),(?=\p{N})/gu, '.')
    .replace(/[^\p{L}\p{M}\p{N}<>.]|(?<!\p{N})\.|\.(?!\p{N})/gu, '');

/**
 * Whether a fix leaves every letter and digit, each decimal point and each `<` and `>`, as it was written: it mends a
 * comma for a point, a dash for two dots, a quotation mark, and so cannot change what was recorded.
 */
export function keepsFacts(fix: Fix): boolean {
  if (fix.keepsFacts === true) return true;
  return [...new Set(fix.edits.map(({ block }) => block))].every((block) => {
    const own = fix.edits.filter((edit) => edit.block === block).toSorted((a, b) => b.start - a.start);
    const after = own.reduce(
      (text, edit) => text.slice(0, edit.start) + edit.text + text.slice(edit.end),
      block.text,
    );
    return recorded(after) === recorded(block.text);
  });
}

/** The edits of every finding that has one fix and no other, as far as the fix keeps the facts and they do not meet. */
export function fixAll(checked: CheckedFile): readonly Edit[] {
  const edits: Edit[] = [];
  for (const { fixes = [] } of checked.findings) {
    const [fix] = fixes;
    if (fix === undefined || fixes.length > 1 || !keepsFacts(fix)) continue;
    if (fix.edits.some(({ path }) => path !== checked.path)) continue;
    const own = fix.edits.map(({ block, start, end, text }) => ({
      start: block.start + start,
      end: block.start + end,
      text,
    }));
    if (!own.every((one) => isUnmarked(checked, one))) continue;
    if (own.some((one) => edits.some((other) => one.start <= other.end && other.start <= one.end))) continue;
    edits.push(...own);
  }
  return edits.sort((a, b) => a.start - b.start);
}
