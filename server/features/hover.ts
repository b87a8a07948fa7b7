/** What a hover says: a quantity in other units and the limit it is judged by, and what every name and word means. */
import {
  type Block,
  blockAt,
  type QuantityNode,
  type Span,
  type SpreadNode,
  type StatementNode,
} from '../../grammar/index.ts';
import { isoLimits } from '../calculations/index.ts';
import {
  computedQuantity,
  convertQuantity,
  everydayConversions,
  formatQuantity,
  formatSpread,
  isSpread,
  type Quantity,
  quantityOf,
  type Spread,
  spreadOf,
  systemOf,
  toBase,
  type UnitSystem,
} from '../quantities/index.ts';
import {
  type Entry,
  type Instance,
  judgeReading,
  type Reading,
  readingUncertainty,
  readingValue,
  stagesBeforeFinal,
  wrenchMustRead,
  writeTarget,
} from '../rebuild/index.ts';
import { type CheckedFile, entryAt } from './checked.ts';
import {
  type DescriptionWishes,
  describeClause,
  describeDeclared,
  describePerson,
  describeSealant,
  describeStatement,
  describeTool,
  escapeMarkdown,
  limitLines,
  paragraphs,
  show,
} from './descriptions.ts';
import { earlierReadings } from './earlier-readings.ts';
import { describeFits } from './fit.ts';
import { nameAt } from './names.ts';
import { pictureOfReading } from './pictures.ts';

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

/** Spreads with two ends: what one of them says, it says of both. */
const TWO_ENDS = new Set(['range', 'plus-minus', 'deviations', 'iso-class']);

/** The innermost spread with two ends at an offset, but for its equivalent. */
function spreadAt(node: unknown, inside: number): SpreadNode | undefined {
  if (typeof node !== 'object' || node === null) return undefined;
  const { kind, start, end, equivalent } = node as Partial<SpreadNode>;
  for (const [name, value] of Object.entries(node)) {
    const found = name === 'equivalent' ? undefined : spreadAt(value, inside);
    if (found !== undefined) return found;
  }
  if (kind === undefined || start === undefined || end === undefined || !TWO_ENDS.has(kind)) return undefined;
  const isOwn = equivalent === undefined || !holds(equivalent, inside);
  return holds({ start, end }, inside) && isOwn ? (node as SpreadNode) : undefined;
}

const holds = (span: Span, offset: number) => span.start <= offset && offset <= span.end;

/** Gives other logs of the same machine; asked only where the hover speaks of something that was read in them. */
export type OtherLogs = () => readonly CheckedFile[];

/** The hover at an offset of a checked file, if there is anything to say. */
export function hoverAt(
  checked: CheckedFile,
  offset: number,
  wishes: DescriptionWishes,
  others: OtherLogs = () => [],
): Hover | undefined {
  const block = blockAt(checked.file, offset);
  const statement = block?.statement;
  if (block === undefined || statement === undefined) return undefined;
  const inside = offset - block.start;
  const found =
    valueHover(checked, block, statement, inside, wishes) ??
    nameHover(checked, offset, wishes, others) ??
    wordHover(statement, inside);
  if (found === undefined) return undefined;
  const { at, markdown } = found;
  return { start: block.start + at.start, end: block.start + at.end, markdown };
}

type Found = { readonly at: Span; readonly markdown: string } | undefined;

/** Units that torque screwdrivers are read in: from 5 N·m on they are only long numbers. Common practice. */
const screwdriverUnits: ReadonlySet<string> = new Set(['cN·m', 'dN·m', 'in·ozf']);

/** Nobody reads seconds for 1204.5 h: a value from here on is in the wrong unit for a person. */
const LONGEST = 100_000;

/**
 * The quantity in every other common unit, those of the team's system first: `= 2.65957 in · 2659.57 thou`; from
 * `lower` on, where it is the upper end of a range.
 */
function conversions(
  quantity: Quantity,
  system: UnitSystem | undefined,
  lower?: Quantity,
): string | undefined {
  const from = (unit: string) => {
    const low = lower === undefined ? undefined : convertQuantity(lower, unit);
    return low === undefined ? '' : `${formatQuantity(low).replace(` ${unit}`, '')}..`;
  };
  const isFirst = ({ unit }: Quantity) => system !== undefined && systemOf(unit) === system;
  const all = everydayConversions(quantity).filter(
    ({ unit, value }) => Math.abs(value) < LONGEST && (!screwdriverUnits.has(unit) || toBase(quantity) < 5),
  );
  const others = [...all.filter(isFirst), ...all.filter((one) => !isFirst(one))];
  return others.length === 0
    ? undefined
    : `= ${others.map((one) => `${from(one.unit)}${formatQuantity(one)}`).join(' · ')}`;
}

function valueHover(
  checked: CheckedFile,
  block: Block,
  statement: StatementNode,
  inside: number,
  wishes: DescriptionWishes,
): Found {
  const entry = entryAt(checked, block.start);
  const reading = entry?.readings.find((one) => holds(one.at, inside));
  const asked = entry === undefined ? spreadHover(checked, block, inside) : undefined;
  if (asked !== undefined) return asked;
  for (const node of [...quantitiesIn(statement)].reverse()) {
    if (!holds(node, inside)) continue;
    const quantity = quantityOf(node);
    if (quantity === undefined) continue;
    return {
      at: node,
      markdown: paragraphs([
        `**${formatQuantity(quantity)}**`,
        ...(reading === undefined ? [] : readingLines(checked, reading, wishes)),
        entry?.kind === 'torque' ? wantedOf(checked, entry, inside) : undefined,
        entry === undefined ? undefined : wrenchLine(entry),
        conversions(quantity, checked.units),
      ]),
    };
  }
  if (reading === undefined) return undefined;
  const { low, high = low } = reading;
  const value = readingValue(reading);
  return {
    at: reading.at,
    markdown: paragraphs([
      `**${writeTarget(reading.name, reading.item, reading.place)}**${value === undefined ? '' : ` = ${value.text}`}`,
      ...readingLines(checked, reading, wishes),
      high === undefined
        ? undefined
        : conversions(high, checked.units, low?.value === high.value ? undefined : low),
    ]),
  };
}

/** What a table or a register allows: both of its ends, in other units too. */
function spreadHover(checked: CheckedFile, block: Block, inside: number): Found {
  const node = spreadAt(block.statement, inside);
  const spread = node === undefined ? undefined : spreadOf(node, { isoLimits });
  if (node === undefined || spread === undefined || !isSpread(spread)) return undefined;
  const { lower, upper, unit, decimals } = spread;
  if (lower === undefined || upper === undefined) return undefined;
  const end = node.equivalent === undefined ? node.end : node.equivalent.start;
  const written = block.text.slice(node.start, end).replace(/\s*\(?\s*$/, '');
  const range = formatSpread(spread);
  const [low, high] = [lower, upper].map(({ value }) => computedQuantity(value, decimals, unit));
  return {
    at: node,
    markdown: paragraphs([
      `**${escapeMarkdown(written)}**${range === written ? '' : ` = ${range}`}`,
      high === undefined ? undefined : conversions(high, checked.units, low),
    ]),
  };
}

function instanceOf(checked: CheckedFile, reading: Reading): Instance | undefined {
  return checked.rebuild.characteristics
    .find((one) => one.name === reading.name)
    ?.instances.find((one) => one.item === reading.item);
}

const verdicts = {
  inside: 'inside the limit',
  'past-new': 'past the range for new parts, inside the wear limit',
  outside: 'past its limit',
};

/** The limit that a reading is judged against, where it stands, and a picture of both. */
function readingLines(
  checked: CheckedFile,
  reading: Reading,
  wishes: DescriptionWishes,
): readonly (string | undefined)[] {
  const instance = instanceOf(checked, reading);
  if (instance === undefined) return [];
  const judged = judgeReading(reading, instance.declaration, instance.fittedNew !== undefined);
  const history = instance.readings.find((one) => one.reading === reading)?.history;
  const lines: (string | undefined)[] = [];
  const limit = limitLines(instance.declaration);
  // The limit that holds now is that of the grade now fitted, which need not be the part that was read.
  const isOther = history !== undefined && instance.declaration.grade !== undefined;
  if (history !== undefined)
    lines.push(`History (${history})${isOther ? ': the limit is for what is fitted now' : ''}.`);
  if (isOther) return [...limit, ...lines];
  if (judged !== undefined) {
    const { verdict, used } = judged.judgement;
    const share =
      used === undefined || used <= 0 ? '' : `; ${Math.round(used * 100)} % of the wear allowance used`;
    lines.push(`This is ${verdicts[verdict]}${share}.`);
  }
  lines.push(
    show(pictureOfReading(reading, instance, wishes), wishes),
    ...limit,
    ...describeFits(reading.name, checked.rebuild.scope),
  );
  const tool = reading.entry.tool;
  const { low, high } = readingUncertainty(reading, instance);
  if (tool !== undefined && (low ?? high) === undefined && judged !== undefined)
    lines.push(`The uncertainty of ${tool.name} is not stated.`);
  return lines;
}

/** What the group asks of the torque, angle or drag that stands at a place of the line. */
function wantedOf(checked: CheckedFile, entry: Entry, inside: number): string | undefined {
  const declaration = entry.targets[0]?.declaration;
  if (declaration?.kind !== 'fastener') return undefined;
  const ref = declaration.ref === undefined ? '' : ` (ref ${escapeMarkdown(declaration.ref)})`;
  const wanted = (spread: Spread | undefined) =>
    spread === undefined ? undefined : `Wanted: ${formatSpread(spread)}${ref}`;
  switch (entry.statement.clauses.find((clause) => holds(clause, inside))?.name) {
    case 'angle':
      return wanted(declaration.angle);
    case 'drag':
      return wanted(declaration.drag);
    case 'to': {
      const group = checked.rebuild.fastenerGroups.find(({ name }) => name === declaration.name);
      const stage = group?.passes
        .flatMap(({ tightenings }) => tightenings)
        .find((one) => one.entry === entry)?.stage;
      const own = stage === undefined ? undefined : stagesBeforeFinal(declaration)[stage - 1];
      if (own === undefined || group === undefined) return wanted(declaration.torque);
      return `Stage ${stage} of ${group.stageCount}: ${formatQuantity(own)}${ref}`;
    }
    default:
      return undefined;
  }
}

/** What the wrench must read where that is not simply the torque. */
function wrenchLine(entry: Entry): string | undefined {
  const reads = wrenchMustRead(entry);
  return reads === undefined ? undefined : `The wrench must read ${formatQuantity(reads)}.`;
}

function nameHover(
  checked: CheckedFile,
  offset: number,
  wishes: DescriptionWishes,
  others: OtherLogs,
): Found {
  const found = nameAt(checked.file, offset);
  if (found === undefined) return undefined;
  const { name, block } = found;
  const { scope } = checked.rebuild;
  const at = name.start <= offset - block.start && offset - block.start <= name.end ? name : name.target;
  const say = (markdown: string | undefined): Found =>
    markdown === undefined ? undefined : { at, markdown };
  switch (name.space) {
    case 'tool': {
      const tool = scope.tools.get(name.text);
      return say(tool === undefined ? undefined : describeTool(checked, tool, wishes));
    }
    case 'person': {
      const person = scope.people.get(name.text);
      return say(person === undefined ? undefined : describePerson(person));
    }
    case 'sealant': {
      const sealant = scope.sealants.get(name.text);
      return say(sealant === undefined ? undefined : describeSealant(sealant));
    }
    case 'open-item': {
      const item = checked.rebuild.openItems.find((one) => one.name === name.text);
      if (item === undefined) return undefined;
      const text = escapeMarkdown(item.opened.statement.text?.text ?? '');
      return say(`**${name.text}** ${text}\n\n${item.closed === undefined ? 'Still open.' : 'Closed.'}`);
    }
    case 'machine': {
      const { machine } = scope;
      if (machine?.name !== name.text) return undefined;
      const hours = machine.hours === undefined ? '' : `\n\nAt the start ${formatQuantity(machine.hours)}.`;
      return say(`**${name.text}** serial ${escapeMarkdown(machine.serial ?? '?')}${hours}`);
    }
    case 'shared': {
      const declaration = scope.limits.get(name.text)?.[0] ?? scope.shared.get(name.text);
      if (declaration === undefined) return undefined;
      const target = entryAt(checked, block.start)?.targets.find((one) => one.name === name.text);
      const item = (target?.items.length === 1 ? target.items[0] : undefined) || undefined;
      const said = describeDeclared(checked, declaration, item, wishes);
      if (declaration.kind !== 'limit' || checked.rebuild.state === null) return say(said);
      return say(paragraphs([said, earlierReadings(checked, declaration.name, item, others())]));
    }
  }
}

/** A keyword of the statement or of one of its clauses. */
function wordHover(statement: StatementNode, inside: number): Found {
  if (holds(statement.keyword, inside)) {
    const markdown = describeStatement(statement.keyword.text);
    return markdown === undefined ? undefined : { at: statement.keyword, markdown };
  }
  const clause = statement.clauses.find((one) => holds(one.keyword, inside));
  const markdown = clause === undefined ? undefined : describeClause(statement.kind, clause.name);
  return clause === undefined || markdown === undefined ? undefined : { at: clause.keyword, markdown };
}
