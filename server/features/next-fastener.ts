/** The line that would follow a fastener torqued by itself: the same for the next of its group, in the order asked for. */
import {
  blockAt,
  clauseNode,
  type PathNode,
  type SourceFile,
  type Span,
  type StatementNode,
} from '../../grammar/index.ts';
import { formatQuantity } from '../quantities/index.ts';
import {
  type Entry,
  type FastenerGroup,
  type Rebuild,
  stagesBeforeFinal,
  type Tightening,
} from '../rebuild/index.ts';

/**
 * The text to offer on the empty line at `offset`, below `torque x[3] to …`; undefined where there is nothing to
 * continue. It is only ever offered: whether the fastener was torqued is for the builder to say. Once the pass is over
 * it goes on with the next stage. What was felt or timed (`drag`, `at`, `because`) is not repeated.
 */
export function nextTighteningAt(
  { file, rebuild }: { readonly file: SourceFile; readonly rebuild: Rebuild },
  offset: number,
): string | undefined {
  const block = blockAt(file, offset);
  if (block === undefined) return undefined;
  const { statement } = block;
  if (statement?.kind !== 'torque' || !isBelow(file.text, block.start + statement.end, offset))
    return undefined;
  const entry = rebuild.entries.find((one) => one.block === block);
  const [target] = entry?.targets ?? [];
  const [item, ...others] = target?.items ?? [];
  const [path, ...more] = target?.node.items ?? [];
  if (entry === undefined || item === undefined || path === undefined || others.length + more.length > 0)
    return undefined;
  const group = rebuild.fastenerGroups.find((one) => one.name === target?.name);
  const own = group?.members
    .find((member) => member.item === item)
    ?.tightenings.findLast((tightening) => tightening.entry === entry);
  if (group === undefined || own?.stage === undefined) return undefined;
  const next = nextIn(group, item, own);
  return next === undefined ? undefined : written(entry, path, next.item, next.torque);
}

/** The line is the first below the statement and has nothing on it. */
function isBelow(text: string, end: number, offset: number): boolean {
  const line = /^[^\r\n]*(?:\r\n|\r|\n)[ \t]*/.exec(text.slice(end))?.[0];
  if (line === undefined || end + line.length < offset) return false;
  const between = text.slice(end, offset);
  return /[\r\n]/.test(between) && /^[ \t]*(?:[\r\n]|$)/.test(text.slice(offset));
}

/** The member after `item`, in the order asked for, that lacks the stage; else the first that lacks the next stage. */
function nextIn(
  group: FastenerGroup,
  item: string,
  { stage = 1 }: Tightening,
): { readonly item: string; readonly torque: string | undefined } | undefined {
  const order = group.declaration.order ?? group.members.map((member) => member.item);
  const at = order.indexOf(item);
  const lacks = (one: string, wanted: number) =>
    group.members
      .find((member) => member.item === one)
      ?.tightenings.every((tightening) => tightening.stage !== wanted) === true;
  const next = [...order.slice(at + 1), ...order.slice(0, Math.max(at, 0))].find((one) => lacks(one, stage));
  if (next !== undefined) return { item: next, torque: undefined };
  if (stage >= group.stageCount) return undefined;
  const first = order.find((one) => lacks(one, stage + 1));
  const torque = stagesBeforeFinal(group.declaration)[stage] ?? group.declaration.stages[stage];
  if (first === undefined || torque === undefined) return undefined;
  return { item: first, torque: formatQuantity(torque) };
}

/** The entry's own words with another member, and another torque where one is given. */
function written(
  { block, statement }: Entry,
  path: PathNode,
  item: string,
  torque: string | undefined,
): string | undefined {
  // A statement of several lines is no pattern for the next.
  if (/[\r\n]/.test(block.text.slice(statement.start, statement.end))) return undefined;
  const changes: (Span & { readonly text: string })[] = [{ ...path, text: item }];
  const to = clauseNode(statement, 'to');
  if (torque !== undefined) {
    if (to === undefined) return undefined;
    changes.push({ start: to.start, end: to.end, text: `to ${torque}` });
  }
  for (const clause of leftOut(statement)) changes.push({ ...clause, text: '' });
  let text = block.text.slice(0, statement.end);
  for (const change of changes.sort((a, b) => b.start - a.start))
    text = text.slice(0, change.start) + change.text + text.slice(change.end);
  return text.slice(statement.start).replace(/ {2,}/g, ' ').trim();
}

function leftOut(statement: StatementNode): readonly Span[] {
  return statement.clauses.filter(({ name }) => name === 'at' || name === 'because' || name === 'drag');
}
