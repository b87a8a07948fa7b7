/** What a file declares: limits, fasteners, parts, people, tools …, with their values worked out once. */
import {
  type Block,
  clauseValue,
  type ExpressionNode,
  hasClause,
  type NameNode,
  type QuantityNode,
  type Span,
  type SpreadNode,
  type StatementNode,
  statements,
  type TargetNode,
} from '../../grammar/index.ts';
import { isoLimits } from '../calculations/index.ts';
import {
  bareTorqueTolerance,
  isSpread,
  type Quantity,
  quantityOf,
  type Spread,
  type SpreadOptions,
  type SpreadRefusal,
  sameKind,
  spreadOf,
} from '../quantities/index.ts';
import { type Location, locate } from './finding.ts';
import { declaredItems, declaredPlaces, expandPath, type ItemSpace, itemSpace } from './items.ts';
import { type Layout, type TighteningOrder, tighteningOrder } from './tightening-order.ts';

/** A spread that cannot be made of what was written, and why. */
export interface Refusal {
  readonly span: Span;
  readonly refusal: SpreadRefusal;
}

interface DeclarationBase {
  readonly name: string;
  readonly path: string;
  readonly block: Block;
  readonly statement: StatementNode;
  /** Where its name stands. */
  readonly at: Location;
  /** The assembly it is grouped under. */
  readonly assembly: string | undefined;
  readonly ref: string | undefined;
  readonly refusals: readonly Refusal[];
}

/** A target named by a declaration: what a reading is `of`, or must come `before`. */
export interface Pointer {
  readonly name: string;
  readonly node: TargetNode;
  readonly items: readonly string[] | undefined;
  readonly at: Location;
}

export interface LimitDeclaration extends DeclarationBase {
  readonly kind: 'limit';
  readonly space: ItemSpace;
  readonly places: ItemSpace;
  readonly expression: ExpressionNode | undefined;
  /** For new parts. */
  readonly limit: Spread | undefined;
  readonly words: readonly string[] | undefined;
  /** In service. */
  readonly wear: Spread | undefined;
  /** TIR, BTDC … which a reading must share. */
  readonly qualifier: string | undefined;
  readonly conditions: readonly SpreadNode[];
  readonly of: Pointer | undefined;
  readonly before: Pointer | undefined;
  readonly grade: { readonly part: Pointer; readonly grade: string } | undefined;
  readonly material: string | undefined;
}

export interface FastenerDeclaration extends DeclarationBase, TighteningOrder {
  readonly kind: 'fastener';
  readonly space: ItemSpace;
  readonly thread: string | undefined;
  readonly propertyClass: string | undefined;
  readonly torque: Spread | undefined;
  readonly stages: readonly Quantity[];
  readonly angle: Spread | undefined;
  readonly drag: Spread | undefined;
  readonly lock: string | undefined;
  readonly layout: Layout | undefined;
  readonly lubricant: string | undefined;
  readonly once: boolean;
  readonly retorque: Quantity | undefined;
  readonly of: Pointer | undefined;
  readonly before: Pointer | undefined;
}

export interface PartDeclaration extends DeclarationBase {
  readonly kind: 'part';
  readonly space: ItemSpace;
  readonly text: string | undefined;
  readonly once: boolean;
  readonly facing: boolean;
  readonly temporary: boolean;
  readonly life: readonly Quantity[];
}

export interface JointDeclaration extends DeclarationBase {
  readonly kind: 'joint';
  readonly sealant: string | undefined;
  readonly fasteners: readonly string[];
}

export interface StackDeclaration extends DeclarationBase {
  readonly kind: 'stack';
  readonly members: readonly Pointer[];
}

export interface InspectionDeclaration extends DeclarationBase {
  readonly kind: 'inspection';
  readonly text: string;
  readonly needs: 'builder' | 'inspector' | undefined;
  readonly of: Pointer | undefined;
  readonly before: Pointer | undefined;
}

export interface AssemblyDeclaration extends DeclarationBase {
  readonly kind: 'assembly';
  readonly text: string | undefined;
}

export interface PersonDeclaration extends DeclarationBase {
  readonly kind: 'person';
  readonly text: string;
  readonly builder: boolean;
  readonly inspector: boolean;
  readonly licence: string | undefined;
}

export interface ToolDeclaration extends DeclarationBase {
  readonly kind: 'tool';
  readonly text: string;
  readonly range: Spread | undefined;
  readonly accuracy: Quantity | undefined;
  readonly resolution: Quantity | undefined;
  /** Expanded uncertainty U, k = 2. */
  readonly uncertainty: Quantity | undefined;
  readonly length: Quantity | undefined;
  readonly material: string | undefined;
  readonly calibrated: string | undefined;
  readonly due: string | undefined;
}

export interface SealantDeclaration extends DeclarationBase {
  readonly kind: 'sealant';
  readonly text: string;
  readonly cure: Quantity | undefined;
  readonly open: Quantity | undefined;
  readonly torqued: 'cured' | 'wet' | undefined;
  readonly due: string | undefined;
}

export interface MachineDeclaration extends DeclarationBase {
  readonly kind: 'machine';
  readonly serial: string | undefined;
  readonly hours: Quantity | undefined;
}

export interface CoversDeclaration extends DeclarationBase {
  readonly kind: 'covers';
  readonly names: readonly NameNode[];
}

export interface UseDeclaration extends DeclarationBase {
  readonly kind: 'use';
  /** The file, as written. */
  readonly file: string;
  readonly mark: string | undefined;
}

export interface TitleDeclaration extends DeclarationBase {
  readonly kind: 'log' | 'limits' | 'bench' | 'source' | 'tolerance';
  readonly text: string;
}

export type Declaration =
  | LimitDeclaration
  | FastenerDeclaration
  | PartDeclaration
  | JointDeclaration
  | StackDeclaration
  | InspectionDeclaration
  | AssemblyDeclaration
  | PersonDeclaration
  | ToolDeclaration
  | SealantDeclaration
  | MachineDeclaration
  | CoversDeclaration
  | UseDeclaration
  | TitleDeclaration;

/** What the lines above a declaration say about it. */
export interface DeclarationContext {
  readonly assembly: string | undefined;
  /** How far a bare torque may be off. */
  readonly tolerance: QuantityNode | undefined;
}

/** The statements that declare something, opening lines included. Asked of every line after every edit. */
const declaring: ReadonlySet<string> = new Set(
  Object.values(statements)
    .filter(({ place }) => place === 'declaration' || place === 'opening')
    .map(({ keyword }) => keyword),
);

/** Whether a statement declares something (it may also be an opening line). */
export function isDeclaration(statement: StatementNode): boolean {
  return declaring.has(statement.kind);
}

function spread(
  node: SpreadNode | undefined,
  refusals: Refusal[],
  options: SpreadOptions = {},
): Spread | undefined {
  const result = node === undefined ? undefined : spreadOf(node, { isoLimits, ...options });
  if (result === undefined || isSpread(result)) return result;
  if (node !== undefined) refusals.push({ span: node, refusal: result });
  return undefined;
}

function quantity(node: QuantityNode | undefined): Quantity | undefined {
  return node === undefined ? undefined : quantityOf(node);
}

function present<T>(value: T | undefined): value is T {
  return value !== undefined;
}

/** The first quantity of a spread, which carries its qualifier. */
export function spreadQualifier(node: SpreadNode | undefined): string | undefined {
  switch (node?.kind) {
    case 'exact':
    case 'at-most':
    case 'at-least':
      return node.value.qualifier?.text;
    case 'range':
      return (node.high.qualifier ?? node.low.qualifier)?.text;
    case 'plus-minus':
      return (node.tolerance.qualifier ?? node.nominal.qualifier)?.text;
    case 'deviations':
    case 'iso-class':
      return node.nominal.qualifier?.text;
    default:
      return undefined;
  }
}

/** Works a declaration out; undefined when its name could not be read. */
export function declare(
  path: string,
  block: Block,
  statement: StatementNode,
  context: DeclarationContext,
): Declaration | undefined {
  const nameNode: Span & { text: string } =
    statement.target?.name ?? statement.name ?? statement.text ?? statement.keyword;
  const refusals: Refusal[] = [];
  const base = {
    refusals,
    name: nameNode.text,
    path,
    block,
    statement,
    at: locate(path, block, nameNode),
    assembly: context.assembly,
    ref: clauseValue(statement, 'ref')?.text,
  };
  const pointer = (node: TargetNode | undefined): Pointer | undefined =>
    node === undefined
      ? undefined
      : {
          name: node.name.text,
          node,
          items: node.items === undefined ? undefined : node.items.flatMap(expandPath),
          at: locate(path, block, node),
        };
  const of = pointer(clauseValue(statement, 'of'));
  const before = pointer(clauseValue(statement, 'before'));
  const space = () => itemSpace(statement.target === undefined ? [''] : declaredItems(statement.target));

  switch (statement.kind) {
    case 'limit': {
      if (statement.target === undefined) return undefined;
      const written = statement.limit;
      const limitNode = written !== undefined && 'kind' in written ? written : undefined;
      const wearNode = clauseValue(statement, 'wear');
      const grade = clauseValue(statement, 'for');
      const part = pointer(grade?.target);
      return {
        ...base,
        kind: 'limit',
        space: space(),
        places: itemSpace(declaredPlaces(statement.target)),
        expression: statement.expression,
        limit: spread(limitNode, refusals),
        words: written !== undefined && !('kind' in written) ? written.map((word) => word.text) : undefined,
        wear: spread(wearNode, refusals),
        qualifier: spreadQualifier(limitNode) ?? spreadQualifier(wearNode),
        conditions: clauseValue(statement, 'when') ?? [],
        of,
        before,
        grade: grade !== undefined && part !== undefined ? { part, grade: grade.grade.text } : undefined,
        material: clauseValue(statement, 'material')?.text,
      };
    }
    case 'fastener': {
      if (statement.target === undefined) return undefined;
      const members = space();
      const layoutNode = clauseValue(statement, 'layout');
      const layout =
        layoutNode === undefined
          ? undefined
          : layoutNode.kind === 'rows'
            ? ({ kind: 'rows', rows: layoutNode.rows } as const)
            : ({ kind: 'circle' } as const);
      return {
        ...base,
        kind: 'fastener',
        space: members,
        thread: statement.thread?.text,
        propertyClass: clauseValue(statement, 'class')?.text,
        torque: spread(clauseValue(statement, 'torque'), refusals, bareTolerance(context, 'N·m')),
        stages: (clauseValue(statement, 'stages') ?? []).map(quantity).filter(present),
        angle: spread(clauseValue(statement, 'angle'), refusals, bareTolerance(context, '°')),
        drag: spread(clauseValue(statement, 'drag'), refusals),
        lock: clauseValue(statement, 'lock')?.text,
        ...tighteningOrder(statement, members, layout),
        layout,
        lubricant: clauseValue(statement, 'lubricant')?.text,
        once: hasClause(statement, 'once'),
        retorque: quantity(clauseValue(statement, 'retorque')),
        of,
        before,
      };
    }
    case 'part':
      if (statement.target === undefined) return undefined;
      return {
        ...base,
        kind: 'part',
        space: space(),
        text: statement.text?.text,
        once: hasClause(statement, 'once'),
        facing: hasClause(statement, 'facing-recorded'),
        temporary: hasClause(statement, 'temporary'),
        life: (clauseValue(statement, 'life') ?? []).map(quantity).filter(present),
      };
    case 'joint':
      if (statement.name === undefined) return undefined;
      return {
        ...base,
        kind: 'joint',
        sealant: clauseValue(statement, 'sealant')?.text,
        fasteners: (clauseValue(statement, 'fasteners') ?? []).map((name) => name.text),
      };
    case 'stack':
      if (statement.name === undefined) return undefined;
      return { ...base, kind: 'stack', members: (statement.members ?? []).map(pointer).filter(present) };
    case 'inspection': {
      if (statement.name === undefined) return undefined;
      const needs = clauseValue(statement, 'needs')?.text;
      return {
        ...base,
        kind: 'inspection',
        text: statement.text?.text ?? '',
        needs: needs === 'builder' || needs === 'inspector' ? needs : undefined,
        of,
        before,
      };
    }
    case 'assembly':
      if (statement.name === undefined) return undefined;
      return { ...base, kind: 'assembly', text: statement.text?.text };
    case 'person': {
      if (statement.name === undefined) return undefined;
      const roles = statement.clauses.filter((clause) => clause.name === 'role');
      const has = (role: string) =>
        roles.some((clause) => (clause.value as NameNode | undefined)?.text === role);
      return {
        ...base,
        kind: 'person',
        text: statement.text?.text ?? '',
        builder: has('builder'),
        inspector: has('inspector'),
        licence: clauseValue(statement, 'licence')?.text,
      };
    }
    case 'tool':
      if (statement.name === undefined) return undefined;
      return {
        ...base,
        kind: 'tool',
        text: statement.text?.text ?? '',
        range: spread(clauseValue(statement, 'range'), refusals),
        accuracy: quantity(clauseValue(statement, 'accuracy')),
        resolution: quantity(clauseValue(statement, 'resolution')),
        uncertainty: quantity(clauseValue(statement, 'uncertainty')),
        length: quantity(clauseValue(statement, 'length')),
        material: clauseValue(statement, 'material')?.text,
        calibrated: clauseValue(statement, 'calibrated')?.date,
        due: clauseValue(statement, 'due')?.date,
      };
    case 'sealant': {
      if (statement.name === undefined) return undefined;
      const torqued = clauseValue(statement, 'torqued')?.text;
      return {
        ...base,
        kind: 'sealant',
        text: statement.text?.text ?? '',
        cure: quantity(clauseValue(statement, 'cure')),
        open: quantity(clauseValue(statement, 'open')),
        torqued: torqued === 'cured' || torqued === 'wet' ? torqued : undefined,
        due: clauseValue(statement, 'due')?.date,
      };
    }
    case 'machine': {
      if (statement.name === undefined) return undefined;
      const serial = clauseValue(statement, 'serial');
      return {
        ...base,
        kind: 'machine',
        serial: serial?.placeholder === true ? undefined : serial?.text,
        hours: quantity(clauseValue(statement, 'hours')),
      };
    }
    case 'covers':
      return { ...base, kind: 'covers', names: statement.names ?? [] };
    case 'use':
      if (statement.text === undefined) return undefined;
      return { ...base, kind: 'use', file: statement.text.text, mark: clauseValue(statement, 'mark')?.text };
    case 'log':
    case 'limits':
    case 'bench':
    case 'source':
    case 'tolerance':
      return { ...base, kind: statement.kind, text: statement.text?.text ?? '' };
    default:
      return undefined;
  }
}

/**
 * A bare torque is met within 5 % (common practice), unless `tolerance` says otherwise; so is a bare angle. One that is
 * stated in a unit of another kind (`± 2 N·m` above an angle) says nothing of it.
 */
function bareTolerance(context: DeclarationContext, unit: 'N·m' | '°'): SpreadOptions {
  const stated = context.tolerance === undefined ? undefined : quantityOf(context.tolerance);
  const holds = stated !== undefined && (stated.unit === '%' || sameKind(stated.unit, unit));
  return { bareTolerance: holds ? stated : bareTorqueTolerance };
}

/** What one file says apart from its entries; rebuilt only when a declaration of the file changes. */
export interface FileDeclarations {
  readonly path: string;
  readonly kind: 'rebuild' | 'limits' | 'bench';
  readonly blocks: readonly Block[];
  readonly declarations: readonly Declaration[];
  readonly uses: readonly UseDeclaration[];
}

/** The kind of a file by its name: `.limits`, `.bench`; anything else is a log. */
export function fileKind(path: string): FileDeclarations['kind'] {
  if (path.endsWith('.limits')) return 'limits';
  if (path.endsWith('.bench')) return 'bench';
  return 'rebuild';
}

/** What a file that has no such name yet is, as one that was never saved: by its opening line. */
function kindOf(path: string, blocks: readonly Block[]): FileDeclarations['kind'] {
  if (/\.(?:rebuild|limits|bench)$/.test(path)) return fileKind(path);
  const opening = blocks.find(({ statement }) => statement !== undefined)?.statement?.kind;
  return opening === 'limits' || opening === 'bench' ? opening : 'rebuild';
}

/** Works out the declarations among a file's blocks; gives `previous` back when none of them changed. */
export function declarationsOf(
  path: string,
  blocks: readonly Block[],
  previous?: FileDeclarations,
): FileDeclarations {
  if (previous !== undefined && previous.path === path && sameMembers(previous.blocks, blocks))
    return previous;
  const declarations: Declaration[] = [];
  const uses: UseDeclaration[] = [];
  let context: DeclarationContext = { assembly: undefined, tolerance: undefined };
  for (const block of blocks) {
    const statement = block.statement;
    if (statement === undefined) continue;
    if (statement.kind === 'assembly') context = { ...context, assembly: statement.name?.text };
    if (statement.kind === 'tolerance') context = { ...context, tolerance: statement.tolerance };
    const declaration = declare(path, block, statement, context);
    if (declaration === undefined) continue;
    declarations.push(declaration);
    if (declaration.kind === 'use') uses.push(declaration);
  }
  return { path, kind: kindOf(path, blocks), blocks, declarations, uses };
}

/** Whether two lists hold the same objects in the same order. */
export function sameMembers(a: readonly unknown[], b: readonly unknown[]): boolean {
  if (a === b) return true;
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
