/** A syntax tree in a few words, so that a test can show what a line was read as. */
import type {
  Block,
  ExpressionNode,
  PathNode,
  QuantityNode,
  SegmentNode,
  SpreadNode,
  StatementNode,
  TargetNode,
  UnitNode,
  ValueNode,
  WhenNode,
} from '../../grammar/index.ts';

const unit = (node: UnitNode | undefined) => (node === undefined ? '' : ` ${node.name ?? `!${node.text}`}`);

export function quantityText(node: QuantityNode): string {
  const parts = [`${node.number?.text ?? '?'}${unit(node.unit)}`];
  if (node.qualifier !== undefined) parts.push(node.qualifier.text);
  if (node.plus !== undefined) parts.push('and', quantityText(node.plus));
  if (node.equivalent !== undefined) parts.push(`(${quantityText(node.equivalent)})`);
  return parts.join(' ');
}

export function spreadText(node: SpreadNode | ValueNode): string {
  if (node.kind === 'word') return JSON.stringify(node.text);
  const whole = node.equivalent === undefined ? '' : ` (${spreadText(node.equivalent)})`;
  switch (node.kind) {
    case 'exact':
      return quantityText(node.value) + whole;
    case 'range':
      return `${quantityText(node.low)} to ${quantityText(node.high)}${whole}`;
    case 'at-most':
    case 'at-least':
      return `${node.kind} ${quantityText(node.value)}${whole}`;
    case 'plus-minus':
      return `${quantityText(node.nominal)} ± ${quantityText(node.tolerance)}${whole}`;
    case 'deviations':
      return `${quantityText(node.nominal)} upper ${node.upper.text} lower ${node.lower.text}${unit(node.unit)}${whole}`;
    case 'iso-class':
      return `${quantityText(node.nominal)} class ${node.isoClass.text}${whole}`;
    case 'placeholder':
      return '?';
  }
}

function segmentText(node: SegmentNode): string {
  switch (node.kind) {
    case 'word':
      return node.text;
    case 'number':
      return String(node.value);
    case 'run':
      return `${node.from}..${node.to}`;
    case 'set':
      return `(${node.members.map(segmentText).join(' ')})`;
    default:
      return `<${node.kind}>`;
  }
}

export const pathText = (node: PathNode) => node.segments.map(segmentText).join('/');

export function targetText(node: TargetNode): string {
  const items = node.items === undefined ? '' : `[${node.items.map(pathText).join(' ')}]`;
  return node.name.text + items + (node.place === undefined ? '' : ` @ ${pathText(node.place)}`);
}

export function expressionText(node: ExpressionNode): string {
  switch (node.kind) {
    case 'binary':
      return `(${node.operator} ${expressionText(node.left)} ${expressionText(node.right)})`;
    case 'call':
      return `(${node.name} ${node.arguments.map(expressionText).join(' ')})`;
    case 'reading':
      return targetText(node.target);
    case 'constant':
      return quantityText(node.quantity);
  }
}

const whenText = (node: WhenNode) =>
  node.placeholder ? '?' : [node.date, node.time, node.offset].filter((part) => part !== undefined).join(' ');

/** Any value of a clause or a fixed part. */
export function valueText(value: unknown): string {
  if (value === undefined) return '-';
  if (Array.isArray(value)) return value.map(valueText).join(', ');
  const node = value as Record<string, unknown> & { kind?: string };
  if ('placeholder' in node && 'date' in node) return whenText(node as unknown as WhenNode);
  if ('quoted' in node) return node.quoted === true ? JSON.stringify(node.text) : String(node.text);
  if ('length' in node && 'angle' in node)
    return `${valueText(node.length)}${node.angle === undefined ? '' : ` at ${valueText(node.angle)}`}`;
  if ('grade' in node) return `${valueText(node.target)} grade ${valueText(node.grade)}`;
  if ('name' in node && 'items' in node) return targetText(node as unknown as TargetNode);
  if (node.kind === undefined && 'unit' in node)
    return `${valueText(node.unit)}${node.qualifier === undefined ? '' : ` ${valueText(node.qualifier)}`}`;
  if (node.kind === undefined && 'name' in node) return unit(node as unknown as UnitNode).trim();
  if (node.kind === undefined && 'text' in node) return String(node.text);
  switch (node.kind) {
    case 'quantity':
      return quantityText(node as unknown as QuantityNode);
    case 'binary':
    case 'call':
    case 'reading':
    case 'constant':
      return expressionText(node as unknown as ExpressionNode);
    case 'listed':
      return (node.items as readonly PathNode[]).map(pathText).join(' ');
    case 'rows':
      return `rows ${node.rows}`;
    case 'circle':
    case 'cross':
    case 'centre-out':
    case 'any':
      return node.kind;
    default:
      return spreadText(node as unknown as SpreadNode);
  }
}

const fixedNames = [
  'name',
  'text',
  'text2',
  'names',
  'target',
  'members',
  'tolerance',
  'expression',
  'limit',
  'thread',
  'when',
  'value',
  'quantity',
  'subject',
  'note',
] as const;

/** `torque; target case-m8[1..10]; to 24 N·m`. */
export function statementText(statement: StatementNode): string {
  const parts: string[] = [statement.kind];
  for (const name of fixedNames) {
    const value = statement[name];
    if (value !== undefined) parts.push(`${name} ${valueText(value)}`);
  }
  for (const clause of statement.clauses)
    parts.push(clause.value === undefined ? clause.name : `${clause.name} ${valueText(clause.value)}`);
  for (const row of statement.rows) parts.push(`| ${row.cells.map(({ text }) => text).join(' | ')} |`);
  return parts.join('; ');
}

/** Each fault as `rule «text under it» message`. */
export function faultTexts(block: Block): string[] {
  return block.faults.map(
    ({ rule, start, end, message }) => `${rule} «${block.text.slice(start, end)}» ${message}`,
  );
}
