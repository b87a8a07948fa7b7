/** Stacks of parts that went together in another order, or with one left out. */
import {
  itemsMatch,
  type Location,
  locate,
  type PartMember,
  type Rebuild,
  type Report,
  type StackDeclaration,
  writeMembers,
  writeTarget,
} from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { andList } from './wording.ts';

/** A member of a part in its place in the stack. */
interface Layer {
  readonly rank: number;
  readonly name: string;
  readonly member: PartMember;
}

/** Reports, for each stack, the first part that went in too early, and parts that were left out. */
export const stackOrder = rule({
  id: 'stack-order',
  severity: 'error',
  title: 'stacked in another order',
  subject: 'rebuild',
  *check(rebuild) {
    for (const stack of rebuild.scope.stacks.values()) {
      const layers = layersOf(stack, rebuild);
      // What is fitted, in the order of the log.
      const fitted = layers
        .filter(({ member }) => member.fitted !== undefined)
        .sort((a, b) => (a.member.fitted?.index ?? 0) - (b.member.fitted?.index ?? 0));
      if (fitted.length === 0) continue;
      yield* outOfOrder(stack, fitted);
      yield* leftOut(stack, layers, fitted, rebuild.state === 'released');
    }
  },
});

function layersOf(stack: StackDeclaration, { parts }: Rebuild): readonly Layer[] {
  return stack.members.flatMap(({ name, items }, rank) =>
    (parts.find((part) => part.name === name)?.members ?? [])
      .filter(
        ({ item }) => items === undefined || items.some((one) => one === item || item.startsWith(`${one}/`)),
      )
      .map((member) => ({ rank, name, member })),
  );
}

/** Two layers of the same stack: where the parts have members, only those of one member lie on each other. */
function together(a: Layer, b: Layer): boolean {
  return itemsMatch(a.member.item, b.member.item);
}

function write({ name, member }: Layer): string {
  return writeTarget(name, member.item);
}

function placeOf({ name, member }: Layer): Location | undefined {
  const { fitted } = member;
  if (fitted === undefined) return undefined;
  const target = fitted.targets.find((one) => one.name === name)?.node ?? fitted.statement;
  return locate(fitted.path, fitted.block, target);
}

function orderOf({ name, members }: StackDeclaration): string {
  return `${name} goes together as ${members.map(({ name: part, items }) => (items === undefined ? part : writeMembers(part, items))).join(', ')}`;
}

function* outOfOrder(stack: StackDeclaration, fitted: readonly Layer[]): Iterable<Report> {
  for (const [i, early] of fitted.entries()) {
    const later = fitted.slice(i + 1).find((one) => one.rank < early.rank && together(one, early));
    const at = placeOf(early);
    const under = later === undefined ? undefined : placeOf(later);
    if (later === undefined || at === undefined || under === undefined) continue;
    yield {
      at,
      message: `${write(early)} went in before ${write(later)}, which lies under it: ${orderOf(stack)}. Take it apart as far as there and build it up again.`,
      related: [
        { at: under, message: `${write(later)} went in here` },
        { at: stack.at, message: 'the order stands here' },
      ],
    };
    return;
  }
}

function* leftOut(
  stack: StackDeclaration,
  layers: readonly Layer[],
  fitted: readonly Layer[],
  released: boolean,
): Iterable<Report> {
  const gaps = new Map<Layer, string[]>();
  for (const layer of layers) {
    const { state } = layer.member;
    if (state === 'in') continue;
    const over = fitted.find((one) => one.rank > layer.rank && together(one, layer));
    const under = fitted.find((one) => one.rank < layer.rank && together(one, layer));
    // What lies under the lowest part that was touched has stayed in, unless the log took it out.
    if (state === 'not-mentioned' && under === undefined) continue;
    // Nothing is on top yet: the stack is still being built, and what came out is told by the rule not-refitted.
    const last = fitted.findLast((one) => together(one, layer));
    const at = over ?? (released && state === 'not-mentioned' ? last : undefined);
    if (at === undefined) continue;
    const names = gaps.get(at);
    if (names === undefined) gaps.set(at, [write(layer)]);
    else names.push(write(layer));
  }
  for (const [layer, names] of gaps) {
    const at = placeOf(layer);
    if (at === undefined) continue;
    yield {
      at,
      message: `${write(layer)} went in without ${andList(names)}: ${orderOf(stack)}.`,
      related: [{ at: stack.at, message: 'the order stands here' }],
    };
  }
}
