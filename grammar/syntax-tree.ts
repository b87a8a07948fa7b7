/**
 * The syntax tree: what a text says, line by line, with nothing resolved and nothing judged.
 *
 * Every `start` and `end` in a statement counts UTF-16 units from the start of its block, so that a block keeps
 * its tree when text above it changes.
 */
import type { ClauseName, StatementKind } from './statements.ts';

export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A name as written, in Unicode normalization form C. */
export interface NameNode extends Span {
  readonly text: string;
}

/** A string: what stands between its quotes, escapes undone. */
export interface StringNode extends Span {
  readonly text: string;
  /** `?` was written in its place. */
  readonly placeholder?: true;
}

/** A number: `text` is its plain form (`−0.5` as `-0.5`, `1⅜` as `1-3/8`), digits kept as written. */
export interface NumberNode extends Span {
  readonly text: string;
  readonly value: number;
}

/** A unit: `name` is its canonical spelling, undefined when no unit is spelled so. */
export interface UnitNode extends Span {
  readonly text: string;
  readonly name: string | undefined;
}

/** A number with its unit, a placeholder (`number` undefined), or one with an equivalent in parentheses. */
export interface QuantityNode extends Span {
  readonly kind: 'quantity';
  readonly number: NumberNode | undefined;
  readonly unit: UnitNode | undefined;
  /** TIR, BTDC … */
  readonly qualifier: NameNode | undefined;
  /** The quantity in parentheses after this one. */
  readonly equivalent: QuantityNode | undefined;
  /** The rest of a compound time: the `20 min` of `1 h 20 min`. */
  readonly plus: QuantityNode | undefined;
}

interface SpreadBase extends Span {
  /** The spread (or quantity) in parentheses after the whole. */
  readonly equivalent: SpreadNode | undefined;
}
export type SpreadNode =
  | (SpreadBase & { readonly kind: 'exact'; readonly value: QuantityNode })
  | (SpreadBase & { readonly kind: 'range'; readonly low: QuantityNode; readonly high: QuantityNode })
  | (SpreadBase & { readonly kind: 'at-most' | 'at-least'; readonly value: QuantityNode })
  | (SpreadBase & {
      readonly kind: 'plus-minus';
      readonly nominal: QuantityNode;
      readonly tolerance: QuantityNode;
    })
  | (SpreadBase & {
      readonly kind: 'deviations';
      readonly nominal: QuantityNode;
      readonly upper: NumberNode;
      readonly lower: NumberNode;
      /** The unit after the deviations; the nominal may carry its own. */
      readonly unit: UnitNode | undefined;
    })
  | (SpreadBase & { readonly kind: 'iso-class'; readonly nominal: QuantityNode; readonly isoClass: NameNode })
  | (SpreadBase & { readonly kind: 'placeholder' });

/** A reading. `exact` holds one quantity; a placeholder with a unit (`? mm`) is an `exact` without a number. */
export type ValueNode =
  | Extract<SpreadNode, { kind: 'exact' | 'range' | 'at-most' | 'at-least' | 'placeholder' }>
  | (Span & { readonly kind: 'word'; readonly text: string });

/** A date, a time, or both, as written. `date` is YYYY-MM-DD, `time` HH:MM or HH:MM:SS, `offset` Z or ±HH:MM. */
export interface WhenNode extends Span {
  readonly placeholder: boolean;
  readonly date: string | undefined;
  readonly time: string | undefined;
  readonly offset: string | undefined;
}

export type PlainSegment =
  | (Span & { readonly kind: 'word'; readonly text: string })
  | (Span & { readonly kind: 'number'; readonly value: number })
  | (Span & { readonly kind: 'run'; readonly from: number; readonly to: number });
export type SegmentNode =
  | PlainSegment
  | (Span & { readonly kind: 'set'; readonly members: readonly PlainSegment[] })
  | (Span & { readonly kind: 'all' | 'ordered' });

/** `front/top`: segments joined by slashes. */
export interface PathNode extends Span {
  readonly segments: readonly SegmentNode[];
}

/** What a line is about: `name[items] @ place`. `items` is undefined without brackets. */
export interface TargetNode extends Span {
  readonly name: NameNode;
  readonly items: readonly PathNode[] | undefined;
  readonly place: PathNode | undefined;
}

export type FunctionName = 'min' | 'max' | 'mean' | 'range' | 'taper' | 'out-of-round';
export type ExpressionNode =
  | (Span & {
      readonly kind: 'binary';
      readonly operator: '+' | '-' | '*' | '/';
      readonly left: ExpressionNode;
      readonly right: ExpressionNode;
    })
  | (Span & {
      readonly kind: 'call';
      readonly name: FunctionName;
      readonly arguments: readonly ExpressionNode[];
    })
  | (Span & { readonly kind: 'reading'; readonly target: TargetNode })
  | (Span & { readonly kind: 'constant'; readonly quantity: QuantityNode });

export interface ThreadNode extends Span {
  /** As written, with `×` as `x`. */
  readonly text: string;
}

export interface UnitClauseNode extends Span {
  readonly unit: UnitNode;
  readonly qualifier: NameNode | undefined;
}

export type OrderNode = Span &
  (
    | { readonly kind: 'cross' | 'centre-out' | 'any' }
    | { readonly kind: 'listed'; readonly items: readonly PathNode[] }
  );
export type LayoutNode = Span &
  ({ readonly kind: 'circle' } | { readonly kind: 'rows'; readonly rows: number });
export interface AdapterNode extends Span {
  readonly length: QuantityNode;
  readonly angle: QuantityNode | undefined;
}
export interface TargetGradeNode extends Span {
  readonly target: TargetNode;
  readonly grade: NameNode;
}

/** What each clause holds; `NameNode` also stands for words, grades, classes and marks as written. */
export interface ClauseValues {
  mark: NameNode;
  serial: StringNode;
  hours: QuantityNode;
  /** One clause node for each word written. */
  role: NameNode;
  licence: StringNode;
  range: SpreadNode;
  accuracy: QuantityNode;
  resolution: QuantityNode;
  uncertainty: QuantityNode;
  length: QuantityNode;
  material: NameNode;
  calibrated: WhenNode;
  due: WhenNode;
  cure: QuantityNode;
  open: QuantityNode;
  torqued: NameNode;
  wear: SpreadNode;
  when: readonly SpreadNode[];
  of: TargetNode;
  for: TargetGradeNode;
  before: TargetNode;
  ref: StringNode;
  class: NameNode;
  torque: SpreadNode;
  stages: readonly QuantityNode[];
  /** A spread in a `fastener`; in a `torque` entry always `exact`. */
  angle: SpreadNode;
  /** A spread in a `fastener`; in a `torque` entry always `exact`. */
  drag: SpreadNode;
  lock: NameNode;
  order: OrderNode;
  layout: LayoutNode;
  lubricant: NameNode;
  once: undefined;
  retorque: QuantityNode;
  facing: StringNode;
  'facing-recorded': undefined;
  life: readonly QuantityNode[];
  temporary: undefined;
  sealant: NameNode;
  fasteners: readonly NameNode[];
  needs: NameNode;
  by: readonly NameNode[];
  with: NameNode;
  temp: QuantityNode;
  scrap: undefined;
  at: WhenNode;
  because: StringNode;
  condition: NameNode;
  grade: NameNode;
  pn: StringNode;
  batch: StringNode;
  /** Where an `apply` goes (targets) or what a `torque` goes to (quantity): see `torqueTo` and `appliedTo`. */
  to: QuantityNode | readonly TargetNode[];
  in: UnitClauseNode;
  as: NameNode;
  stage: NumberNode;
  again: undefined;
  adapter: AdapterNode;
  set: QuantityNode;
  verdict: NameNode;
  until: QuantityNode | WhenNode;
}

export interface ClauseNode<N extends ClauseName = ClauseName> extends Span {
  readonly name: N;
  /** The word (or words) that began it. */
  readonly keyword: Span;
  /** Undefined for a flag, and where the text after the keyword could not be read. */
  readonly value: ClauseValues[N] | undefined;
}

/** A row of a table. Cells stay raw: what they mean depends on the row above. */
export interface RowNode extends Span {
  /** Each cell's text without surrounding blanks (its span too); an empty cell has an empty text. */
  readonly cells: readonly NameNode[];
}

/** What stands in the fixed part of a statement, by the table's names. */
export interface FixedParts {
  readonly name?: NameNode;
  readonly text?: StringNode;
  /** A second string: what a photo shows. */
  readonly text2?: StringNode;
  readonly names?: readonly NameNode[];
  readonly target?: TargetNode;
  readonly members?: readonly TargetNode[];
  readonly tolerance?: QuantityNode;
  readonly expression?: ExpressionNode;
  /** A spread, or the allowed words. */
  readonly limit?: SpreadNode | readonly StringNode[];
  readonly thread?: ThreadNode;
  readonly when?: WhenNode;
  readonly value?: ValueNode;
  readonly quantity?: QuantityNode;
  /** A declared inspection (name) or any words (string). */
  readonly subject?: (NameNode & { readonly quoted: boolean }) | undefined;
  readonly note?: StringNode;
}

/** One statement with its continuation lines and rows. Parts that could not be read are absent. */
export interface StatementNode extends Span, FixedParts {
  /** `unknown`: the first word begins no statement. */
  readonly kind: StatementKind | 'unknown';
  readonly keyword: NameNode;
  readonly clauses: readonly ClauseNode[];
  readonly rows: readonly RowNode[];
  /** Something on it did not parse: what is absent may have been written. */
  readonly broken: boolean;
}

/** A change of text that mends a fault; spans count from the block's start. */
export interface SyntaxFix {
  readonly title: string;
  readonly edits: readonly (Span & { readonly text: string })[];
}

/** Something that does not parse, in words for the builder. */
export interface SyntaxFault extends Span {
  readonly rule:
    | 'syntax'
    | 'unknown-unit'
    | 'missing-unit'
    | 'decimal-comma'
    | 'ambiguous-date'
    /** Of \`witnessmark.json\`, which is read elsewhere. */
    | 'configuration';
  readonly message: string;
  readonly fixes: readonly SyntaxFix[];
}

/**
 * A statement's lines: from the line it begins on up to the line before the next statement, so blank lines and
 * comments below it included. A file's first block may hold no statement.
 *
 * `start` and `line` are kept true by `parse`: a block belongs to the newest file that holds it.
 */
export interface Block {
  /** Offset of the block in its file. */
  start: number;
  /** Number of its first line, from 0. */
  line: number;
  readonly text: string;
  /** How many line breaks it holds. */
  readonly lineBreaks: number;
  readonly statement: StatementNode | undefined;
  readonly comments: readonly Span[];
  readonly faults: readonly SyntaxFault[];
}

export interface SourceFile {
  readonly text: string;
  readonly blocks: readonly Block[];
}

/** One stretch of text replaced: what stood between `start` and `oldEnd` now ends at `newEnd`. */
export interface TextChange {
  readonly start: number;
  readonly oldEnd: number;
  readonly newEnd: number;
}

/** The value of a clause that is written on the statement, or undefined. */
export function clauseValue<N extends ClauseName>(
  statement: StatementNode,
  name: N,
): ClauseValues[N] | undefined {
  return clauseNode(statement, name)?.value;
}

/** The clause of that name, with its keyword and span. */
export function clauseNode<N extends ClauseName>(
  statement: StatementNode,
  name: N,
): ClauseNode<N> | undefined {
  for (const clause of statement.clauses)
    if (clause.name === name) return clause as ClauseNode as ClauseNode<N>;
  return undefined;
}

/** Whether a flag (or any clause) of that name is written. */
export function hasClause(statement: StatementNode, name: ClauseName): boolean {
  return clauseNode(statement, name) !== undefined;
}

/** The torque that a `torque` entry states. */
export function torqueTo(statement: StatementNode): QuantityNode | undefined {
  const to = clauseValue(statement, 'to');
  return to !== undefined && 'kind' in to ? to : undefined;
}

/** The places that an `apply` entry names. */
export function appliedTo(statement: StatementNode): readonly TargetNode[] {
  const to = clauseValue(statement, 'to');
  return to !== undefined && !('kind' in to) ? to : [];
}
