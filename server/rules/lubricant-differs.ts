/** A thread lubricated in another way than the torque is stated for. */
import { clauseNode, clauseValue } from '../../grammar/index.ts';
import {
  isRefusal,
  type Lubricant,
  lubricantNamed,
  parseThread,
  preloadRatio,
  tighteningGeometry,
} from '../calculations/index.ts';
import { type Entry, type FastenerDeclaration, locate, writeMembers } from '../rebuild/index.ts';
import { rule } from './rule.ts';
import { stands } from './standing.ts';
import { refOf } from './wording.ts';

/** `35 % more`, `20 % less`, to the nearest 5 %: the estimate knows no finer. */
function moreOrLess(ratio: number): string {
  const percent = Math.round((ratio - 1) * 20) * 5;
  return percent === 0 ? 'the same' : `${Math.abs(percent)} % ${percent > 0 ? 'more' : 'less'}`;
}

/** By how much the preload would differ. */
function estimate(stated: Lubricant, used: Lubricant, declaration: FastenerDeclaration): string {
  const thread = declaration.thread === undefined ? undefined : parseThread(declaration.thread);
  const geometry = thread === undefined || isRefusal(thread) ? undefined : tighteningGeometry(thread);
  const { typical, range } = preloadRatio(stated, used, geometry);
  return `At the same torque that is about ${moreOrLess(typical)} preload, anything from ${moreOrLess(range.lower)} to ${moreOrLess(range.upper)}: an estimate, not a torque specification.`;
}

/** Reports, once for each lubricant, fasteners torqued with another than their torque is stated for. */
export const lubricantDiffers = rule({
  id: 'lubricant-differs',
  severity: 'warning',
  title: 'not the lubricant that the torque is stated for',
  subject: 'fastener-group',
  *check({ name, declaration, entries, members }) {
    const wanted = declaration.lubricant;
    if (wanted === undefined) return;
    const stated = lubricantNamed(wanted);
    const found = new Map<string, { entry: Entry; items: Set<string> }>();
    for (const entry of entries) {
      const word = entry.kind === 'torque' ? clauseValue(entry.statement, 'lubricant')?.text : undefined;
      if (word === undefined || word === wanted) continue;
      const used = lubricantNamed(word);
      if (used !== undefined && used.name === stated?.name) continue;
      const one = found.get(word) ?? { entry, items: new Set() };
      for (const target of entry.targets)
        if (target.name === name)
          for (const item of target.items)
            if (members.some((member) => member.item === item && stands(member, entry))) one.items.add(item);
      if (one.items.size > 0) found.set(word, one);
    }
    for (const [word, { entry, items }] of found) {
      const used = lubricantNamed(word);
      const unknown = [stated === undefined ? wanted : '', used === undefined ? word : ''].filter(
        (one) => one !== '',
      );
      const difference =
        stated !== undefined && used !== undefined
          ? estimate(stated, used, declaration)
          : `By how much the preload differs cannot be estimated: the friction of ${unknown.join(' and ')} is not known here.`;
      yield {
        at: locate(entry.path, entry.block, clauseNode(entry.statement, 'lubricant') ?? entry.statement),
        message: `${writeMembers(name, [...items])} was torqued with lubricant \`${word}\`, and the torque is stated for \`${wanted}\`${refOf(declaration)}. ${difference} Do it again as the table asks, or find the manual's torque for \`${word}\`.`,
        related: [{ at: declaration.at, message: 'the lubricant stands here' }],
      };
    }
  },
});
