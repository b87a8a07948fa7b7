/** What is still open: open items and placeholders. */
import {
  type Block,
  clauseNode,
  hasClause,
  type Span,
  type StatementNode,
  statementSpec,
} from '../../grammar/index.ts';
import {
  type Entry,
  isUnfilled,
  listItems,
  locate,
  membersByEntry,
  type Rebuild,
  type Report,
  takenAs,
  writeMembers,
  writeTarget,
} from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { nothing, ofSteps, rule } from './rule.ts';
import { doneAgain, isHistory, isSigned } from './standing.ts';

/** Whether a value, or a part of it, is a `?`: a text, a date, or a number that is yet to be written. */
function isPlaceholder(node: unknown): boolean {
  if (Array.isArray(node)) return node.some(isPlaceholder);
  if (typeof node !== 'object' || node === null) return false;
  if ('placeholder' in node) return node.placeholder === true;
  if (!('kind' in node))
    return 'length' in node && [node.length, (node as { angle?: unknown }).angle].some(isPlaceholder);
  switch (node.kind) {
    case 'placeholder':
      return true;
    case 'quantity':
      return (node as { number?: unknown }).number === undefined;
    default:
      return ['value', 'low', 'high', 'nominal', 'tolerance'].some((part) =>
        isPlaceholder((node as Record<string, unknown>)[part]),
      );
  }
}

const FIXED = ['text', 'text2', 'when', 'quantity', 'tolerance', 'limit'] as const;

/** What an entry still lacks of which another rule, or this one, tells in words of its own. */
function isToldElsewhere({ kind, statement }: Pick<Entry, 'kind' | 'statement'>, clause: string): boolean {
  switch (kind) {
    case 'fit':
      return clause === 'facing' || clause === 'pn' || clause === 'batch';
    case 'accept':
      return clause === 'because';
    case 'open':
      return clause === 'text';
    default:
      return statement.kind === 'unknown';
  }
}

/** Whether all of an entry is still to come: what is not measured, torqued or looked at yet lacks the rest as well. */
function isToCome(entry: Entry): boolean {
  if (entry.kind === 'torque') return isUnfilled(entry);
  if (entry.kind === 'inspect') return clauseNode(entry.statement, 'verdict')?.value?.text === '?';
  return (
    entry.kind === 'measure' && entry.readings.length > 0 && entry.readings.every((one) => one.placeholder)
  );
}

/**
 * What makes a `?` good besides filling it in: the work done again, or the reading taken again. What somebody signed for
 * as it stands cannot be filled in any more, so of any other line it is told no longer.
 */
function mendedBy(entry: Entry): (rebuild: Rebuild) => boolean {
  if (entry.kind === 'torque') return doneAgain(entry);
  return entry.kind === 'measure' ? isHistory(entry) : isSigned(entry);
}

/** A reading that takes the place of another, or a concession, that does not say why. */
function withoutReason(entry: Entry): Report | undefined {
  const { kind, path, block, statement } = entry;
  const because = clauseNode(statement, 'because');
  const isCorrected = kind === 'measure' && takenAs(entry) === 'corrected';
  if (!isCorrected && kind !== 'accept') return undefined;
  // What is not a text is told by the syntax, and a `?` as what it is.
  if (because !== undefined ? because.value?.text.trim() !== '' : kind === 'accept') return undefined;
  const as = clauseNode(statement, 'as');
  const at = because ?? as ?? statement;
  const subject = statement.target ?? statement.keyword;
  const line = block.text.slice(statement.start, subject.end);
  return {
    at: locate(path, block, at),
    message: `${line}: why ${isCorrected ? 'it was corrected' : 'it is accepted'} is still to be written down.`,
    mended: isHistory(entry),
    fixes:
      because === undefined
        ? [
            {
              title: 'Write `because ?`',
              edits: [{ ...locate(path, block, { start: at.end, end: at.end }), text: ' because ?' }],
            },
          ]
        : [],
  };
}

/** The values of a line that are still a `?`, told together. */
function unfilled(
  path: string,
  block: Block,
  statement: StatementNode,
  isTold: (part: string) => boolean,
): readonly Report[] {
  const spec = statementSpec(statement.kind);
  if (spec === undefined || !block.text.includes('?')) return nothing;
  const found: { at: Span; word: string }[] = [];
  const texts = spec.fixed.filter(({ name }) => name === 'text');
  for (const part of FIXED) {
    const node = statement[part] as Span | undefined;
    if (node === undefined || !isPlaceholder(node) || isTold(part)) continue;
    const about = part === 'text2' ? texts[1] : spec.fixed.find(({ name }) => name === part);
    found.push({ at: node, word: about?.about ?? part });
  }
  for (const clause of statement.clauses)
    if (clause.name !== 'verdict' && isPlaceholder(clause.value) && !isTold(clause.name))
      found.push({ at: clause, word: `\`${block.text.slice(clause.keyword.start, clause.keyword.end)}\`` });
  const [first] = found;
  if (first === undefined) return nothing;
  const subject = statement.target ?? statement.name;
  const line = block.text.slice(statement.start, subject?.end ?? statement.keyword.end);
  const words = listItems(found.map(({ word }) => word));
  const message = `${line}: ${words} ${found.length === 1 ? 'is' : 'are'} still to be filled in.`;
  return [{ at: locate(path, block, first.at), message }];
}

const unfilledInSteps = ofSteps((step) =>
  unfilled(step.path, step.block, step.statement, () => false).map((report) => ({
    ...report,
    mended: isSigned(step),
  })),
);

/**
 * Reports open items that nothing closed, and every `?` that still stands for a value; of a first torque that is still
 * `?` the rule torque-skipped tells.
 */
export const openItem = rule({
  id: 'open-item',
  severity: 'by-state',
  title: 'still open',
  subject: 'rebuild',
  *check(rebuild) {
    const { path, openItems, strayItems, characteristics, inspections, parts, steps } = rebuild;
    yield* unfilledInSteps(steps);
    const below = lastEntry(rebuild);
    for (const { name, opened, closed } of openItems) {
      if (closed !== undefined) continue;
      yield {
        at: locate(path, opened.block, opened.statement.name ?? opened.statement),
        message: `${name} is open: ${opened.statement.text?.text ?? '?'}.`,
        touched: true,
        fixes:
          below === undefined
            ? []
            : [{ title: `Add \`close ${name} ?\` below`, edits: [lineBelow(below, `close ${name} ?`)] }],
      };
    }
    for (const entry of strayItems) {
      const name = entry.statement.name?.text ?? '';
      yield {
        at: locate(path, entry.block, entry.statement.name ?? entry.statement),
        message:
          entry.kind === 'close'
            ? `${name} is not open, so nothing is closed here.`
            : `${name} is open already: give this item another name.`,
        touched: true,
      };
    }
    for (const { name, placeholders } of characteristics)
      for (const reading of placeholders)
        if (reading.at.end > reading.at.start)
          yield {
            at: reading.at,
            message: `${writeTarget(name, reading.item, reading.place)} is still to be filled in.`,
          };
    for (const { block, statement, targets } of rebuild.byKind.get('accept') ?? []) {
      const because = clauseNode(statement, 'because');
      if (because?.value?.placeholder === true)
        yield {
          at: locate(path, block, because),
          message: `${targets.map(({ name, items }) => writeMembers(name, items)).join(', ')}: why it is accepted is still to be filled in.`,
        };
    }
    for (const { name, state, last } of inspections)
      if (state === 'to-fill-in' && last !== undefined)
        yield {
          at: locate(
            path,
            last.entry.block,
            clauseNode(last.entry.statement, 'verdict') ?? last.entry.statement,
          ),
          message: `${name} is still to be filled in: \`pass\` or \`fail\`.`,
        };
    for (const { name, members } of parts)
      for (const [{ block, statement }, group] of membersByEntry(members, (member) => member.fitted))
        for (const clause of ['facing', 'pn', 'batch'] as const) {
          const written = clauseNode(statement, clause);
          if (written?.value?.placeholder === true)
            yield {
              at: locate(path, block, written),
              message: `${writeMembers(
                name,
                group.map((member) => member.item),
              )}: \`${clause}\` is still to be filled in.`,
            };
        }
  },
  also: {
    *entry(entry) {
      const { path, block, statement, targets } = entry;
      if (!isToCome(entry)) {
        for (const report of unfilled(path, block, statement, (part) => isToldElsewhere(entry, part)))
          yield { ...report, mended: mendedBy(entry) };
        const unsaid = withoutReason(entry);
        if (unsaid !== undefined) yield unsaid;
        return;
      }
      if (entry.kind !== 'torque' || !hasClause(statement, 'again')) return;
      for (const { name, items } of targets)
        yield {
          at: locate(path, block, clauseNode(statement, 'to') ?? statement),
          message: `${writeMembers(name, items)}: what it was torqued to again is still to be filled in.`,
        };
    },
    declaration: ({ path, block, statement }) => unfilled(path, block, statement, () => false),
  },
});
