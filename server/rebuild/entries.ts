/** What happened, line by line: each entry with its step, time, people and tool, and what it speaks of. */
import {
  appliedTo,
  type Block,
  clauseNode,
  clauseValue,
  hasClause,
  type NameNode,
  parseCell,
  type Span,
  type StatementKind,
  type StatementNode,
  type SyntaxFault,
  type TargetNode,
  torqueTo,
  type UnitNode,
  type ValueNode,
  type WhenNode,
} from '../../grammar/index.ts';
import {
  addMinutes,
  formatInstant,
  type Instant,
  isRefusal,
  minutesBetween,
  parseInstant,
} from '../calculations/index.ts';
import { kindOf, type Quantity, type QuantityKind, quantityOf } from '../quantities/index.ts';
import type { Declaration, LimitDeclaration, ToolDeclaration } from './declarations.ts';
import { type Location, locate } from './finding.ts';
import { expandPath, type ItemSpace, itemSpace, type Selection, selectItems, selectPlaces } from './items.ts';
import type { Scope } from './scope.ts';
import { cellsOf } from './tables.ts';

/** A point in time as the log gives it. */
export interface Moment {
  readonly date: string;
  /** HH:MM or HH:MM:SS; undefined when only the day is known. */
  readonly time: string | undefined;
  /** For reckoning, by `minutesBetween`; the start of the day when only the day is known. */
  readonly instant: Instant;
}

/** A name that nothing declares, or a member that its declaration does not have. */
export interface Unresolved {
  readonly at: Location;
  readonly text: string;
  readonly what: string;
  /** The names that could have been meant. */
  readonly candidates: readonly string[];
  /** The declaration whose members were searched. */
  readonly declaration?: Declaration;
}

export interface Step {
  readonly path: string;
  readonly block: Block;
  readonly statement: StatementNode;
  readonly text: string;
  readonly moment: Moment | undefined;
  readonly by: readonly NameNode[];
  readonly tool: ToolDeclaration | undefined;
  readonly toolName: NameNode | undefined;
  readonly temperature: Quantity | undefined;
  readonly unresolved: readonly Unresolved[];
}

/** One reading: of one member, at one place. */
export interface Reading {
  readonly entry: Entry;
  readonly name: string;
  readonly item: string;
  /** `section/direction`, or `''`. */
  readonly place: string;
  readonly at: Location;
  readonly node: ValueNode;
  /** Both ends of what was read: the same for one value, one absent for `<= X` and `>= X`. */
  readonly low: Quantity | undefined;
  readonly high: Quantity | undefined;
  readonly word: string | undefined;
  /** Not taken yet: `?` or an empty cell. */
  readonly placeholder: boolean;
  /** A bare number whose unit nothing gives. */
  readonly unitMissing: boolean;
  readonly qualifier: string | undefined;
}

/** A target of an entry with its declaration and the members that it names. */
export interface Resolved {
  readonly node: TargetNode;
  readonly name: string;
  readonly declaration: Declaration | undefined;
  readonly items: readonly string[];
  readonly ordered: Selection['ordered'];
  /** Of a concession for places (`bore[rear] @ top`): those places; not given when it is for all of the member. */
  readonly places?: readonly string[];
}

export interface Entry {
  readonly kind: StatementKind;
  readonly path: string;
  readonly block: Block;
  readonly statement: StatementNode;
  readonly step: Step | undefined;
  /** Position among the entries of the log; kept true by `bind`. */
  index: number;
  /** The time the entry itself gives. */
  readonly moment: Moment | undefined;
  /** Who did it: its own `by`, else the step's. */
  readonly by: readonly NameNode[];
  /** The tool it was done with: its own, else the step's where the kind of value fits. */
  readonly tool: ToolDeclaration | undefined;
  readonly temperature: Quantity | undefined;
  /** What it speaks of, in the order written; an `apply` may have several. */
  readonly targets: readonly Resolved[];
  readonly readings: readonly Reading[];
  /** The torque at the fastener. */
  readonly torque: Quantity | undefined;
  readonly angle: Quantity | undefined;
  readonly unresolved: readonly Unresolved[];
  /** Faults of its cells and headings. */
  readonly faults: readonly SyntaxFault[];
}

const EMPTY: readonly never[] = [];

/** The moment that a `when` states; a time alone is on the day of `on`, and on its clock. */
export function momentOf(node: WhenNode | undefined, on: Moment | undefined): Moment | undefined {
  if (node === undefined || node.placeholder) return undefined;
  const date = node.date ?? on?.date;
  if (date === undefined) return undefined;
  const { time } = node;
  const written = parseInstant(time === undefined ? date : `${date}T${time}${node.offset ?? ''}`);
  if (isRefusal(written)) return undefined;
  if (node.date !== undefined || on === undefined) return { date, time, instant: written };
  const offset = written.offset ?? on.instant.offset;
  const instant =
    written.offset === undefined && offset !== undefined
      ? { ...written, offset, minutes: written.minutes - offset }
      : written;
  // A time alone that is earlier than its step's is the next day, if the step began after noon.
  if (on.time === undefined || on.time < '12:00' || minutesBetween(on.instant, instant) >= 0)
    return { date, time, instant };
  const next = addMinutes(instant, 24 * 60);
  return { date: formatInstant(next)?.slice(0, 10) ?? date, time, instant: next };
}

/** Binds a `step` line. */
export function bindStep(path: string, block: Block, statement: StatementNode, scope: Scope): Step {
  const unresolved: Unresolved[] = [];
  const toolName = clauseValue(statement, 'with');
  const tool =
    toolName === undefined ? undefined : lookUp(path, block, toolName, scope.tools, 'tool', unresolved);
  const by = clauseValue(statement, 'by') ?? EMPTY;
  for (const person of by) lookUp(path, block, person, scope.people, 'person', unresolved);
  const temperature = clauseValue(statement, 'temp');
  return {
    path,
    block,
    statement,
    text: statement.text?.text ?? '',
    moment: momentOf(statement.when, undefined),
    by,
    tool,
    toolName,
    temperature: temperature === undefined ? undefined : quantityOf(temperature),
    unresolved: unresolved.length === 0 ? EMPTY : unresolved,
  };
}

function lookUp<D extends Declaration>(
  path: string,
  block: Block,
  name: NameNode,
  map: ReadonlyMap<string, D>,
  what: string,
  unresolved: Unresolved[],
): D | undefined {
  const found = map.get(name.text);
  if (found === undefined)
    unresolved.push({ at: locate(path, block, name), text: name.text, what, candidates: [...map.keys()] });
  return found;
}

/** What the kind of statement may speak of, and the word for it in a message. */
function candidatesFor(
  kind: StatementKind,
  scope: Scope,
): { maps: readonly ReadonlyMap<string, unknown>[]; what: string } {
  switch (kind) {
    case 'measure':
      return { maps: [scope.limits], what: 'limit' };
    case 'torque':
    case 'finger-tight':
    case 'loosen':
      return { maps: [scope.fasteners], what: 'fastener group' };
    case 'remove':
    case 'fit':
      return { maps: [scope.parts, scope.fasteners], what: 'part' };
    case 'accept':
      return {
        maps: [scope.limits, scope.fasteners, scope.parts, scope.inspections],
        what: 'limit, fastener group, part or inspection',
      };
    default:
      return { maps: [scope.shared], what: 'name' };
  }
}

/** The members of a declaration: a joint, stack, inspection or assembly is one thing. */
export function spaceOf(declaration: Declaration): ItemSpace {
  return 'space' in declaration ? declaration.space : ONE_THING;
}
const ONE_THING = itemSpace(['']);
const NO_PLACES = itemSpace([]);

/** The order that `[ordered]` stands for. */
function orderOf(declaration: Declaration): readonly string[] {
  return declaration.kind === 'fastener' && declaration.order !== undefined
    ? declaration.order
    : spaceOf(declaration).items;
}

function resolve(
  path: string,
  block: Block,
  kind: StatementKind,
  node: TargetNode,
  scope: Scope,
  unresolved: Unresolved[],
): Resolved {
  const name = node.name.text;
  const { maps, what } = candidatesFor(kind, scope);
  let declaration: Declaration | undefined;
  for (const map of maps) {
    const found = map.get(name);
    if (found !== undefined) {
      declaration = (Array.isArray(found) ? found[0] : found) as Declaration;
      break;
    }
  }
  if (declaration === undefined) {
    const other = scope.shared.get(name);
    const candidates = maps.flatMap((map) => [...map.keys()]);
    unresolved.push({
      at: locate(path, block, node.name),
      text: name,
      what,
      candidates,
      ...(other !== undefined ? { declaration: other } : {}),
    });
    return {
      node,
      name,
      declaration: undefined,
      items: node.items?.flatMap(expandPath) ?? [''],
      ordered: 'as-written',
    };
  }
  if (kind === 'apply' && (declaration.kind === 'limit' || declaration.kind === 'inspection'))
    unresolved.push({
      at: locate(path, block, node.name),
      text: name,
      what: 'part, joint or fastener group',
      candidates: EMPTY,
      declaration,
    });
  const space = declaration.kind === 'limit' ? limitSpace(scope, name) : spaceOf(declaration);
  const selection = selectItems(node, space, orderOf(declaration));
  for (const unknown of selection.unknown)
    unresolved.push({
      at: locate(path, block, unknown.span),
      text: unknown.text,
      what: 'member',
      candidates: space.items,
      declaration,
    });
  return { node, name, declaration, items: selection.items, ordered: selection.ordered };
}

interface LimitSpaces {
  readonly items: ItemSpace;
  readonly places: ItemSpace;
  /** Where cells were found to belong, by their headings. */
  readonly cells: Map<string, Spots | undefined>;
}

const limitSpaces = new WeakMap<readonly LimitDeclaration[], LimitSpaces>();

function limitSpacesOf(scope: Scope, name: string): LimitSpaces {
  const limits = scope.limits.get(name) ?? EMPTY;
  let spaces = limitSpaces.get(limits);
  if (spaces === undefined) {
    const first = limits[0];
    spaces =
      limits.length === 1 && first !== undefined
        ? { items: first.space, places: first.places, cells: new Map() }
        : {
            items: itemSpace([...new Set(limits.flatMap((limit) => limit.space.items))]),
            places: itemSpace([...new Set(limits.flatMap((limit) => limit.places.items))]),
            cells: new Map(),
          };
    limitSpaces.set(limits, spaces);
  }
  return spaces;
}

/** Members of all the lines that a limit's name has. */
export function limitSpace(scope: Scope, name: string): ItemSpace {
  return limitSpacesOf(scope, name).items;
}

/** Places of all the lines that a limit's name has. */
export function limitPlaces(scope: Scope, name: string): ItemSpace {
  return limitSpacesOf(scope, name).places;
}

/** Binds an entry (anything that stands in a step). */
export function bindEntry(
  path: string,
  block: Block,
  statement: StatementNode & { readonly kind: StatementKind },
  step: Step | undefined,
  scope: Scope,
): Entry {
  const unresolved: Unresolved[] = [];
  const faults: SyntaxFault[] = [];
  const kind = statement.kind;
  const own = clauseValue(statement, 'by');
  if (own !== undefined)
    for (const person of own) lookUp(path, block, person, scope.people, 'person', unresolved);
  const toolName = clauseValue(statement, 'with');
  const ownTool =
    toolName === undefined ? undefined : lookUp(path, block, toolName, scope.tools, 'tool', unresolved);

  const targets: Resolved[] =
    statement.target === undefined ? [] : [resolve(path, block, kind, statement.target, scope, unresolved)];
  if (kind === 'apply') {
    for (const node of appliedTo(statement))
      targets.push(resolve(path, block, kind, node, scope, unresolved));
    if (statement.name !== undefined) checkApplied(path, block, statement.name, targets, scope, unresolved);
  }
  if (kind === 'inspect' && statement.subject !== undefined && !statement.subject.quoted)
    lookUp(path, block, statement.subject, scope.inspections, 'inspection', unresolved);
  if ((kind === 'sign' || kind === 'release') && statement.name !== undefined)
    lookUp(path, block, statement.name, scope.people, 'person', unresolved);

  if (kind === 'accept' && targets[0] !== undefined)
    targets[0] = withPlaces(path, block, targets[0], scope, unresolved);

  if (kind === 'fit') checkGrade(path, block, statement, targets[0], scope, unresolved);

  const temperature = clauseValue(statement, 'temp');
  const to = torqueTo(statement);
  const torque = to === undefined ? undefined : quantityOf(to);
  const angleNode = kind === 'torque' ? clauseValue(statement, 'angle') : undefined;
  const angle = angleNode?.kind === 'exact' ? quantityOf(angleNode.value) : undefined;

  const entry = {
    kind,
    path,
    block,
    statement,
    step,
    index: 0,
    moment: momentOf(clauseValue(statement, 'at') ?? statement.when, step?.moment),
    by: own ?? step?.by ?? EMPTY,
    tool: ownTool,
    temperature: temperature === undefined ? step?.temperature : quantityOf(temperature),
    targets: targets.length === 0 ? EMPTY : targets,
    readings: EMPTY as readonly Reading[],
    torque,
    angle,
    unresolved: EMPTY as readonly Unresolved[],
    faults: EMPTY as readonly SyntaxFault[],
  };
  if (kind === 'measure') entry.readings = bindReadings(entry, targets[0], scope, unresolved, faults);
  if (ownTool === undefined && toolName === undefined && step?.tool !== undefined) {
    const wanted = (torque === undefined ? undefined : kindOf(torque.unit)) ?? firstUnitKind(entry.readings);
    if (wanted !== undefined && fitsKind(step.tool, wanted)) entry.tool = step.tool;
  }
  if (unresolved.length > 0) entry.unresolved = unresolved;
  if (faults.length > 0) entry.faults = faults;
  return entry;
}

function firstUnitKind(readings: readonly Reading[]): string | undefined {
  for (const reading of readings) {
    const quantity = reading.high ?? reading.low;
    if (quantity !== undefined) return kindOf(quantity.unit);
  }
  return undefined;
}

/** The kind of quantity that a tool deals in, by what its register states. */
export function toolKind(tool: ToolDeclaration): QuantityKind | undefined {
  const unit = (tool.range ?? tool.resolution ?? tool.uncertainty)?.unit;
  return unit === undefined ? undefined : kindOf(unit);
}

function fitsKind(tool: ToolDeclaration, kind: string): boolean {
  const own = toolKind(tool);
  return own === undefined || own === kind;
}

/** `apply` takes a sealant, the lock word of the fasteners it goes to, or `stripe`. */
function checkApplied(
  path: string,
  block: Block,
  name: NameNode,
  targets: readonly Resolved[],
  scope: Scope,
  unresolved: Unresolved[],
): void {
  if (name.text === 'stripe' || scope.sealants.has(name.text)) return;
  const groups = targets
    .map((target) => target.declaration)
    .filter((declaration) => declaration?.kind === 'fastener');
  const locks = groups.map(({ lock }) => lock).filter((lock) => lock !== undefined);
  if (locks.includes(name.text)) return;
  unresolved.push({
    at: locate(path, block, name),
    text: name.text,
    what: 'sealant or lock',
    candidates: [...scope.sealants.keys(), ...locks, 'stripe'],
    ...(groups[0] === undefined ? {} : { declaration: groups[0] }),
  });
}

/** What a concession is for, with its places where it names some. */
function withPlaces(
  path: string,
  block: Block,
  target: Resolved,
  scope: Scope,
  unresolved: Unresolved[],
): Resolved {
  const { declaration } = target;
  if (target.node.place === undefined || declaration?.kind !== 'limit') return target;
  const declared = limitPlaces(scope, target.name);
  const { places, unknown } = selectPlaces(target.node.place, declared);
  // What is worked out is of its member, and has no places.
  const worked = declaration.expression === undefined ? [] : places;
  const wrong = [...unknown, ...worked.map((text) => ({ span: target.node.place ?? target.node, text }))];
  reportPlaces(path, block, wrong, declared, target, unresolved);
  return { ...target, places };
}

const gradesByPart = new WeakMap<Scope, ReadonlyMap<string, readonly string[]>>();

/** The grades that limits hold for, by the part they are grades of. */
function gradesOf(scope: Scope, part: string): readonly string[] {
  let grades = gradesByPart.get(scope);
  if (grades === undefined) {
    const found = new Map<string, string[]>();
    for (const lines of scope.limits.values())
      for (const { grade } of lines) {
        if (grade === undefined) continue;
        const list = found.get(grade.part.name);
        if (list === undefined) found.set(grade.part.name, [grade.grade]);
        else if (!list.includes(grade.grade)) list.push(grade.grade);
      }
    grades = found;
    gradesByPart.set(scope, grades);
  }
  return grades.get(part) ?? EMPTY;
}

/** A grade that no limit is for would be judged by the limits without one. */
function checkGrade(
  path: string,
  block: Block,
  statement: StatementNode,
  target: Resolved | undefined,
  scope: Scope,
  unresolved: Unresolved[],
): void {
  const grade = clauseValue(statement, 'grade');
  if (grade === undefined || target?.declaration === undefined || /^(?:std|standard)$/i.test(grade.text))
    return;
  const candidates = gradesOf(scope, target.name);
  if (candidates.length === 0 || candidates.includes(grade.text)) return;
  unresolved.push({
    at: locate(path, block, grade),
    text: grade.text,
    what: 'grade',
    candidates,
    declaration: target.declaration,
  });
}

/** The readings of a `measure` line: its value for every member named, or the cells of its table. */
function bindReadings(
  entry: Omit<Entry, 'readings'>,
  target: Resolved | undefined,
  scope: Scope,
  unresolved: Unresolved[],
  faults: SyntaxFault[],
): readonly Reading[] {
  const { statement, path, block } = entry;
  if (target === undefined) return EMPTY;
  const isKnown = target.declaration?.kind === 'limit';
  const places = isKnown ? limitPlaces(scope, target.name) : ONE_THING;
  const inUnit = clauseValue(statement, 'in');
  const read = (item: string, place: string, at: Span, node: ValueNode) =>
    readingOf(
      entry as Entry,
      target.name,
      item,
      place,
      locate(path, block, at),
      node,
      inUnit?.unit,
      inUnit?.qualifier?.text,
    );

  const { value } = statement;
  const selected =
    value === undefined ? undefined : selectPlaces(target.node.place, isKnown ? places : NO_PLACES);
  if (selected !== undefined) reportPlaces(path, block, selected.unknown, places, target, unresolved);
  const readings =
    value === undefined || selected === undefined
      ? []
      : target.items.flatMap((item) => selected.places.map((place) => read(item, place, value, value)));
  if (statement.rows.length === 0) return readings;

  const spaces = isKnown ? limitSpacesOf(scope, target.name) : undefined;
  const bases = target.node.items === undefined ? [''] : target.node.items.flatMap(expandPath);
  const basePlaces = target.node.place === undefined ? [''] : expandPath(target.node.place);
  const isPlace = (path: string) => places.index.has(path) || places.below.has(path);
  const saidTwice =
    target.node.items === undefined
      ? undefined
      : statement.rows
          .flatMap((row, i) => (i === 0 ? row.cells : row.cells.slice(0, 1)))
          .find(({ text }) => text !== '' && bases.includes(text) && !isPlace(text));
  if (saidTwice !== undefined) {
    unresolved.push({
      at: locate(path, block, target.node),
      text: saidTwice.text,
      what: 'heading',
      candidates: target.node.place === undefined ? [target.name] : [],
    });
    return readings;
  }
  const told = new Set<Span>();
  const words = () =>
    new Set([...(spaces?.items.items ?? []), ...places.items].flatMap((one) => one.split('/')));
  let known: ReadonlySet<string> | undefined;
  const isHeading = (text: string) => {
    if (text === '') return false;
    known ??= words();
    return text.split('/').every((word) => known?.has(word));
  };
  for (const { cell, row, column } of cellsOf(statement.rows, isHeading, faults)) {
    const parsed = cell.text === '' ? undefined : parseCell(cell.text, cell.start);
    if (parsed !== undefined) faults.push(...parsed.faults);
    const node: ValueNode | undefined =
      cell.text === ''
        ? { kind: 'placeholder', start: cell.start, end: cell.end, equivalent: undefined }
        : parsed?.value;
    if (node === undefined) continue;
    for (const base of bases)
      for (const basePlace of basePlaces)
        for (const rowPath of row.paths)
          for (const columnPath of column.paths) {
            const spot = spotsOf(base, basePlace, rowPath, columnPath, spaces);
            if (spot !== undefined) {
              for (const [item, place] of spot) readings.push(read(item, place, cell, node));
              continue;
            }
            if (told.has(row.span)) continue;
            const inRow = headingsBeside(base, basePlace, columnPath, spaces);
            const inColumn = headingsBeside(base, basePlace, rowPath, spaces);
            const isRow = rowPath !== '' && (columnPath === '' || inRow.length > 0 || inColumn.length === 0);
            const { span } = isRow ? row : column;
            if (told.has(span)) continue;
            told.add(span);
            unresolved.push({
              at: locate(path, block, span),
              text: isRow ? rowPath : columnPath,
              what: places.items.length === 0 ? 'member' : 'place',
              candidates: isRow ? inRow : inColumn,
              ...(target.declaration !== undefined ? { declaration: target.declaration } : {}),
            });
          }
  }
  return readings;
}

const MOST_HEADINGS = 1000;

function join(a: string, b: string): string {
  return a === '' ? b : b === '' ? a : `${a}/${b}`;
}

type Spots = readonly (readonly [item: string, place: string])[];

/** `placeCell`, remembered: the tables of a log have the same headings over and over. */
function spotsOf(
  base: string,
  basePlace: string,
  row: string,
  column: string,
  spaces: LimitSpaces | undefined,
): Spots | undefined {
  if (spaces === undefined) return [[base, join(basePlace, join(row, column))]];
  const { items, places, cells } = spaces;
  const key = `${base}\n${basePlace}\n${row}\n${column}`;
  let spots = cells.get(key);
  if (spots === undefined && !cells.has(key)) {
    spots = placeCell(base, basePlace, row, column, items, places);
    if (cells.size < MOST_HEADINGS) cells.set(key, spots);
  }
  return spots;
}

/**
 * Where a cell's reading belongs. Headings, row then column, fill what the target leaves open: first the rest
 * of the item path, then the place. Column before row is taken when only that is declared.
 */
function placeCell(
  base: string,
  basePlace: string,
  row: string,
  column: string,
  space: ItemSpace,
  places: ItemSpace,
): Spots | undefined {
  for (const headings of [join(row, column), join(column, row)]) {
    const full = join(base, headings);
    const segments = full === '' ? [] : full.split('/');
    for (let length = segments.length; length >= 0; length--) {
      const item = segments.slice(0, length).join('/');
      const items = space.index.has(item) ? [item] : space.below.get(item);
      if (items === undefined) continue;
      const place = join(basePlace, segments.slice(length).join('/'));
      if (place === '' || places.items.length === 0 || places.index.has(place))
        return items.map((one) => [one, place]);
      const below = places.below.get(place);
      if (below !== undefined) return items.flatMap((one) => below.map((spot) => [one, spot] as const));
    }
  }
  return undefined;
}

/** The headings that have a reading's place beside another heading. */
function headingsBeside(
  base: string,
  basePlace: string,
  other: string,
  spaces: LimitSpaces | undefined,
): readonly string[] {
  const below = (path: string, above: string) =>
    above === ''
      ? path
      : path === above
        ? ''
        : path.startsWith(`${above}/`)
          ? path.slice(above.length + 1)
          : undefined;
  const found = new Set<string>();
  const rests = (all: readonly string[] = [''], above: string) =>
    (all.length === 0 ? [''] : all).map((path) => below(path, above)).filter((path) => path !== undefined);
  for (const item of rests(spaces?.items.items, base))
    for (const place of rests(spaces?.places.items, basePlace)) {
      const full = join(item, place);
      if (other === '') found.add(full);
      else if (full.endsWith(`/${other}`)) found.add(full.slice(0, -other.length - 1));
      else found.add(below(full, other) ?? '');
    }
  found.delete('');
  return [...found];
}

function reportPlaces(
  path: string,
  block: Block,
  unknown: Selection['unknown'],
  places: ItemSpace,
  target: Resolved,
  unresolved: Unresolved[],
): void {
  for (const { span, text } of unknown)
    unresolved.push({
      at: locate(path, block, span),
      text,
      what: 'place',
      candidates: places.items,
      ...(target.declaration !== undefined ? { declaration: target.declaration } : {}),
    });
}

function readingOf(
  entry: Entry,
  name: string,
  item: string,
  place: string,
  at: Location,
  node: ValueNode,
  inUnit: UnitNode | undefined,
  inQualifier: string | undefined,
): Reading {
  const unit = inUnit?.name;
  let low: Quantity | undefined;
  let high: Quantity | undefined;
  let unitMissing = false;
  let qualifier = inQualifier;
  switch (node.kind) {
    case 'exact':
      low = high = quantityOf(node.value, unit);
      unitMissing = node.value.number !== undefined && node.value.unit === undefined && unit === undefined;
      qualifier = node.value.qualifier?.text ?? qualifier;
      break;
    case 'range': {
      // A unit at either end serves both.
      low = quantityOf(node.low, node.high.unit?.name ?? unit);
      high = quantityOf(node.high, node.low.unit?.name ?? unit);
      unitMissing = node.low.unit === undefined && node.high.unit === undefined && unit === undefined;
      qualifier = (node.high.qualifier ?? node.low.qualifier)?.text ?? qualifier;
      break;
    }
    case 'at-most':
      high = quantityOf(node.value, unit);
      unitMissing = node.value.unit === undefined && unit === undefined;
      qualifier = node.value.qualifier?.text ?? qualifier;
      break;
    case 'at-least':
      low = quantityOf(node.value, unit);
      unitMissing = node.value.unit === undefined && unit === undefined;
      qualifier = node.value.qualifier?.text ?? qualifier;
      break;
    default:
      break;
  }
  const placeholder =
    node.kind === 'placeholder' || (node.kind === 'exact' && node.value.number === undefined);
  return {
    entry,
    name,
    item,
    place,
    at,
    node,
    low,
    high,
    word: node.kind === 'word' ? node.text : undefined,
    placeholder,
    unitMissing,
    qualifier,
  };
}

/** How a `measure` was taken: `found`, `left`, `corrected`, or neither. */
export function takenAs(entry: Entry): 'found' | 'left' | 'corrected' | undefined {
  const as = clauseValue(entry.statement, 'as')?.text;
  return as === 'found' || as === 'left' || as === 'corrected' ? as : undefined;
}

/** The part that went in with a `fit`: a new one, the old one after work on it, or the old one as it was. */
export function fitCondition(entry: Entry): 'new' | 'reused' | 'reworked' {
  const condition = clauseValue(entry.statement, 'condition')?.text;
  return condition === 'new' || condition === 'reworked' ? condition : 'reused';
}

/** Whether an inspector is among those who did it: only then does a concession count. */
export function isByInspector({ by }: Entry, people: Scope['people']): boolean {
  return by.some((person) => people.get(person.text)?.inspector === true);
}

/** Whether a removed part is not to go back. */
export function isScrapped(entry: Entry): boolean {
  return hasClause(entry.statement, 'scrap');
}

/** Where a line names what it speaks of: how long it ran, its target, or its sealant; the line where it names nothing. */
export function subjectAt({ path, block, statement }: Entry): Location {
  return locate(path, block, statement.quantity ?? statement.target ?? statement.name ?? statement);
}

/** Where the value of a clause stands, for a message. */
export function clauseAt(
  entry: Entry,
  name: 'with' | 'at' | 'to' | 'by' | 'condition',
): Location | undefined {
  const clause = clauseNode(entry.statement, name);
  return clause === undefined ? undefined : locate(entry.path, entry.block, clause);
}

/** Whether one entry came before another: by the times that both give, else by its line. */
export function isBefore(one: Entry, other: Entry): boolean {
  if (one.moment?.time !== undefined && other.moment?.time !== undefined) {
    const minutes = minutesBetween(one.moment.instant, other.moment.instant);
    if (minutes !== 0) return minutes > 0;
  }
  return one.index < other.index;
}

/** The last entry of the last step that has one, above the line that ends the step. */
export function lastInStep(entries: readonly Entry[]): Entry | undefined {
  return entries.findLast(({ step, kind }) => step !== undefined && kind !== 'sign' && kind !== 'release');
}
