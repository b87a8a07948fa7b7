/** A blank log as text: `?` where a value goes; what is done without one is a comment until it is done. */
import { format, parse } from '../../grammar/index.ts';
import { unwritten } from '../quantities/index.ts';
import { targetOfMembers, writeTarget } from '../rebuild/index.ts';
import { gridOf } from './grid.ts';
import { planWorksheet, type Worksheet, type WorksheetLine, type WorksheetSource } from './worksheet.ts';

/** What a new log is to say besides the table of limits. */
export interface WorksheetOptions {
  /** More files to use, such as the workshop's register. */
  readonly uses?: readonly string[];
  /** The machine, where an earlier log of it is among them. */
  readonly machine?: { readonly name: string; readonly serial: string } | undefined;
}

/**
 * A blank log in the canonical layout. Nothing in it claims that anything was done: readings, torques and inspections
 * wait for their value, and lines that have none (`fit`, `apply`, `finger-tight`, `remove`) are comments.
 */
export function worksheetText(source: WorksheetSource, options: WorksheetOptions = {}): string {
  const plan = planWorksheet(source);
  const { name = plan.machine, serial } = options.machine ?? {};
  const lines = [
    `log ${quoted(`${plan.title}: ?`)}`,
    `use ${quoted(plan.limits)}`,
    ...(options.uses ?? []).map((file) => `use ${quoted(file)}`),
    `machine ${name} serial ${serial === undefined ? '?' : quoted(serial)} hours ? h`,
    ...(plan.assemblies.length === 0 ? [] : [`covers ${plan.assemblies.map(({ name }) => name).join(' ')}`]),
    '# Write over each ? as it is measured, torqued or seen. What needs no number stands behind a # until it is',
    '# done: take the # away then. A step may say by whom and with what: step "…" DATE TIME by NAME with TOOL.',
    '# A reading taken before any work ends in: as found',
    ...stepsOf(plan),
    '',
    '# run ? min "idle and warm-up"',
    '# At the end: sign NAME "what was done" DATE TIME, and an inspector\'s: release NAME "…" DATE TIME hours … h',
  ];
  return format(parse(`${lines.join('\n')}\n`));
}

function stepsOf(plan: Worksheet): readonly string[] {
  return plan.steps.flatMap(({ title, lines }) => [
    '',
    `step ${quoted(title)} ?`,
    ...lines.flatMap((line) => linesOf(line).map((text) => `  ${text}`)),
  ]);
}

function linesOf(line: WorksheetLine): readonly string[] {
  switch (line.kind) {
    case 'measure':
      return measureLines(line);
    case 'worked-out':
      return [`# Worked out: ${line.name} ${line.asked}${refText(line.ref)}`];
    case 'torque': {
      const { group, stage, stages } = line;
      const target = writeTarget(
        group.name,
        group.space.items.length === 1 ? '' : (group.order ?? ['all']).join(' '),
      );
      const isFinal = stage === stages;
      return [
        [
          'torque',
          target,
          `to ? ${line.unit ?? ''}`.trim(),
          isFinal && group.angle !== undefined ? `angle ? ${group.angle.unit}` : '',
          stages > 1 ? `stage ${stage}` : '',
          isFinal && group.drag !== undefined ? `drag ? ${group.drag.unit}` : '',
          line.asked === '' ? '' : `# ${line.asked}${refText(line.ref)}`,
        ]
          .filter((word) => word !== '')
          .join(' '),
      ];
    }
    case 'inspect': {
      const { inspection } = line;
      const who = inspection.needs === 'inspector' ? ', by an inspector' : '';
      return [`inspect ${inspection.name} ? # ${inspection.text}${who}${refText(inspection.ref)}`];
    }
    case 'remove':
      return [`# remove ${partTarget(line)}${line.part.once ? ' scrap' : ''}`];
    case 'fit': {
      const { part } = line;
      const words = [
        part.once ? 'new pn ? batch ?' : part.temporary ? '' : 'reused',
        part.facing ? 'facing ?' : '',
      ];
      return [`# fit ${[partTarget(line), ...words].filter((word) => word !== '').join(' ')}`];
    }
    case 'apply':
      return [
        `# apply ${line.what} to ${line.to.join(' ')} at ?${line.asked === '' ? '' : ` # ${line.asked}`}`,
      ];
    case 'finger-tight':
      return [`# finger-tight ${allOf(line.group.name, line.group.space.items)} at ?`];
  }
}

function measureLines(line: Extract<WorksheetLine, { kind: 'measure' }>): readonly string[] {
  const { name, items, places, unit, qualifier, conditions } = line;
  const asked = `# ${line.asked}${refText(line.ref)}`;
  // The `:1` of a mixture is part of its number, and stands in every cell.
  const inUnit = unwritten(unit) === '?' ? '' : ` in ${[unit, qualifier].filter(Boolean).join(' ')}`;
  const when = conditions.length === 0 ? '' : ` when ${conditions.map(unwritten).join(', ')}`;
  if (places.length > 0)
    return items.flatMap((item) => [
      `measure ${writeTarget(name, item)}${inUnit}${when} ${asked}`,
      ...tableRows(places),
    ]);
  if (items.length > 3 || (items.length > 1 && gridOf(items).columns.length > 1))
    return [`measure ${name}${inUnit}${when} ${asked}`, ...tableRows(items)];
  const value = [unwritten(unit), qualifier].filter(Boolean).join(' ');
  return items.map((item) => `measure ${writeTarget(name, item)} = ${value}${when} ${asked}`);
}

/** The rows of a table with a `?` in each cell; a path of one segment needs no column heading. */
function tableRows(paths: readonly string[]): readonly string[] {
  const { rows, columns } = gridOf(paths);
  const heading = columns.length > 1 || columns[0] !== '' ? [`| | ${columns.join(' | ')} |`] : [];
  return [...heading, ...rows.map((row) => `| ${row} | ${columns.map(() => '?').join(' | ')} |`)];
}

function allOf(name: string, items: readonly string[]): string {
  return items.length === 1 ? writeTarget(name, items[0] ?? '') : `${name}[all]`;
}

function partTarget({ part, items }: Extract<WorksheetLine, { kind: 'remove' | 'fit' }>): string {
  return items.length === part.space.items.length
    ? allOf(part.name, items)
    : targetOfMembers(part.name, items);
}

function refText(ref: string | undefined): string {
  return ref === undefined ? '' : ` (ref ${ref})`;
}

/** A string of the language. */
function quoted(text: string): string {
  return `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
}
