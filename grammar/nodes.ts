/** Builds the nodes of the tree from tokens. */
import { fault, writeFix } from './syntax-errors.ts';
import type {
  ExpressionNode,
  NameNode,
  NumberNode,
  PathNode,
  PlainSegment,
  QuantityNode,
  SegmentNode,
  SpreadNode,
  StringNode,
  UnitNode,
  ValueNode,
  WhenNode,
} from './syntax-tree.ts';
import type { Scan, Token } from './tokens.ts';

export function nameNode({ startOffset: start, end, text }: Token): NameNode {
  return { start, end, text };
}

export function stringNode({ startOffset: start, end, text }: Token): StringNode {
  return { start, end, text };
}

export function numberNode({ startOffset: start, end, text, value }: Token): NumberNode {
  return { start, end, text, value };
}

export function unitNode(scan: Scan, { startOffset: start, end, text }: Token): UnitNode {
  return { start, end, text: scan.text.slice(start, end), name: text === '' ? undefined : text };
}

export function withoutTolerance(scan: Scan, spread: SpreadNode): ValueNode | undefined {
  switch (spread.kind) {
    case 'plus-minus':
    case 'deviations':
    case 'iso-class':
      scan.faults.push(
        fault(
          spread.start,
          spread.end,
          'A reading is one value, a range or a bound, never a value with a tolerance.',
        ),
      );
      return undefined;
    default:
      return spread;
  }
}

export function exactSpread(value: QuantityNode, own: SpreadNode | undefined, end: number): SpreadNode {
  const { start } = value;
  if (own === undefined) return { kind: 'exact', start, end, value, equivalent: undefined };
  if (own.kind === 'exact' && own.equivalent === undefined && own.value.equivalent === undefined)
    return {
      kind: 'exact',
      start,
      end,
      value: { ...value, end, equivalent: own.value },
      equivalent: undefined,
    };
  return { kind: 'exact', start, end, value, equivalent: own };
}

export function binary(
  left: ExpressionNode,
  operator: '+' | '-' | '*' | '/',
  right: ExpressionNode,
): ExpressionNode {
  return { kind: 'binary', start: left.start, end: right.end, operator, left, right };
}

export function whenNode(first: Token | undefined, clock: Token | undefined): WhenNode {
  const start = first?.startOffset ?? clock?.startOffset ?? 0;
  const end = clock?.end ?? first?.end ?? 0;
  const placeholder = first?.text === '?';
  let time: string | undefined;
  let offset: string | undefined;
  if (clock?.text !== undefined) {
    const split = /[Z+-]/.exec(clock.text)?.index ?? clock.text.length;
    time = clock.text.slice(0, split);
    offset = split < clock.text.length ? clock.text.slice(split) : undefined;
  }
  return { start, end, placeholder, date: placeholder ? undefined : first?.text, time, offset };
}

export function wordSegment({ startOffset: start, end, text }: Token): PlainSegment {
  return { kind: 'word', start, end, text };
}

/** More items than any machine has: a slip, and one that would take all memory. */
const mostItems = 9999;

export function numberSegment(scan: Scan, from: Token, to: Token | undefined): PlainSegment {
  const { startOffset: start, value, text } = from;
  if (to === undefined) return { kind: 'number', start, end: from.end, value };
  if (to.value < value)
    scan.faults.push(
      fault(start, to.end, `A run goes up: \`${to.text}..${text}\`.`, [
        writeFix(start, to.end, `${to.text}..${text}`),
      ]),
    );
  else if (to.value - value >= mostItems) {
    scan.faults.push(fault(start, to.end, `A run names at most ${mostItems} items.`));
    scan.doubtful = true;
  }
  return { kind: 'run', start, end: to.end, from: Math.min(value, to.value), to: Math.max(value, to.value) };
}

/** How many items a segment stands for, of those that are written out. */
function countOf(segment: SegmentNode): number {
  if (segment.kind === 'run') return segment.to - segment.from + 1;
  return segment.kind === 'set' ? segment.members.reduce((sum, one) => sum + countOf(one), 0) : 1;
}

/** Segments with `/` between them. */
export function longPath(scan: Scan, segments: readonly SegmentNode[], start: number, end: number): PathNode {
  const counts = segments.map(countOf);
  const count = counts.reduce((product, one) => product * one, 1);
  if (count > mostItems && counts.every((one) => one <= mostItems)) {
    scan.faults.push(fault(start, end, `A path names at most ${mostItems} items, and this one ${count}.`));
    scan.doubtful = true;
  }
  return { start, end, segments: segments.slice() };
}

export function wholeSegment({ startOffset: start, end, text }: Token): SegmentNode {
  return { kind: text === 'ordered' ? 'ordered' : 'all', start, end };
}
