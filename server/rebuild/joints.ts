/** Joints: when each was sealed, closed and opened again. */
import { hasClause } from '../../grammar/index.ts';
import type { FastenerDeclaration, JointDeclaration } from './declarations.ts';
import { type Entry, fitCondition } from './entries.ts';
import { isUnfilled } from './fasteners.ts';

export interface JointHistory {
  readonly subject: 'joint';
  readonly name: string;
  readonly declaration: JointDeclaration;
  /** The line that closed it, while it is closed. A joint that the log does not speak of has none. */
  readonly closed: Entry | undefined;
  /** Every line that opened it, in the order of the log. */
  readonly openings: readonly Entry[];
  /** The sealant put on since it was last opened, and before it was closed; the one that the table names before others. */
  readonly sealed: Entry | undefined;
  readonly inputs: readonly unknown[];
}

/**
 * Builds a joint's history from the entries on its fasteners and the sealings of the joint itself, in the order of
 * the log. It is closed by the first of its fasteners that is run down or torqued (a `retorque` closes nothing), and
 * opened when none of them is tight any more: one bolt that is slackened and done again opens nothing. Sealant put
 * on a joint that was closed says that it was opened. A joint without fasteners is closed by its sealant.
 */
export function buildJoint(
  declaration: JointDeclaration,
  groups: readonly FastenerDeclaration[],
  entries: readonly Entry[],
  inputs: readonly unknown[],
): JointHistory {
  const { name } = declaration;
  const members = new Map(groups.map((group) => [group.name, group.space.items]));
  // As it came in, every fastener is taken to be tight.
  const tight = new Set(groups.flatMap((group) => group.space.items.map((item) => `${group.name} ${item}`)));
  let state: 'as-found' | 'open' | 'closed' = 'as-found';
  let closed: Entry | undefined;
  let sealed: Entry | undefined;
  const openings: Entry[] = [];
  const open = (entry: Entry) => {
    if (state !== 'open') openings.push(entry);
    state = 'open';
    closed = undefined;
    sealed = undefined;
    tight.clear();
  };
  const isNamed = ({ statement }: Entry) => statement.name?.text === declaration.sealant;
  for (const entry of entries) {
    if (entry.kind === 'apply') {
      if (!entry.targets.some((target) => target.name === name)) continue;
      // As it came in, it may have been opened anywhere above, and what was seen of it open still stands.
      if (state === 'closed') open(entry);
      state = 'open';
      tight.clear();
      if (sealed === undefined || isNamed(entry) || !isNamed(sealed)) sealed = entry;
      if (members.size === 0) {
        state = 'closed';
        closed = entry;
      }
      continue;
    }
    const named = entry.targets
      .filter((target) => members.has(target.name))
      .flatMap((target) => target.items.map((item) => `${target.name} ${item}`));
    if (named.length === 0) continue;
    switch (entry.kind) {
      case 'torque':
      case 'finger-tight':
        if (isUnfilled(entry) || hasClause(entry.statement, 'again')) break;
        if (state === 'as-found') tight.clear();
        if (state !== 'closed') closed = entry;
        state = 'closed';
        for (const member of named) tight.add(member);
        break;
      case 'loosen':
      case 'remove':
      case 'fit': {
        if (entry.kind === 'fit' && fitCondition(entry) !== 'new') break;
        const before = tight.size;
        for (const member of named) tight.delete(member);
        if (tight.size === 0 && before > 0) open(entry);
        break;
      }
      default:
        break;
    }
  }
  return { subject: 'joint', name, declaration, closed, openings, sealed, inputs };
}
