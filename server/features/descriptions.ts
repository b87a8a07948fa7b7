/** What there is to say about a thing with a name, in Markdown: for a hover and beside a completion. */
import { statementSpec } from '../../grammar/index.ts';
import { formatQuantity, formatSpread } from '../quantities/index.ts';
import {
  type Characteristic,
  countTorqued,
  type Declaration,
  type FastenerGroup,
  type Instance,
  isLocked,
  type LimitDeclaration,
  listItems,
  namesIn,
  notTorqued,
  type PersonDeclaration,
  rangeForMissing,
  readingValue,
  type Scope,
  type SealantDeclaration,
  type ToolDeclaration,
  workedValue,
  writeMissingRange,
  writeTarget,
} from '../rebuild/index.ts';
import type { CheckedFile } from './checked.ts';
import { type Drawing, markdownImage, type Theme } from './drawings/index.ts';
import { describeFits } from './fit.ts';
import type { Subject } from './offer.ts';
import { pictureOfBore, pictureOfGroup, pictureOfInstance } from './pictures.ts';
import { preloadEstimate } from './preload-estimate.ts';

export interface DescriptionWishes {
  readonly theme: Theme;
  /** Pictures are shown; else their words stand. */
  readonly pictures: boolean;
  /** The day, `YYYY-MM-DD`: whether a calibration has run out. */
  readonly today: string;
}

/** A picture, or the words that stand for it. */
export function show(drawing: Drawing | undefined, { pictures }: DescriptionWishes): string | undefined {
  if (drawing === undefined) return undefined;
  return pictures ? markdownImage(drawing) : escapeMarkdown(drawing.text);
}

/** Text from a log that Markdown would take for its own signs. */
export function escapeMarkdown(text: string): string {
  return text.replace(/[\\`*_{}[\]<>()#+!|~]/g, '\\$&');
}

/** Lines as paragraphs of Markdown; those that say nothing are left out. */
export function paragraphs(lines: readonly (string | undefined)[]): string {
  return lines.filter((line) => line !== undefined && line !== '').join('\n\n');
}

const joined = (parts: readonly (string | undefined)[], by = ' · ') =>
  parts.filter((part) => part !== undefined && part !== '').join(by);

/** What a subject of a completion is; undefined when nothing is known of it. */
export function describe(
  checked: CheckedFile,
  subject: Subject,
  wishes: DescriptionWishes,
): string | undefined {
  const { scope } = checked.rebuild;
  switch (subject.kind) {
    case 'statement':
      return describeStatement(subject.name);
    case 'clause': {
      const [keyword = '', name = ''] = subject.name.split(' ');
      return describeClause(keyword, name);
    }
    case 'tool': {
      const tool = scope.tools.get(subject.name);
      return tool === undefined ? undefined : describeTool(checked, tool, wishes);
    }
    case 'person': {
      const person = scope.people.get(subject.name);
      return person === undefined ? undefined : describePerson(person);
    }
    case 'sealant': {
      const sealant = scope.sealants.get(subject.name);
      return sealant === undefined ? undefined : describeSealant(sealant);
    }
    case 'declared': {
      const declaration = scope.limits.get(subject.name)?.[0] ?? scope.shared.get(subject.name);
      return declaration === undefined
        ? undefined
        : describeDeclared(checked, declaration, undefined, wishes);
    }
  }
}

/** A statement word: what it does and its form. */
export function describeStatement(keyword: string): string | undefined {
  const spec = statementSpec(keyword);
  if (spec === undefined) return undefined;
  const fixed = spec.fixed.map(
    (part) => `- ${part.about}${part.optional === true ? ' (may be left out)' : ''}`,
  );
  const clauses = spec.clauses.map(
    (clause) => `- ${clause.words.map((word) => `\`${word}\``).join(' or ')}: ${clause.about}`,
  );
  return paragraphs([`\`${keyword}\`: ${spec.about}`, fixed.join('\n'), clauses.join('\n')]);
}

/** A clause word of a statement. */
export function describeClause(keyword: string, name: string): string | undefined {
  const clause = statementSpec(keyword)?.clauses.find((one) => one.name === name);
  if (clause === undefined) return undefined;
  const words = clause.words.map((word) => `\`${word}\``).join(', ');
  const choices =
    clause.choices === undefined ? '' : ` One of ${clause.choices.map((word) => `\`${word}\``).join(', ')}.`;
  return `${words}: ${clause.about}.${choices}`;
}

/** A tool: range, accuracy, calibration, and what this log used it for. */
export function describeTool(
  checked: CheckedFile,
  tool: ToolDeclaration,
  { today }: DescriptionWishes,
): string {
  const used = checked.rebuild.entries.filter((entry) => entry.tool === tool);
  const days = used
    .map((entry) => entry.moment?.date ?? entry.step?.moment?.date)
    .filter((day) => day !== undefined);
  const names = new Set(used.flatMap((entry) => entry.targets.map((target) => target.name)));
  const late = tool.due !== undefined && days.some((day) => tool.due !== undefined && day > tool.due);
  return paragraphs([
    `**${tool.name}** ${escapeMarkdown(tool.text)}`,
    joined([
      tool.range === undefined ? undefined : `range ${formatSpread(tool.range)}`,
      tool.accuracy === undefined ? undefined : `accuracy ${formatQuantity(tool.accuracy)}`,
      tool.resolution === undefined ? undefined : `resolution ${formatQuantity(tool.resolution)}`,
      tool.uncertainty === undefined
        ? undefined
        : `uncertainty U ${formatQuantity(tool.uncertainty)} (k = 2)`,
      tool.length === undefined ? undefined : `length ${formatQuantity(tool.length)}`,
      tool.material,
    ]),
    joined([
      tool.calibrated === undefined ? undefined : `calibrated ${tool.calibrated}`,
      tool.due === undefined ? undefined : `${tool.due < today ? '**ran out**' : 'due'} ${tool.due}`,
      late ? '**used after it ran out**' : undefined,
    ]),
    used.length === 0
      ? undefined
      : `Used here ${used.length === 1 ? 'once' : `${used.length} times`}: ${listItems([...names], 8)}.`,
  ]);
}

export function describePerson(person: PersonDeclaration): string {
  return paragraphs([
    `**${person.name}** ${escapeMarkdown(person.text)}`,
    joined([
      person.builder ? 'builder' : undefined,
      person.inspector ? 'inspector' : undefined,
      person.licence === undefined ? undefined : `licence ${escapeMarkdown(person.licence)}`,
    ]),
  ]);
}

export function describeSealant(sealant: SealantDeclaration): string {
  return paragraphs([
    `**${sealant.name}** ${escapeMarkdown(sealant.text)}`,
    joined([
      sealant.open === undefined ? undefined : `closed within ${formatQuantity(sealant.open)}`,
      sealant.cure === undefined ? undefined : `cures in ${formatQuantity(sealant.cure)}`,
      sealant.torqued === undefined ? undefined : `torqued ${sealant.torqued}`,
      sealant.due === undefined ? undefined : `use by ${sealant.due}`,
    ]),
  ]);
}

/** Anything of the shared name space; `item` picks one member. */
export function describeDeclared(
  checked: CheckedFile,
  declaration: Declaration,
  item: string | undefined,
  wishes: DescriptionWishes,
): string {
  const { rebuild } = checked;
  const ref = declaration.ref === undefined ? undefined : `ref ${escapeMarkdown(declaration.ref)}`;
  switch (declaration.kind) {
    case 'limit':
      return describeLimit(checked, declaration.name, item, wishes);
    case 'fastener': {
      const group = rebuild.fastenerGroups.find((one) => one.name === declaration.name);
      return group === undefined
        ? fastenerLines(declaration).join('\n\n')
        : describeGroup(group, rebuild.scope, wishes);
    }
    case 'part': {
      const history = rebuild.parts.find((one) => one.name === declaration.name);
      const states = { 'not-mentioned': undefined, in: 'fitted', out: 'out', scrapped: 'scrapped' } as const;
      const members = (history?.members ?? []).map((member) => {
        const state = states[member.state];
        const facts = joined([
          state,
          member.grade === undefined ? undefined : `grade ${escapeMarkdown(member.grade)}`,
          member.partNumber === undefined ? undefined : `pn ${escapeMarkdown(member.partNumber)}`,
          member.batch === undefined ? undefined : `batch ${escapeMarkdown(member.batch)}`,
          member.facing === undefined ? undefined : escapeMarkdown(member.facing),
        ]);
        return facts === '' ? undefined : `- ${member.item === '' ? '' : `${member.item}: `}${facts}`;
      });
      return paragraphs([
        `**${declaration.name}** ${escapeMarkdown(declaration.text ?? '')}`,
        joined([
          declaration.once ? 'used once' : undefined,
          declaration.facing ? 'way round recorded' : undefined,
          declaration.temporary ? 'comes out before release' : undefined,
          declaration.life.length === 0
            ? undefined
            : `life ${declaration.life.map(formatQuantity).join(' or ')}`,
        ]),
        members.filter((line) => line !== undefined).join('\n'),
      ]);
    }
    case 'joint': {
      const groups = rebuild.fastenerGroups.filter((group) => declaration.fasteners.includes(group.name));
      const sealed = rebuild.entries.findLast(
        (entry) => entry.kind === 'apply' && entry.targets.some((target) => target.name === declaration.name),
      );
      const when = sealed?.moment ?? sealed?.step?.moment;
      return paragraphs([
        `**${declaration.name}** joint`,
        declaration.sealant === undefined ? undefined : `sealant ${declaration.sealant}`,
        groups.map((group) => `- ${group.name}: ${groupProgress(group)}`).join('\n'),
        when === undefined
          ? undefined
          : `Sealed ${when.date}${when.time === undefined ? '' : ` ${when.time}`}.`,
      ]);
    }
    case 'inspection': {
      const done = rebuild.entries.filter(
        (entry) => entry.kind === 'inspect' && entry.statement.subject?.text === declaration.name,
      );
      const last = done.at(-1);
      const verdict = last?.statement.clauses.find((clause) => clause.name === 'verdict')?.value as
        | { readonly text: string }
        | undefined;
      return paragraphs([
        `**${declaration.name}** ${escapeMarkdown(declaration.text)}`,
        joined([
          declaration.needs === undefined ? undefined : `needs ${declaration.needs}`,
          declaration.before === undefined ? undefined : `before ${declaration.before.name}`,
          declaration.of === undefined ? undefined : `of ${declaration.of.name}`,
          ref,
        ]),
        last === undefined
          ? rebuild.kind === 'rebuild'
            ? 'Not recorded yet.'
            : undefined
          : `${verdict?.text ?? 'Recorded'}${last.by.length === 0 ? '' : ` by ${last.by.map((name) => name.text).join(', ')}`}.`,
      ]);
    }
    case 'stack':
      return paragraphs([
        `**${declaration.name}** stack`,
        declaration.members.map((member, i) => `${i + 1}. ${member.name}`).join('\n'),
      ]);
    case 'assembly':
      return `**${declaration.name}** ${escapeMarkdown(declaration.text ?? '')}`;
    default:
      return `**${declaration.name}**`;
  }
}

function groupProgress(group: FastenerGroup): string {
  const due = notTorqued(group);
  const { length } = group.members;
  return due.length === 0
    ? `${countTorqued(group)} of ${length} torqued`
    : `${countTorqued(group)} of ${length} torqued; ${due[0]?.item === '' ? 'it is' : listItems(due.map((member) => member.item))} still due`;
}

function fastenerLines(declaration: Extract<Declaration, { kind: 'fastener' }>): readonly string[] {
  const { torque, stages, angle, drag, lock, order, lubricant, retorque, ref } = declaration;
  return [
    joined(
      [
        `**${declaration.name}**`,
        declaration.thread,
        declaration.propertyClass === undefined ? undefined : `class ${declaration.propertyClass}`,
        lubricant,
      ],
      ' ',
    ),
    joined([
      torque === undefined ? undefined : `torque ${formatSpread(torque)}`,
      angle === undefined ? undefined : `angle ${formatSpread(angle)}`,
      drag === undefined ? undefined : `drag ${formatSpread(drag)}`,
      stages.length === 0 ? undefined : `stages ${stages.map(formatQuantity).join(', ')}`,
      lock === undefined ? undefined : `lock ${lock}`,
      retorque === undefined ? undefined : `retorque after ${formatQuantity(retorque)}`,
      declaration.once ? 'used once' : undefined,
      ref === undefined ? undefined : `ref ${escapeMarkdown(ref)}`,
    ]),
    order === undefined ? '' : `Order ${order.join(' ')}`,
  ].filter((line) => line !== '');
}

/** A group of fasteners: drawn, with what is done, what is left, and the preload that its torque may give. */
export function describeGroup(group: FastenerGroup, scope: Scope, wishes: DescriptionWishes): string {
  const { declaration, members } = group;
  const { lock } = declaration;
  const unlocked =
    lock === undefined
      ? []
      : members.filter((member) => member.done && !isLocked(member, scope.sealants.has(lock)));
  return paragraphs([
    ...fastenerLines(declaration),
    // The text that stands for the picture says which are done.
    show(pictureOfGroup(group, scope, wishes), wishes),
    wishes.pictures ? `${groupProgress(group)}.` : undefined,
    unlocked.length === 0 ? undefined : `Not locked: ${listItems(unlocked.map((member) => member.item))}.`,
    preloadEstimate(declaration),
  ]);
}

/** The lines of one limit. */
export function limitLines(declaration: LimitDeclaration): readonly string[] {
  const { limit, wear, words, ref, of, grade, conditions, block } = declaration;
  const when = conditions.map(({ start, end }) => block.text.slice(start, end)).join(', ');
  return [
    joined([
      limit === undefined ? undefined : `Limit for new parts: ${formatSpread(limit)}`,
      wear === undefined ? undefined : `wear limit: ${formatSpread(wear)}`,
      words === undefined ? undefined : `allowed: ${words.map(escapeMarkdown).join(', ')}`,
      when === '' ? undefined : `when ${escapeMarkdown(when)}`,
      grade === undefined ? undefined : `for ${grade.part.name} ${escapeMarkdown(grade.grade)}`,
      of === undefined ? undefined : `of ${of.name}`,
      ref === undefined ? undefined : `ref ${escapeMarkdown(ref)}`,
    ]),
  ].filter((line) => line !== '');
}

/** More members than this are summed up. */
const MOST_SHOWN = 4;

function describeLimit(
  checked: CheckedFile,
  name: string,
  item: string | undefined,
  wishes: DescriptionWishes,
): string {
  const { scope, characteristics } = checked.rebuild;
  const declarations = scope.limits.get(name) ?? [];
  const characteristic = characteristics.find((one) => one.name === name);
  const instances = characteristic?.instances.filter((one) => item === undefined || one.item === item) ?? [];
  const own = item === undefined ? declarations : instances.map((one) => one.declaration);
  const lines: (string | undefined)[] = [`**${writeTarget(name, item ?? '')}**`];
  for (const declaration of [...new Set(own)].slice(0, MOST_SHOWN)) lines.push(...limitLines(declaration));
  lines.push(...describeFits(name, scope));
  if (characteristic === undefined) return paragraphs(lines);
  const shown = instances.slice(0, MOST_SHOWN);
  for (const instance of shown) lines.push(...instanceLines(characteristic, instance, wishes));
  if (instances.length > shown.length) {
    const lacking = instances
      .filter((instance) => instance.missing.length > 0)
      .map((instance) => instance.item);
    lines.push(
      `${instances.length - shown.length} more members${lacking.length === 0 ? '' : `; no reading yet: ${listItems(lacking)}`}.`,
    );
  }
  return paragraphs(lines);
}

function instanceLines(
  characteristic: Characteristic,
  instance: Instance,
  wishes: DescriptionWishes,
): readonly (string | undefined)[] {
  const target = writeTarget(characteristic.name, instance.item);
  const lines: (string | undefined)[] = [];
  const picture =
    pictureOfBore(characteristic.name, instance, wishes) ??
    pictureOfInstance(characteristic, instance, wishes);
  const working = workingOf(instance, target);
  if (working !== undefined) lines.push(working);
  else if (picture === undefined) {
    const words = instance.standing.map((reading) => reading.word).filter((word) => word !== undefined);
    if (words.length > 0) lines.push(`${target}: ${words.map(escapeMarkdown).join(', ')}`);
  }
  lines.push(show(picture, wishes));
  if (instance.missing.length > 0)
    lines.push(
      instance.missing[0] === ''
        ? `${target} has no reading yet.`
        : `${target} lacks ${listItems(instance.missing)}.`,
    );
  const range = rangeForMissing(characteristic, instance);
  if (range !== undefined) lines.push(`${target} lacks one reading: ${writeMissingRange(range)}.`);
  return lines;
}

/** A derived limit's working with its numbers put in: `bore - piston-skirt = 67.541 mm - 67.435 mm = 0.106 mm`. */
export function workingOf(instance: Instance, target: string): string | undefined {
  const { declaration, worked } = instance;
  const { expression, block } = declaration;
  if (expression === undefined || worked === undefined) return undefined;
  const text = block.text.slice(expression.start, expression.end);
  let numbers = text;
  for (const node of [...namesIn(expression)].sort((a, b) => b.start - a.start)) {
    const values = worked.readings
      .filter((reading) => reading.name === node.name.text)
      .map((reading) => readingValue(reading)?.text)
      .filter((value) => value !== undefined);
    if (values.length === 0) continue;
    const shown = values.length > 6 ? [...values.slice(0, 5), '…'] : values;
    const put = values.length === 1 ? shown.join('') : `{${shown.join(', ')}}`;
    numbers =
      numbers.slice(0, node.start - expression.start) + put + numbers.slice(node.end - expression.start);
  }
  const value = workedValue(instance)?.text;
  const steps = [text, ...(numbers === text ? [] : [numbers]), ...(value === undefined ? [] : [value])];
  return `${target} = ${steps.map((step) => `\`${step.replaceAll('`', "'")}\``).join(' = ')}`;
}
