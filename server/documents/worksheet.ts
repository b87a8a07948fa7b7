/** What a blank log must hold for a machine: every reading, torque, inspection, part and joint, in working order. */
import { formatQuantity, formatSpread, type UnitSystem } from '../quantities/index.ts';
import {
  type Declaration,
  type FastenerDeclaration,
  fileName,
  type InspectionDeclaration,
  itemsMatch,
  type JointDeclaration,
  type LimitDeclaration,
  type PartDeclaration,
  type Pointer,
  type Scope,
  stagesBeforeFinal,
} from '../rebuild/index.ts';
import { spreadWithBeside } from './beside.ts';

/** One thing to do or to measure. `asked` is what the table of limits says, in words; `ref` the manual's own place. */
export type WorksheetLine =
  | {
      readonly kind: 'measure';
      readonly name: string;
      readonly items: readonly string[];
      /** Places on each member, `section/direction`; none for a member that is measured once. */
      readonly places: readonly string[];
      /** Undefined for words as values. */
      readonly unit: string | undefined;
      readonly qualifier: string | undefined;
      /** The units of the test's conditions. */
      readonly conditions: readonly string[];
      readonly asked: string;
      readonly ref: string | undefined;
    }
  | {
      readonly kind: 'worked-out';
      readonly name: string;
      readonly asked: string;
      readonly ref: string | undefined;
    }
  | {
      readonly kind: 'torque';
      readonly group: FastenerDeclaration;
      /** From 1; the last is the final one. */
      readonly stage: number;
      readonly stages: number;
      /** The unit that the table gives this stage in. */
      readonly unit: string | undefined;
      readonly asked: string;
      readonly ref: string | undefined;
    }
  | { readonly kind: 'inspect'; readonly inspection: InspectionDeclaration }
  | { readonly kind: 'remove' | 'fit'; readonly part: PartDeclaration; readonly items: readonly string[] }
  | { readonly kind: 'apply'; readonly what: string; readonly to: readonly string[]; readonly asked: string }
  | { readonly kind: 'finger-tight'; readonly group: FastenerDeclaration };

export interface WorksheetStep {
  readonly title: string;
  readonly lines: readonly WorksheetLine[];
}

export interface Worksheet {
  /** The title of the table of limits. */
  readonly title: string;
  /** The table's path, as the log names it. */
  readonly limits: string;
  /** A name for the machine, from the file's name. */
  readonly machine: string;
  readonly assemblies: readonly { readonly name: string; readonly title: string }[];
  readonly steps: readonly WorksheetStep[];
}

export interface WorksheetSource {
  /** The table of limits, as the log is to name it. */
  readonly path: string;
  readonly scope: Scope;
  /** The assemblies wanted; all when left out. */
  readonly covers?: readonly string[];
  /** What the table has in the other system of units is given in this one too. */
  readonly units?: UnitSystem | undefined;
}

/**
 * Plans a blank log from a table of limits: first what comes out, then for each assembly what is measured on the parts,
 * what goes in (with what must be inspected before it), joints (inspect, seal, run down, torque), the fasteners that
 * close no joint, and at last what can only be measured on the finished assembly. What the table wants done `before` a
 * joint or a part stands before it. Where the table does not say, the order is a guess; every line of the table comes
 * once all the same.
 */
export function planWorksheet(source: WorksheetSource): Worksheet {
  const { path, scope } = source;
  const own = scope.files.flatMap((file) => file.declarations);
  const names = [...new Set(own.map((declaration) => declaration.assembly))];
  const wanted =
    source.covers === undefined
      ? names
      : names.filter((name) => source.covers?.includes(name ?? '') === true);
  const titleOf = (name: string) => scope.assemblies.get(name)?.text ?? name;
  const planned = wanted.map((name) =>
    planAssembly(
      name === undefined ? '' : `${titleOf(name)}: `,
      own.filter((declaration) => declaration.assembly === name),
      scope,
      source.units,
    ),
  );
  // What goes on last comes off first.
  const steps = [...planned.map(({ strip }) => strip).reverse(), ...planned.flatMap(({ build }) => build)];
  const opening = scope.files[0]?.declarations.find((one) => one.kind === 'limits');
  return {
    title: (opening?.kind === 'limits' && opening.text) || fileName(path),
    limits: path,
    machine: machineName(path),
    assemblies: wanted.filter((name) => name !== undefined).map((name) => ({ name, title: titleOf(name) })),
    steps: steps.filter((step) => step.lines.length > 0),
  };
}

/** A name that the language accepts, from the table's file name. */
function machineName(path: string): string {
  const base = fileName(path).replace(/\.[^.]*$/, '');
  const name = base.replace(/[^\p{L}\p{M}0-9_-]+/gu, '-').replace(/^[^\p{L}]+|-+$/gu, '');
  return name === '' ? 'machine' : name;
}

function planAssembly(
  prefix: string,
  declarations: readonly Declaration[],
  scope: Scope,
  units: UnitSystem | undefined,
): { readonly strip: WorksheetStep; readonly build: readonly WorksheetStep[] } {
  const limits = plainLimits(declarations);
  const measured = limits.filter((limit) => limit.expression === undefined);
  const derived = limits.filter((limit) => limit.expression !== undefined);
  const parts = declarations.filter((one) => one.kind === 'part');
  const inspections = declarations.filter((one) => one.kind === 'inspection');
  const joints = declarations.filter((one) => one.kind === 'joint');
  const groups = declarations.filter((one) => one.kind === 'fastener');
  const lasting = parts.filter((part) => !part.temporary);
  const temporary = parts.filter((part) => part.temporary);

  const onParts = measured.filter((limit) => !needsAssembly(limit, scope));
  const measureLines = (some: readonly LimitDeclaration[]) =>
    some.map((limit) => measureLine(limit, declarations, units));
  const takeInspections = taker(inspections);
  const takeReadings = taker(measured.filter((limit) => needsAssembly(limit, scope)));
  const takeGroups = taker(
    groups.filter((group) => !joints.some((joint) => joint.fasteners.includes(group.name))),
  );
  const inspect = (belongs: (one: InspectionDeclaration) => boolean) =>
    takeInspections(belongs).map((inspection): WorksheetLine => ({ kind: 'inspect', inspection }));
  const torque = (belongs: (one: FastenerDeclaration) => boolean) =>
    takeGroups(belongs).flatMap((group) => torqueLines(group, scope, units));
  /** Readings of the assembled, those under conditions last, with the parts that are in for them alone. */
  const readings = (belongs: (one: LimitDeclaration) => boolean): readonly WorksheetLine[] => {
    const taken = takeReadings(belongs);
    const tests = taken.filter((limit) => limit.conditions.length > 0);
    return [
      ...measureLines(taken.filter((limit) => !tests.includes(limit))),
      ...(tests.length === 0 ? [] : partLines('fit', temporary)),
      ...measureLines(tests),
      ...(tests.length === 0 ? [] : partLines('remove', temporary)),
    ];
  };

  // A part that has to wait for what can only be done once a joint is closed goes in at the end.
  const waitsForJoint = ({ of }: Pick<LimitDeclaration, 'of'>) =>
    of !== undefined && scope.joints.has(of.name);
  const waiting = new Set(
    [
      ...measured.filter((limit) => needsAssembly(limit, scope)),
      ...groups,
      ...inspections.filter(waitsForJoint),
    ].map(({ before }) => before?.name),
  );
  const fitting = inStackOrder(lasting, scope);
  const late = fitting.filter(({ part }) => waiting.has(part.name));
  const ofLate = ({ of }: Pick<LimitDeclaration, 'of'>) => late.some(({ part }) => part.name === of?.name);

  const early = fitting.filter((one) => !late.includes(one));
  const strip: WorksheetStep = {
    title: `${prefix}strip`,
    lines: [...early, ...late].reverse().map(toRemove),
  };
  const steps: WorksheetStep[] = [
    {
      title: `${prefix}measure`,
      lines: [...measureLines(onParts), ...derived.map((limit) => workedOutLine(limit, units))],
    },
    {
      title: `${prefix}fit the parts`,
      lines: early.flatMap((one) => [...inspect(({ before }) => before?.name === one.part.name), toFit(one)]),
    },
  ];
  for (const joint of inWorkingOrder(joints, [...measured, ...groups, ...inspections])) {
    const closing = groups.filter((group) => joint.fasteners.includes(group.name));
    const first = (one: { readonly before: Pointer | undefined }) => one.before?.name === joint.name;
    const closed = [
      ...torque(first),
      ...readings(first),
      ...inspect(first),
      ...sealing(joint, scope),
      ...closing.map((group): WorksheetLine => ({ kind: 'finger-tight', group })),
    ];
    const torqued = closing.flatMap((group) => torqueLines(group, scope, units));
    // A sealant that is torqued wet leaves no time between the two.
    if (joint.sealant !== undefined && scope.sealants.get(joint.sealant)?.torqued === 'wet')
      steps.push({ title: `${prefix}close and torque ${joint.name}`, lines: [...closed, ...torqued] });
    else
      steps.push(
        { title: `${prefix}close ${joint.name}`, lines: closed },
        { title: `${prefix}torque ${joint.name}`, lines: torqued },
      );
  }
  steps.push({ title: `${prefix}torque`, lines: torque(() => true) });
  const wholeReadings = readings((limit) => !ofLate(limit));
  const tested = steps.some(({ lines }) => lines.some(isTest)) || wholeReadings.some(isTest);
  steps.push({
    title: `${prefix}measure and inspect the whole`,
    lines: [
      ...wholeReadings,
      ...(tested ? [] : [...partLines('fit', temporary), ...partLines('remove', temporary)]),
      ...inspect((one) => !ofLate(one)),
      ...late.map(toFit),
      ...readings(() => true),
      ...inspect(() => true),
    ],
  });
  return { strip, build: steps };
}

const isTest = (line: WorksheetLine) => line.kind === 'measure' && line.conditions.length > 0;

const partLines = (kind: 'fit' | 'remove', parts: readonly PartDeclaration[]): readonly WorksheetLine[] =>
  parts.map((part) => ({ kind, part, items: part.space.items }));

/** Hands out those of a list that a line asks for, each once. */
function taker<One>(all: readonly One[]): (belongs: (one: One) => boolean) => readonly One[] {
  let left = all;
  return (belongs) => {
    const taken = left.filter(belongs);
    left = left.filter((one) => !taken.includes(one));
    return taken;
  };
}

/** The joints as declared, but that one waits for another on which something has to be done before it is closed. */
function inWorkingOrder(
  joints: readonly JointDeclaration[],
  wanted: readonly (LimitDeclaration | FastenerDeclaration | InspectionDeclaration)[],
): readonly JointDeclaration[] {
  const order = new Set<JointDeclaration>();
  const under = new Set<JointDeclaration>();
  const place = (joint: JointDeclaration) => {
    if (under.has(joint)) return;
    under.add(joint);
    const first = wanted.filter((one) => one.before?.name === joint.name);
    for (const other of joints)
      if (first.some((one) => one.of?.name === other.name || other.fasteners.includes(one.name)))
        place(other);
    order.add(joint);
  };
  for (const joint of joints) place(joint);
  return [...order];
}

/** One line of each limit's name: the one without a grade, if there is one. */
function plainLimits(declarations: readonly Declaration[]): readonly LimitDeclaration[] {
  const limits = declarations.filter((one) => one.kind === 'limit');
  return limits.filter(
    (limit) =>
      limit.grade === undefined ||
      !limits.some((other) => other.name === limit.name && other.grade === undefined),
  );
}

/**
 * What can only be measured once things are together: a test under conditions, a reading with a qualifier (TIR, BTDC),
 * and what is of a joint, of fasteners or of a part that is used once, such as a gasket, unless it must be known before
 * something else.
 */
function needsAssembly(limit: LimitDeclaration, scope: Scope): boolean {
  const of = limit.of?.name;
  if (limit.conditions.length > 0 || limit.qualifier !== undefined) return true;
  if (of === undefined) return false;
  return (
    scope.joints.has(of) ||
    scope.fasteners.has(of) ||
    (scope.parts.get(of)?.once === true && limit.before === undefined)
  );
}

/** A part and the members of it that go in together. */
interface Fitting {
  readonly part: PartDeclaration;
  readonly items: readonly string[];
}

const toFit = (one: Fitting): WorksheetLine => ({ kind: 'fit', ...one });
const toRemove = (one: Fitting): WorksheetLine => ({ kind: 'remove', ...one });

/** Parts as declared; the members of a stack follow one another in its order, where the first of them stands. */
function inStackOrder(parts: readonly PartDeclaration[], scope: Scope): readonly Fitting[] {
  const order: Fitting[] = [];
  const add = (part: PartDeclaration, wanted: readonly string[] | undefined) => {
    const items = part.space.items.filter(
      (item) =>
        (wanted === undefined || wanted.some((one) => itemsMatch(one, item))) &&
        !order.some((one) => one.part === part && one.items.includes(item)),
    );
    if (items.length > 0) order.push({ part, items });
  };
  for (const part of parts) {
    const stack = [...scope.stacks.values()].find((one) => holds(one.members, part));
    for (const member of stack?.members ?? []) {
      const found = parts.find((one) => one.name === member.name);
      if (found !== undefined) add(found, member.items);
    }
    add(part, undefined);
  }
  return order;
}

function holds(members: readonly Pointer[], part: PartDeclaration): boolean {
  return members.some(
    (member) =>
      member.name === part.name &&
      (member.items === undefined ||
        part.space.items.some((item) => member.items?.some((one) => itemsMatch(one, item)))),
  );
}

function measureLine(
  limit: LimitDeclaration,
  declarations: readonly Declaration[],
  units: UnitSystem | undefined,
): WorksheetLine {
  const grades = declarations.filter(
    (one): one is LimitDeclaration => one.kind === 'limit' && one.name === limit.name && one !== limit,
  );
  const others = grades.map(
    (one) =>
      `${one.grade === undefined ? one.space.items.join(' ') : one.grade.grade}: ${limitText(one, units)}`,
  );
  const spread = limit.limit ?? limit.wear;
  return {
    kind: 'measure',
    name: limit.name,
    items: limit.space.items,
    places: limit.places.items,
    unit: spread?.unit,
    qualifier: limit.qualifier,
    conditions: limit.conditions.map((node) => conditionUnit(node)),
    asked: [limitText(limit, units), ...others].join('; '),
    ref: limit.ref,
  };
}

/** The unit that a condition is written in, and its qualifier. */
function conditionUnit(node: LimitDeclaration['conditions'][number]): string {
  switch (node.kind) {
    case 'exact':
    case 'at-most':
    case 'at-least':
      return node.value.unit?.name ?? '';
    case 'range':
      return (node.high.unit ?? node.low.unit)?.name ?? '';
    case 'plus-minus':
      return (node.tolerance.unit ?? node.nominal.unit)?.name ?? '';
    case 'deviations':
      return (node.unit ?? node.nominal.unit)?.name ?? '';
    case 'iso-class':
      return node.nominal.unit?.name ?? '';
    default:
      return '';
  }
}

function workedOutLine(limit: LimitDeclaration, units: UnitSystem | undefined): WorksheetLine {
  return { kind: 'worked-out', name: limit.name, asked: limitText(limit, units), ref: limit.ref };
}

/** `new 67.500..67.520 mm, wear <= 67.560 mm`. */
function limitText(limit: LimitDeclaration, units: UnitSystem | undefined): string {
  const words: string[] = [];
  if (limit.limit !== undefined)
    words.push(`${limit.wear === undefined ? '' : 'new '}${spreadWithBeside(limit.limit, units)}`);
  if (limit.words !== undefined) words.push(limit.words.map((word) => `"${word}"`).join(' or '));
  if (limit.wear !== undefined) words.push(`wear ${spreadWithBeside(limit.wear, units)}`);
  return words.join(', ');
}

function sealing(joint: JointDeclaration, scope: Scope): readonly WorksheetLine[] {
  if (joint.sealant === undefined) return [];
  const sealant = scope.sealants.get(joint.sealant);
  const facts = [
    sealant?.open === undefined ? undefined : `close within ${formatQuantity(sealant.open)}`,
    sealant?.cure === undefined ? undefined : `cures in ${formatQuantity(sealant.cure)}`,
    sealant?.torqued === undefined ? undefined : `torque ${sealant.torqued}`,
  ];
  return [
    {
      kind: 'apply',
      what: joint.sealant,
      to: [joint.name],
      asked: facts.filter((fact) => fact !== undefined).join(', '),
    },
  ];
}

/** Locks that are put on a fastener once it is torqued, by their names, where no register says what is a sealant. */
const LOCKS_AFTER = /cotter|wire|tab|pin|nyloc|clip|washer|plate|stak/;

function torqueLines(
  group: FastenerDeclaration,
  scope: Scope,
  units: UnitSystem | undefined,
): readonly WorksheetLine[] {
  const before = stagesBeforeFinal(group);
  const stages = before.length + 1;
  const final = [
    group.torque === undefined ? undefined : spreadWithBeside(group.torque, units),
    group.angle === undefined ? undefined : `then ${formatSpread(group.angle)}`,
    group.drag === undefined ? undefined : `drag ${formatSpread(group.drag)}`,
    group.lubricant,
    group.retorque === undefined ? undefined : `again after ${formatQuantity(group.retorque)}`,
  ];
  const asked = [...before.map(formatQuantity), final.filter((fact) => fact !== undefined).join(', ')];
  const lines: WorksheetLine[] = asked.map((text, i) => ({
    kind: 'torque',
    group,
    stage: i + 1,
    stages,
    unit: before[i]?.unit ?? group.torque?.unit,
    asked: text,
    ref: group.ref,
  }));
  if (group.lock === undefined) return lines;
  const lock: WorksheetLine = { kind: 'apply', what: group.lock, to: [group.name], asked: '' };
  // A sealant goes on the thread before the torque.
  const isSealant =
    scope.sealants.has(group.lock) || (scope.sealants.size === 0 && !LOCKS_AFTER.test(group.lock));
  return isSealant ? [lock, ...lines] : [...lines, lock];
}
