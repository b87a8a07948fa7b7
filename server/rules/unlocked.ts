/** A fastener that is torqued and not locked. */
import { clauseNode } from '../../grammar/index.ts';
import {
  type Entry,
  type FastenerGroup,
  isLocked,
  locate,
  type MemberState,
  targetOfMembers,
  writeMembers,
} from '../rebuild/index.ts';
import { lineAbove, lineBelow } from './insertion.ts';
import { rule } from './rule.ts';
import { refOf } from './wording.ts';

/** The members that lack their lock for one reason, by the line of their last torque. */
interface Lacking {
  readonly torqued: Entry;
  readonly before: Entry | undefined;
  readonly undone: boolean;
  readonly items: string[];
}

function lackingOf({ members }: FastenerGroup, lockIsSealant: boolean): readonly Lacking[] {
  const found: Lacking[] = [];
  for (const member of members) {
    const torqued = member.tightenings.at(-1)?.entry;
    if (torqued === undefined || !member.done || isLocked(member, lockIsSealant)) continue;
    // A later pass over one that was not undone leaves the sealant on its thread as it was.
    if (lockIsSealant && member.loosened === undefined && member.history.every((one) => one.retorque))
      continue;
    const before = member.locked ?? member.lockUndone;
    const same = found.find((one) => one.torqued === torqued && one.before === before);
    if (same !== undefined) same.items.push(member.item);
    else found.push({ torqued, before, undone: member.locked === undefined, items: [member.item] });
  }
  return found;
}

const loosenedOf = (members: readonly MemberState[], items: readonly string[]) =>
  members.find((member) => items.includes(member.item))?.loosened;

/** Reports members of a group with a `lock` that are torqued and not locked, and locks that were undone. */
export const unlocked = rule({
  id: 'unlocked',
  severity: 'by-state',
  title: 'torqued and not locked',
  subject: 'fastener-group',
  *check(group, { scope }) {
    const { name, declaration, members } = group;
    const { lock } = declaration;
    if (lock === undefined) return;
    const sealant = scope.sealants.get(lock);
    for (const { torqued, before, undone, items } of lackingOf(group, sealant !== undefined)) {
      const who = writeMembers(name, items);
      const be = items.length === 1 ? 'is' : 'are';
      const loosened = undone ? loosenedOf(members, items) : undefined;
      const why =
        before === undefined
          ? `${be} torqued and not locked: the table asks for ${lock}${refOf(declaration)}.`
          : undone
            ? `${be} torqued again and not locked again: loosening undid its ${lock}${refOf(declaration)}.`
            : sealant === undefined
              ? `was torqued after its ${lock} was put on, which no longer holds${refOf(declaration)}. Lock it afresh.`
              : `was torqued before its ${lock} was put on, which belongs on the thread first${refOf(declaration)}. Loosen it, put it on and torque it again; if it was put on in time, write that line above this one.`;
      const line = `apply ${lock} to ${targetOfMembers(name, items)}`;
      const first = members.find((member) => items.includes(member.item))?.tightenings[0]?.entry ?? torqued;
      yield {
        at: locate(torqued.path, torqued.block, torqued.targets[0]?.node ?? torqued.statement),
        message: `${who} ${why}`,
        touched: true,
        related: [
          {
            at: locate(
              declaration.path,
              declaration.block,
              clauseNode(declaration.statement, 'lock') ?? declaration.at,
            ),
            message: 'the lock is asked for here',
          },
          ...(before === undefined
            ? []
            : [
                {
                  at: locate(before.path, before.block, before.statement),
                  message: sealant === undefined ? 'it was locked here' : 'it was put on here',
                },
              ]),
          ...(loosened === undefined
            ? []
            : [
                { at: locate(loosened.path, loosened.block, loosened.statement), message: 'and undone here' },
              ]),
        ],
        // A sealant that is already written down elsewhere is not written down twice.
        fixes:
          sealant === undefined
            ? [{ title: `Write \`${line}\` below`, edits: [lineBelow(torqued, line)] }]
            : before === undefined || undone
              ? [{ title: `Write \`${line}\` above`, edits: [lineAbove(first, [line])] }]
              : [],
      };
    }
  },
});
