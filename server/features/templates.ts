/** Whole lines to fill in: a group of fasteners in its order and stages, a table with the places that a limit asks for. */
import { convert, formatQuantity, formatSpread, type Spread, unwritten } from '../quantities/index.ts';
import {
  type FastenerDeclaration,
  type FastenerGroup,
  listItems,
  notTorqued,
  stagesBeforeFinal,
  type ToolDeclaration,
} from '../rebuild/index.ts';
import { plain, slot } from './offer.ts';

/** A spread's value to aim at: what stands before `±`, a bare value, else the middle of a range. */
export function aimOf(spread: Spread): string | undefined {
  if (spread.bare !== undefined) return formatQuantity(spread.bare);
  const { lower, upper, nominal, decimals, unit } = spread;
  const value =
    nominal?.value ??
    (lower !== undefined && upper !== undefined ? (lower.value + upper.value) / 2 : (upper ?? lower)?.value);
  if (value === undefined) return undefined;
  const text = value.toFixed(Math.max(0, decimals));
  // 24.0 ± 2 was written 24: no digits that the manual does not give.
  const plainText =
    Number(text) === Math.round(value) && nominal === undefined ? String(Math.round(value)) : text;
  return `${plainText} ${unit}`;
}

/** The brackets for some members of a group: those left over by name, else the order asked for, else all. */
function brackets(declaration: FastenerDeclaration, items: readonly string[]): string {
  const { space, order } = declaration;
  if (space.items.length === 1 && space.items[0] === '') return '';
  if (items.length === space.items.length) return order === undefined ? '[all]' : '[ordered]';
  const turn = new Map((order ?? space.items).map((item, i) => [item, i]));
  return `[${[...items].sort((a, b) => (turn.get(a) ?? 0) - (turn.get(b) ?? 0)).join(' ')}]`;
}

/** Whether a tool can set the torques of a group. */
export function reaches(tool: ToolDeclaration | undefined, spread: Spread | undefined): boolean {
  const range = tool?.range;
  if (range === undefined || spread === undefined) return false;
  const aim = spread.nominal?.value ?? spread.upper?.value ?? spread.lower?.value;
  const value = aim === undefined ? undefined : convert(aim, spread.unit, range.unit);
  return (
    value !== undefined &&
    value >= (range.lower?.value ?? Number.NEGATIVE_INFINITY) &&
    value <= (range.upper?.value ?? Number.POSITIVE_INFINITY)
  );
}

export interface Template {
  readonly label: string;
  readonly detail: string;
  /** A snippet. */
  readonly lines: readonly string[];
}

/**
 * The lines that torque what is left of a group: one a stage, then its lock. `tool` is named where the step's own
 * does not reach. Undefined when nothing is left or its torque is not known.
 */
export function torqueTemplate(
  group: FastenerGroup,
  stepTool: ToolDeclaration | undefined,
  tool: ToolDeclaration | undefined,
): Template | undefined {
  const { declaration } = group;
  const due = notTorqued(group).map((member) => member.item);
  const aim = declaration.torque === undefined ? undefined : aimOf(declaration.torque);
  if (due.length === 0 || aim === undefined) return undefined;
  const target = plain(`${group.name}${brackets(declaration, due)}`);
  const drag = declaration.drag === undefined ? '' : ` drag ${slot(1, '?')} ${plain(declaration.drag.unit)}`;
  const angle =
    declaration.angle === undefined
      ? ''
      : ` angle ${plain(aimOf(declaration.angle) ?? `? ${declaration.angle.unit}`)}`;
  const withTool =
    reaches(stepTool, declaration.torque) || tool === undefined ? '' : ` with ${plain(tool.name)}`;
  const reached = Math.min(
    ...group.members
      .filter((member) => !member.done)
      .map((member) => Math.max(0, ...member.tightenings.map((one) => one.stage ?? 0))),
  );
  const lines = stagesBeforeFinal(declaration)
    .slice(reached)
    .map((stage) => `torque ${target} to ${plain(formatQuantity(stage))}${withTool}`);
  lines.push(`torque ${target} to ${plain(aim)}${drag}${angle}${withTool}`);
  if (declaration.lock !== undefined) lines.push(`apply ${declaration.lock} to ${target}`);
  const stages = lines.length - (declaration.lock === undefined ? 0 : 1);
  return {
    label: `torque ${group.name}: ${due.length === group.members.length ? 'the whole group' : `the ${due.length} left`}`,
    detail: [
      due.length === group.members.length
        ? `${due.length} ${due.length === 1 ? 'fastener' : 'fasteners'}`
        : listItems(due),
      stages > 1
        ? `${stages} stages to ${formatSpread(declaration.torque as Spread)}`
        : `to ${formatSpread(declaration.torque as Spread)}`,
      declaration.order === undefined ? 'any order' : 'in its order',
      declaration.ref === undefined ? undefined : `ref ${declaration.ref}`,
    ]
      .filter((part) => part !== undefined)
      .join(' · '),
    lines,
  };
}

/** Rows and columns that hold the paths: `top/thrust` in row `top`, column `thrust`; a single word has a row alone. */
function grid(paths: readonly string[]): { rows: string[]; columns: string[]; has: ReadonlySet<string> } {
  const rows = new Set<string>();
  const columns = new Set<string>();
  for (const path of paths) {
    const slash = path.lastIndexOf('/');
    rows.add(slash < 0 ? path : path.slice(0, slash));
    columns.add(slash < 0 ? '' : path.slice(slash + 1));
  }
  return { rows: [...rows], columns: [...columns], has: new Set(paths) };
}

/**
 * A `measure … in UNIT` line with a table of the paths (places of one member, or members), `?` in each cell still to
 * be read. `first` is the number of the first place to fill.
 */
export function tableLines(
  target: string,
  paths: readonly string[],
  unit: string,
  first = 1,
): readonly string[] {
  const { rows, columns, has } = grid(paths);
  let place = first;
  const body = rows.map((row) => [
    row,
    ...columns.map((column) => (has.has(column === '' ? row : `${row}/${column}`) ? slot(place++, '?') : '')),
  ]);
  const heads = columns.length === 1 && columns[0] === '' ? [] : [['', ...columns]];
  const table = [...heads, ...body];
  const width = (column: number) => Math.max(...table.map((row) => shown(row[column] ?? '')));
  const shown = (cell: string) => (cell.startsWith('${') ? 1 : cell.length);
  const written = table.map(
    (row) => `  | ${row.map((cell, i) => cell + ' '.repeat(width(i) - shown(cell))).join(' | ')} |`,
  );
  const inUnit = unwritten(unit) === '?' ? '' : ` in ${plain(unit)}`;
  return [`measure ${plain(target)}${inUnit}`, ...written];
}
