/** A torque past what a fastener of that thread and class can bear. */
import { clauseNode, torqueTo } from '../../grammar/index.ts';
import {
  isRefusal,
  judgeYield,
  parseThread,
  strengthOf,
  type YieldJudgement,
} from '../calculations/index.ts';
import { convert, formatNumber, formatQuantity, type Quantity } from '../quantities/index.ts';
import { type FastenerDeclaration, fileKind, type Location, locate, type Report } from '../rebuild/index.ts';
import { nothing, rule } from './rule.ts';
import { replaced } from './standing.ts';
import { twoDigits } from './wording.ts';

/** What each torque in N·m does to the fasteners of a group: they are tightened to the same few over and over. */
const judged = new WeakMap<FastenerDeclaration, Map<number, YieldJudgement | undefined>>();

function judgeTorque(newtonMetres: number, declaration: FastenerDeclaration): YieldJudgement | undefined {
  const { thread: written, propertyClass, angle } = declaration;
  if (written === undefined || propertyClass === undefined || angle !== undefined) return undefined;
  const thread = parseThread(written);
  if (isRefusal(thread)) return undefined;
  const strength = strengthOf(propertyClass, thread.diameter);
  return isRefusal(strength) ? undefined : judgeYield(newtonMetres, thread, strength);
}

/**
 * Combined tension and torsion against yield (ISO 898-1), at friction 0.12 and 0.16. Undefined while the fastener
 * bears the torque, its thread or class is not known, or it is tightened by torque and angle.
 */
function judge(torque: Quantity, declaration: FastenerDeclaration, at: Location): Report | undefined {
  const { thread: written, propertyClass } = declaration;
  const newtonMetres = convert(torque.value, torque.unit, 'N·m');
  if (newtonMetres === undefined) return undefined;
  let torques = judged.get(declaration);
  if (torques === undefined) {
    torques = new Map();
    judged.set(declaration, torques);
  }
  if (!torques.has(newtonMetres)) torques.set(newtonMetres, judgeTorque(newtonMetres, declaration));
  const judgement = torques.get(newtonMetres);
  if (judgement === undefined || judgement.verdict === 'bears') return undefined;
  const { lower, upper } = judgement.yieldTorque;
  const write = (value: number) => twoDigits(convert(value, 'N·m', torque.unit) ?? value, torque.unit);
  const past = judgement.verdict === 'past-yield';
  return {
    at,
    severity: past ? 'error' : 'warning',
    message: `${formatQuantity(torque)} ${past ? 'takes' : 'may take'} ${written} class ${propertyClass} past its yield: it begins between about ${write(lower)} (oiled) and ${write(upper)} (dry). This is an estimate, not a torque specification; look at the unit and at the manual.`,
    related: [{ at: declaration.at, message: 'the thread and class stand here' }],
  };
}

/** What a table asks for, at the least: a bench card would be followed before any log is read. */
function ofTable(declaration: FastenerDeclaration, path: string): Report | undefined {
  const node = clauseNode(declaration.statement, 'torque')?.value;
  const { torque } = declaration;
  if (fileKind(path) !== 'limits' || node === undefined || torque === undefined) return undefined;
  const { bare, lower, decimals, unit } = torque;
  if (bare !== undefined) return judge(bare, declaration, locate(path, declaration.block, node));
  if (lower === undefined) return undefined;
  const { value } = lower;
  const quantity = { written: formatNumber(value, decimals), value, decimals, fraction: false, unit };
  return judge(quantity, declaration, locate(path, declaration.block, node));
}

/** Reports torques past the yield of their fastener, recorded ones and those that a table asks for. */
export const exceedsThread = rule({
  id: 'exceeds-thread',
  severity: 'varies',
  title: 'more than the thread can bear',
  subject: 'entry',
  kinds: ['torque'],
  check(entry) {
    const declaration = entry.targets[0]?.declaration;
    const node = torqueTo(entry.statement);
    if (entry.torque === undefined || node === undefined || declaration?.kind !== 'fastener') return nothing;
    const report = judge(entry.torque, declaration, locate(entry.path, entry.block, node));
    return report === undefined ? nothing : [{ ...report, mended: replaced(entry) }];
  },
  also: {
    *declaration(declaration, { path }) {
      const report = declaration.kind === 'fastener' ? ofTable(declaration, path) : undefined;
      if (report !== undefined) yield report;
    },
  },
});
