/** What a hover says: a quantity in other units and the limit it is judged by, a group's state, a name's meaning. */
import { blockAt, type QuantityNode, type Span, statementSpec } from '../../grammar/index.ts';
import { everydayConversions, formatQuantity, formatSpread, quantityOf } from '../quantities/index.ts';
import {
  type Entry,
  type FastenerGroup,
  judgeValue,
  type LimitDeclaration,
  listItems,
  notTorqued,
  rangeForMissing,
  readingValue,
  writeMissingRange,
  writeTarget,
} from '../rebuild/index.ts';
import type { Checked } from '../workspace/index.ts';

export interface Hover {
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
  readonly markdown: string;
}

/** Every quantity of a statement, wherever it stands in the tree. */
function* quantitiesIn(node: unknown): Iterable<QuantityNode> {
  if (typeof node !== 'object' || node === null) return;
  if (Array.isArray(node)) {
    for (const one of node) yield* quantitiesIn(one);
    return;
  }
  if ((node as { kind?: unknown }).kind === 'quantity') yield node as QuantityNode;
  for (const value of Object.values(node)) yield* quantitiesIn(value);
}

const holds = (span: Span, offset: number) => span.start <= offset && offset <= span.end;

/** The hover at an offset of a checked file, if there is anything to say. */
export function hoverAt(checked: Checked, offset: number): Hover | undefined {
  const block = blockAt(checked.file, offset);
  const statement = block?.statement;
  if (block === undefined || statement === undefined) return undefined;
  const inside = offset - block.start;
  const at = (span: Span, markdown: string): Hover => ({
    start: block.start + span.start,
    end: block.start + span.end,
    markdown,
  });

  const entry = checked.rebuild.entries.find((one) => one.block === block);
  const reading = entry?.readings.find((one) => holds(one.at, inside));
  for (const node of [...quantitiesIn(statement)].reverse()) {
    if (!holds(node, inside)) continue;
    const quantity = quantityOf(node, reading?.high?.unit);
    if (quantity === undefined) continue;
    const lines = [`**${formatQuantity(quantity)}**`];
    const others = everydayConversions(quantity).slice(0, 8);
    if (others.length > 0) lines.push(others.map(formatQuantity).join(' · '));
    if (reading !== undefined && entry !== undefined) lines.push(...verdictOf(checked, reading));
    if (entry?.kind === 'torque') lines.push(...wantedTorque(entry));
    return at(node, lines.join('\n\n'));
  }
  if (reading !== undefined) {
    const value = readingValue(reading);
    const lines = [
      `**${writeTarget(reading.name, reading.item, reading.place)}**${value === undefined ? '' : ` = ${value.text}`}`,
    ];
    return at(reading.at, [...lines, ...verdictOf(checked, reading)].join('\n\n'));
  }

  const target = statement.target;
  if (target !== undefined && holds(target, inside)) {
    const group = checked.rebuild.fastenerGroups.find((one) => one.name === target.name.text);
    if (group !== undefined) return at(target, describeGroup(group));
    const limits = checked.rebuild.scope.limits.get(target.name.text);
    if (limits !== undefined) return at(target, describeLimit(checked, target.name.text, limits));
  }
  const named = nameAt(statement.clauses, inside);
  if (named !== undefined) {
    const tool = checked.rebuild.scope.tools.get(named.text);
    if (tool !== undefined) {
      const facts = [
        tool.range === undefined ? '' : `range ${formatSpread(tool.range)}`,
        tool.accuracy === undefined ? '' : `accuracy ${formatQuantity(tool.accuracy)}`,
        tool.uncertainty === undefined ? '' : `uncertainty U ${formatQuantity(tool.uncertainty)} (k = 2)`,
        tool.due === undefined ? '' : `calibration due ${tool.due}`,
      ].filter((fact) => fact !== '');
      return at(named, [`**${tool.name}** ${tool.text}`, ...facts].join('\n\n'));
    }
    const person = checked.rebuild.scope.people.get(named.text);
    if (person !== undefined) {
      const roles = [person.builder ? 'builder' : '', person.inspector ? 'inspector' : ''].filter(
        (role) => role !== '',
      );
      return at(named, `**${person.name}** ${person.text}\n\n${roles.join(', ')}`);
    }
  }
  if (holds(statement.keyword, inside)) {
    const about = statementSpec(statement.keyword.text)?.about;
    if (about !== undefined) return at(statement.keyword, `\`${statement.keyword.text}\`: ${about}`);
  }
  return undefined;
}

function nameAt(
  clauses: readonly { readonly value: unknown }[],
  inside: number,
): (Span & { text: string }) | undefined {
  for (const { value } of clauses)
    for (const one of Array.isArray(value) ? value : [value])
      if (typeof one === 'object' && one !== null && 'text' in one && holds(one as Span, inside))
        return one as Span & { text: string };
  return undefined;
}

function limitLines(declaration: LimitDeclaration): string[] {
  const lines: string[] = [];
  if (declaration.limit !== undefined) lines.push(`Limit for new parts: ${formatSpread(declaration.limit)}`);
  if (declaration.wear !== undefined) lines.push(`Wear limit: ${formatSpread(declaration.wear)}`);
  if (declaration.words !== undefined) lines.push(`Allowed: ${declaration.words.join(', ')}`);
  if (declaration.ref !== undefined) lines.push(`Reference ${declaration.ref}`);
  return lines;
}

function verdictOf(checked: Checked, reading: Entry['readings'][number]): string[] {
  const instance = checked.rebuild.characteristics
    .find((one) => one.name === reading.name)
    ?.instances.find((one) => one.item === reading.item);
  if (instance === undefined) return [];
  const lines = limitLines(instance.declaration);
  const value = readingValue(reading);
  const judgement =
    value === undefined
      ? undefined
      : judgeValue(value, instance.declaration, instance.fittedNew !== undefined);
  if (judgement === undefined) return lines;
  const used =
    judgement.used === undefined ? '' : `; ${Math.round(judgement.used * 100)} % of the wear allowance used`;
  const words = {
    inside: 'inside the limit',
    'past-new': 'past the range for new parts, inside the wear limit',
    outside: 'past its limit',
  };
  return [...lines, `This is ${words[judgement.verdict]}${used}.`];
}

function wantedTorque(entry: Entry): string[] {
  const declaration = entry.targets[0]?.declaration;
  if (declaration?.kind !== 'fastener' || declaration.torque === undefined) return [];
  return [
    `Wanted: ${formatSpread(declaration.torque)}${declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`}`,
  ];
}

function describeGroup(group: FastenerGroup): string {
  const { declaration, members } = group;
  const due = notTorqued(group);
  const facts = [
    declaration.thread,
    declaration.propertyClass === undefined ? undefined : `class ${declaration.propertyClass}`,
  ]
    .filter((fact) => fact !== undefined)
    .join(' ');
  const lines = [`**${group.name}** ${facts}`];
  if (declaration.torque !== undefined) lines.push(`Torque ${formatSpread(declaration.torque)}`);
  if (declaration.stages.length > 0)
    lines.push(`Stages ${declaration.stages.map(formatQuantity).join(', ')}`);
  if (declaration.order !== undefined) lines.push(`Order ${declaration.order.join(' ')}`);
  lines.push(
    due.length === 0
      ? `${members.length} of ${members.length} torqued`
      : `${members.length - due.length} of ${members.length} torqued; ${listItems(due.map((member) => member.item))} still due`,
  );
  return lines.join('\n\n');
}

function describeLimit(checked: Checked, name: string, limits: readonly LimitDeclaration[]): string {
  const first = limits[0];
  const lines = [`**${name}**`, ...(first === undefined ? [] : limitLines(first))];
  const characteristic = checked.rebuild.characteristics.find((one) => one.name === name);
  for (const instance of characteristic?.instances ?? []) {
    if (instance.missing.length > 0)
      lines.push(
        instance.missing[0] === ''
          ? `${writeTarget(name, instance.item)} has no reading yet`
          : `${writeTarget(name, instance.item)} lacks ${instance.missing.join(', ')}`,
      );
    const range = characteristic === undefined ? undefined : rangeForMissing(characteristic, instance);
    if (range !== undefined)
      lines.push(`${writeTarget(name, instance.item)} lacks one reading: ${writeMissingRange(range)}`);
  }
  return lines.join('\n\n');
}
