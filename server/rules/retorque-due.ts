/** A fastener that has run past the hours after which it is torqued again. */
import { clauseNode, hasClause } from '../../grammar/index.ts';
import { convert, formatAmount, formatQuantity } from '../quantities/index.ts';
import {
  type Entry,
  type FastenerDeclaration,
  hoursAtStart,
  hoursRun,
  isUnfilled,
  locate,
  type Rebuild,
  stillWaiting,
  waitingTorque,
  writeMembers,
  writeTarget,
} from '../rebuild/index.ts';
import { lastEntry, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** Members at one torque that wait for a later one. */
interface Waiting {
  readonly declaration: FastenerDeclaration;
  readonly torqued: Entry;
  readonly items: string[];
  /** Hours at that torque: the machine's where they are known, else those run in this log. */
  readonly at: number;
  /** The later torque, begun with a `?` and not filled in yet. */
  readonly begun: Entry | undefined;
}

/** The last line that says `retorque` of a member and leaves the torque open. */
function begunFor({ byKind }: Rebuild, name: string, item: string): Entry | undefined {
  return byKind
    .get('torque')
    ?.findLast(
      (entry) =>
        isUnfilled(entry) &&
        hasClause(entry.statement, 'again') &&
        entry.targets.some((target) => target.name === name && target.items.includes(item)),
    );
}

/** What waits in this log and from the logs before it, member by member, those of one line together. */
function waitingIn(rebuild: Rebuild, hoursAt: (entry: Entry) => number | undefined): readonly Waiting[] {
  const found = new Map<string, Waiting>();
  const add = (
    declaration: FastenerDeclaration,
    item: string,
    torqued: Entry | undefined,
    at: number | undefined,
  ) => {
    if (torqued === undefined || at === undefined) return;
    const begun = begunFor(rebuild, declaration.name, item);
    const key = `${declaration.name} ${torqued.path} ${torqued.index} ${begun?.index}`;
    const same = found.get(key);
    if (same === undefined) found.set(key, { declaration, torqued, items: [item], at, begun });
    else same.items.push(item);
  };
  for (const { declaration, members } of rebuild.fastenerGroups) {
    if (declaration.retorque === undefined) continue;
    for (const member of members) {
      const torqued = waitingTorque(member, hoursAt);
      add(declaration, member.item, torqued, torqued === undefined ? undefined : hoursAt(torqued));
    }
  }
  for (const { name, item, torqued, atHours } of stillWaiting(rebuild)) {
    const declaration = rebuild.scope.fasteners.get(name);
    if (declaration !== undefined) add(declaration, item, torqued, atHours);
  }
  return [...found.values()];
}

/** Reports members whose hours since their first torque have come to the `retorque` interval, and no later pass. */
export const retorqueDue = rule({
  id: 'retorque-due',
  severity: 'warning',
  title: 'due to be torqued again',
  subject: 'rebuild',
  *check(rebuild) {
    const { runs, path, scope, carried } = rebuild;
    if (runs.length === 0 && carried === undefined) return;
    const start = hoursAtStart(rebuild);
    const known = new Map<Entry | undefined, number | undefined>();
    const hoursAt = (entry?: Entry) => {
      if (!known.has(entry)) known.set(entry, hoursRun(rebuild, entry));
      const run = known.get(entry);
      return run === undefined ? undefined : (start ?? 0) + run;
    };
    const now = hoursAt();
    if (now === undefined) return;
    const show = (hours: number) =>
      formatAmount(hours, 'h', Math.max(1, scope.machine?.hours?.decimals ?? 0));
    const below = rebuild.state === 'released' ? undefined : lastEntry(rebuild);
    for (const { declaration, torqued, items, at, begun } of waitingIn(rebuild, hoursAt)) {
      const { retorque, name } = declaration;
      const interval = retorque === undefined ? undefined : convert(retorque.value, retorque.unit, 'h');
      if (retorque === undefined || interval === undefined || now - at < interval - 1e-9) continue;
      const passed = runs.find((run) => (hoursAt(run) ?? 0) - at >= interval - 1e-9);
      const line = passed ?? scope.machine;
      if (line === undefined) continue;
      const since =
        start === undefined
          ? `it has run ${show(now - at)}`
          : `due at ${show(at + interval)}; the machine has ${show(now)}`;
      const target = writeTarget(
        name,
        items.length > 1 && items.length === declaration.space.items.length ? 'all' : items.join(' '),
      );
      const place =
        begun === undefined
          ? { block: line.block, span: line.statement.quantity ?? line.statement }
          : { block: begun.block, span: clauseNode(begun.statement, 'to') ?? begun.statement };
      const recorded =
        begun === undefined ? 'no `retorque` is recorded' : 'what it was torqued to is still to be filled in';
      yield {
        at: locate(path, place.block, place.span),
        message: `${writeMembers(name, items)} is to be torqued again ${formatQuantity(retorque)} after its torque${refOf(declaration)}: ${since} and ${recorded}.`,
        fixes:
          below === undefined || begun !== undefined
            ? []
            : [
                {
                  title: `Add \`torque ${target} to ? retorque\` below, to be filled in`,
                  edits: [lineBelow(below, `torque ${target} to ? retorque`)],
                },
              ],
        related: [
          { at: locate(torqued.path, torqued.block, torqued.statement), message: 'it was torqued here' },
          { at: declaration.at, message: 'the interval stands here' },
        ],
      };
    }
  },
});
