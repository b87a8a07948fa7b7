/** A joint closed, or a part fitted, before what had to be done first. */
import { clauseValue } from '../../grammar/index.ts';
import {
  type Entry,
  type JointDeclaration,
  type Lacking,
  locate,
  type Prerequisite,
  type Report,
  type Scope,
  writeMembers,
} from '../rebuild/index.ts';
import { lineAbove } from './insertion.ts';
import { rule } from './rule.ts';
import { andList, refOf } from './wording.ts';

const DONE = { limit: 'measured', inspection: 'inspected', fastener: 'torqued' } as const;
const DO = { limit: 'measure', inspection: 'inspect', fastener: 'torque' } as const;

/** Reports closings that stand, before which something was to be measured, inspected, torqued or sealed and was not. */
export const closedUninspected = rule({
  id: 'closed-uninspected',
  severity: 'error',
  title: 'closed before what had to be done first',
  subject: 'prerequisite',
  *check({ declaration, lacking }, { scope }) {
    const before = declaration.before === undefined ? undefined : scope.shared.get(declaration.before.name);
    for (const one of lacking) yield report(declaration, before?.kind, one);
  },
  also: {
    *joint({ name, declaration, closed, sealed, openings }, { scope }) {
      const { sealant } = declaration;
      if (closed === undefined || sealant === undefined) return;
      if (sealed !== undefined) {
        yield* sealedWithAnother(declaration, sealed, scope);
        return;
      }
      const opened = openings.at(-1);
      const known = scope.sealants.get(sealant);
      const { path, block, statement, targets } = closed;
      yield {
        at: locate(path, block, targets[0]?.node ?? statement),
        message: `${name} was closed without ${known === undefined ? sealant : `${sealant} (${known.text})`}${opened === undefined ? '' : ', which it needs afresh since it was opened'}. Open it, clean both faces and seal it; if that was done, write \`apply ${sealant} to ${name}\` above this line.`,
        related: [
          ...(opened === undefined
            ? []
            : [{ at: locate(opened.path, opened.block, opened.statement), message: 'it was opened here' }]),
          { at: declaration.at, message: 'its sealant stands here' },
        ],
      };
    },
  },
});

/** A joint that is closed with a sealant that is not the one of its table. */
function* sealedWithAnother(
  { name, sealant, at }: JointDeclaration,
  sealed: Entry,
  scope: Scope,
): Iterable<Report> {
  const used = sealed.statement.name;
  const other = used === undefined ? undefined : scope.sealants.get(used.text);
  if (used === undefined || other === undefined || sealant === undefined || used.text === sealant) return;
  const wanted = scope.sealants.get(sealant);
  yield {
    at: locate(sealed.path, sealed.block, used),
    message: `${name} was closed with ${other.name} (${other.text}), and its limits ask for ${wanted === undefined ? sealant : `${sealant} (${wanted.text})`}. Open it, clean both faces and seal it with that.`,
    related: [{ at, message: 'its sealant stands here' }],
  };
}

function report(
  declaration: Prerequisite['declaration'],
  before: string | undefined,
  { closing, name, items, wanted, how, because }: Lacking,
): Report {
  const { path, block, statement, targets } = closing;
  const isPart = before === 'part';
  const one = items.length === 1;
  const who = writeMembers(name, items);
  const closed = isPart
    ? one
      ? 'was fitted'
      : 'were fitted'
    : before === 'joint'
      ? 'was closed'
      : 'was begun';
  const undo = isPart
    ? `Take ${one ? 'it' : 'them'} out`
    : before === 'joint'
      ? 'Open it'
      : 'Go back that far';
  const { kind } = declaration;
  const things = andList(wanted.length > 4 ? [...wanted.slice(0, 3), `${wanted.length - 3} more`] : wanted);
  const were = wanted.length === 1 ? 'was' : 'were';
  const text = kind === 'inspection' ? `: "${declaration.text}"` : '';
  const what = {
    never: `${who} ${closed} before ${things} ${were} ${DONE[kind]}`,
    later: `${who} ${closed} before ${things} ${were} ${DONE[kind]}, which was done only afterwards`,
    again: `${who} ${closed} before ${things} ${were} ${DONE[kind]} again`,
    failed: `${who} ${closed} although ${things} had failed`,
  }[how];
  const remedy =
    how === 'failed'
      ? `${undo}, put it right and ${DO[kind]} again.`
      : `${undo} and ${DO[kind]}; if it was done in time, write it above this line.`;
  const lines =
    kind === 'inspection'
      ? wanted.map((target) => `inspect ${target} ?`)
      : kind === 'limit' && declaration.expression === undefined
        ? wanted.map((target) => `measure ${target} = ?`)
        : [];
  return {
    at: locate(
      path,
      block,
      targets.find((target) => target.name === name)?.node ?? targets[0]?.node ?? statement,
    ),
    message: `${what}${refOf(declaration)}${text}. ${remedy}`,
    related: [
      ...(because === undefined
        ? []
        : [
            {
              at: locate(because.path, because.block, because.statement),
              message:
                how === 'later'
                  ? 'it was done here'
                  : how === 'failed'
                    ? `it failed here${reason(because)}`
                    : 'since this it was due again',
            },
          ]),
      { at: declaration.at, message: 'it is asked for here' },
    ],
    fixes:
      (how === 'never' || how === 'again') && lines.length > 0
        ? [
            {
              title: `Add ${lines.length === 1 ? `\`${lines[0]}\`` : `${lines.length} lines`} above, to be filled in`,
              edits: [lineAbove(closing, lines)],
            },
          ]
        : [],
  };
}

function reason(entry: Lacking['closing']): string {
  const because = clauseValue(entry.statement, 'because')?.text;
  return because === undefined ? '' : `: ${because}`;
}
