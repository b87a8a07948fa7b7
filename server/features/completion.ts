/** What may be written at the cursor: by the table of statements, the limits, and what the log still lacks. */
import {
  type ClauseSpec,
  type FixedSpec,
  type StatementSpec,
  statementKinds,
  statementSpec,
  statements,
} from '../../grammar/index.ts';
import { lubricantNames, materialNames, strengthNames } from '../calculations/index.ts';
import {
  convertQuantity,
  formatQuantity,
  formatSpread,
  otherUnit,
  type Quantity,
  quantity,
  unwritten,
} from '../quantities/index.ts';
import {
  acceptedAt,
  type Declaration,
  type FastenerGroup,
  type Instance,
  judgeReading,
  type LimitDeclaration,
  limitPlaces,
  limitSpace,
  listItems,
  notTorqued,
  type Step,
  spaceOf,
  stagesBeforeFinal,
  type ToolDeclaration,
  writeTarget,
} from '../rebuild/index.ts';
import { type CheckedFile, stepAt } from './checked.ts';
import {
  type Cursor,
  cursorAt,
  isInParentheses,
  type OpenPart,
  type Piece,
  type StatementCursor,
} from './cursor.ts';
import { type Idea, type Offer, plain, slot, withoutPlaces } from './offer.ts';
import { aimOf, reaches, tableLines, torqueTemplate } from './templates.ts';
import { subjectName, subjectOf, suitOf, unitsFor, wantedValue } from './wanted.ts';

export interface CompletionWishes {
  /** The day and time, `YYYY-MM-DD HH:MM`. */
  readonly now: string;
  /** The editor fills places in. */
  readonly snippets: boolean;
  /** Paths that a `use` may name, as written from this file. */
  readonly usable: readonly string[];
  /** A blank was typed: only what must come next, so that Enter after a whole line does not add to it. */
  readonly onlyWanted: boolean;
}

/** The paths that a `use` may name, as they are written in the file at `own`: those nearest to it first. */
export function usablePaths(paths: readonly string[], own: string): readonly string[] {
  const from = own.split('/').slice(0, -1);
  return paths
    .filter((path) => path !== own)
    .map((path) => {
      const to = path.split('/');
      let shared = 0;
      while (shared < from.length && shared < to.length - 1 && from[shared] === to[shared]) shared++;
      return [...from.slice(shared).map(() => '..'), ...to.slice(shared)].join('/');
    })
    .sort((a, b) => a.split('/').length - b.split('/').length || (a < b ? -1 : 1));
}

interface Context {
  readonly checked: CheckedFile;
  readonly wishes: CompletionWishes;
  readonly step: Step | undefined;
  /** Entries belong here: below a step, or below a line that was to be one. */
  readonly inStep: boolean;
  /** The day of the step, else today. */
  readonly date: string;
}

/** Everything that may stand at an offset, the likeliest first. */
export function completionsAt(
  checked: CheckedFile,
  offset: number,
  wishes: CompletionWishes,
): readonly Offer[] {
  const cursor = cursorAt(checked.file.text, offset);
  const step = stepAt(checked, offset);
  const context: Context = {
    checked,
    wishes,
    step,
    inStep: step !== undefined || followsEntries(checked, offset),
    date: step?.moment?.date ?? wishes.now.slice(0, 10),
  };
  const { ideas, start } = ideasAt(cursor, context, offset);
  const seen = new Set<string>();
  return ideas
    .map((idea, i): Offer => {
      const { snippet, insert = idea.label, ...rest } = idea;
      const asSnippet = snippet === true && wishes.snippets;
      return {
        ...rest,
        insert: snippet === true && !wishes.snippets ? withoutPlaces(insert) : insert,
        ...(asSnippet ? { snippet: true as const } : {}),
        start,
        end: offset,
        rank: (idea.rank ?? 5) * 10_000 + i,
      };
    })
    .sort((a, b) => a.rank - b.rank)
    .filter(({ label }) => !seen.has(label) && seen.add(label));
}

/** Whether the line is indented as entries are, or stands below one: the step above may be half written. */
function followsEntries({ file, rebuild }: CheckedFile, offset: number): boolean {
  if (rebuild.kind !== 'rebuild') return false;
  const above = file.blocks.findLast(({ start, statement }) => start < offset && statement !== undefined);
  const place = statementSpec(above?.statement?.kind ?? '')?.place;
  if (place === 'closing') return false;
  const line = file.text.slice(file.text.lastIndexOf('\n', offset - 1) + 1, offset);
  return place === 'entry' || /^[ \t]/.test(line);
}

function ideasAt(
  cursor: Cursor,
  context: Context,
  offset: number,
): { readonly ideas: readonly Idea[]; readonly start: number } {
  switch (cursor.kind) {
    case 'nothing':
      return { ideas: [], start: offset };
    case 'keyword':
      return {
        ideas: context.wishes.onlyWanted
          ? []
          : [...statementWords(context), ...wholeLines(context), ...linesByTarget(context)],
        start: cursor.prefix.start,
      };
    case 'row':
      return {
        ideas: cursor.statement === undefined ? [] : headings(cursor.statement, cursor.row, context),
        start: cursor.row.prefix.start,
      };
    case 'statement': {
      const { statement } = cursor;
      // A text that was just closed: what comes next stands behind a blank, and Enter after the quote adds nothing.
      const last = statement.before.at(-1);
      if (last?.kind === 'string' && last.end === offset) return { ideas: [], start: offset };
      if (statement.path !== undefined)
        return { ideas: pathIdeas(statement, context), start: statement.path.start };
      const ideas = statement.open.flatMap((open) => partIdeas(open, statement, context));
      if (statement.quoted) return { ideas: ideas.map(unquoted), start: statement.prefix.start };
      const clauses = statement.clausesAllowed ? clauseIdeas(statement, context) : [];
      const { onlyWanted } = context.wishes;
      const offered = onlyWanted ? clauses.filter(({ rank }) => rank === WANTED) : clauses;
      return { ideas: [...ideas, ...offered], start: statement.prefix.start };
    }
  }
}

/** An offer of words in quotes, where the quote is open already. */
function unquoted(idea: Idea): Idea {
  const text = (idea.insert ?? idea.label).replace(/^"|"$/g, '');
  return { ...idea, label: idea.label.replace(/^"|"$/g, ''), insert: text };
}

// Statements

/** The words that may begin a line here: entries first in a step, declarations first before any. */
function statementWords({ checked, inStep }: Context): readonly Idea[] {
  const { kind, release } = checked.rebuild;
  if (release !== undefined) return [statementIdea(statements.note, 0)];
  const opened = checked.file.blocks.some((block) => block.statement?.kind === openingOf(kind));
  const ideas: Idea[] = [];
  for (const keyword of statementKinds) {
    const spec = statements[keyword];
    const rank = wordRank(spec, kind, inStep, opened);
    if (rank !== undefined) ideas.push(statementIdea(spec, rank));
  }
  return ideas;
}

const openingOf = (kind: string) => (kind === 'rebuild' ? 'log' : kind);

/** What each kind of file mostly holds. */
const usual: Readonly<Record<string, readonly string[]>> = {
  limits: [
    'source',
    'assembly',
    'limit',
    'fastener',
    'part',
    'joint',
    'inspection',
    'stack',
    'tolerance',
    'sealant',
  ],
  bench: ['person', 'tool', 'sealant'],
  rebuild: ['use', 'machine', 'covers', 'person', 'tool'],
};

function wordRank(spec: StatementSpec, file: string, inStep: boolean, opened: boolean): number | undefined {
  switch (spec.place) {
    case 'opening':
      return !opened && spec.keyword === openingOf(file) ? 0 : undefined;
    case 'declaration': {
      const often = usual[file]?.includes(spec.keyword) === true;
      if (inStep) return often ? 6 : 8;
      return often ? 2 : 7;
    }
    case 'step':
      return file === 'rebuild' ? (inStep ? 4 : 1) : undefined;
    case 'entry':
      return file === 'rebuild' && inStep ? 2 : undefined;
    case 'closing':
      return file === 'rebuild' && inStep ? 5 : undefined;
  }
}

function statementIdea(spec: StatementSpec, rank: number): Idea {
  return {
    label: spec.keyword,
    insert: `${spec.keyword} `,
    kind: 'statement',
    detail: spec.about,
    about: { kind: 'statement', name: spec.keyword },
    again: true,
    ...(spec.place === 'step' || spec.place === 'closing' ? { outdent: true as const } : {}),
    rank,
  };
}

/** Lines ready to fill: what is left of each group, a table for each limit with places still to be read. */
function wholeLines(context: Context): readonly Idea[] {
  const { checked, inStep } = context;
  if (!inStep || checked.rebuild.release !== undefined) return [];
  return [
    ...checked.rebuild.fastenerGroups.flatMap((group) => groupIdea(group, context, '')),
    ...tableIdeas(context, ''),
  ];
}

/**
 * The lines that a target's own name begins to spell: who types `bore` where a line begins means to measure it. They
 * come behind everything else, and are looked for by the name alone.
 */
function linesByTarget(context: Context): readonly Idea[] {
  const { rebuild } = context.checked;
  if (!context.inStep || rebuild.release !== undefined) return [];
  const nobody = new Set<string>();
  const out = rebuild.parts.filter(({ members }) =>
    members.some(({ removed, fitted }) => removed !== undefined && fitted === undefined),
  );
  const isOut = (name: string) => out.some((part) => part.name === name);
  const derived = new Set(rebuild.characteristics.filter((one) => one.derived).map(({ name }) => name));
  const byStatement: readonly (readonly [string, readonly Idea[]])[] = [
    ['measure', limitIdeas(context).filter(({ about }) => !derived.has(about?.name ?? ''))],
    ['torque', fastenerIdeas('torque', context, nobody)],
    ['inspect', inspectionIdeas(context)],
    ['fit', partTargets('fit', context).filter(({ label }) => isOut(label))],
    ['remove', partTargets('remove', context).filter(({ label }) => !isOut(label))],
  ];
  return byStatement.flatMap(([keyword, ideas]) =>
    ideas
      .filter(({ kind }) => kind === 'target')
      .map(
        (idea): Idea => ({
          ...idea,
          label: `${keyword} ${idea.label}`,
          insert: `${keyword} ${idea.label} `,
          filter: idea.label,
          again: true,
          rank: 9,
        }),
      ),
  );
}

/** The template of a group; `written` is what stands on the line already. */
function groupIdea(group: FastenerGroup, { checked, step, date }: Context, written: string): readonly Idea[] {
  const { torque } = group.declaration;
  const tool = bestTool([...checked.rebuild.scope.tools.values()], torque, date);
  const template = torqueTemplate(group, step?.tool, tool);
  if (template === undefined) return [];
  return [
    {
      label: template.label.slice(written.length),
      filter: template.label.slice(written.length),
      kind: 'template',
      detail: template.detail,
      insert: template.lines.join('\n').slice(written.length),
      snippet: true,
      about: { kind: 'declared', name: group.name },
      rank: group.touched ? 3 : 4,
    },
  ];
}

function bestTool(
  tools: readonly ToolDeclaration[],
  wanted: Parameters<typeof suitOf>[1],
  date: string,
): ToolDeclaration | undefined {
  return tools.find(
    (tool) => tool.range !== undefined && reachesBoth(tool, wanted) && suitOf(tool, wanted, date).rank === 0,
  );
}

function reachesBoth(tool: ToolDeclaration, wanted: Parameters<typeof suitOf>[1]): boolean {
  return wanted !== undefined && !('written' in wanted) && reaches(tool, wanted);
}

/** Tables for the limits whose places, or members, are still to be read. */
function tableIdeas({ checked }: Context, written: string): readonly Idea[] {
  const ideas: Idea[] = [];
  for (const characteristic of checked.rebuild.characteristics) {
    if (characteristic.derived) continue;
    const { name, instances } = characteristic;
    const unit = unitOf(instances[0]?.declaration);
    if (unit === undefined) continue;
    const add = (target: string, paths: readonly string[], detail: string) =>
      ideas.push({
        label: `measure ${target}: table`.slice(written.length),
        kind: 'template',
        detail,
        insert: tableLines(target, paths, unit).join('\n').slice(written.length),
        snippet: true,
        about: { kind: 'declared', name },
        rank: characteristic.required ? 3 : 4,
      });
    const lacking = instances.filter((instance) => instance.missing.length > 0);
    if (instances.some((instance) => instance.declaration.places.items.length > 0))
      for (const instance of lacking)
        add(
          writeTarget(name, instance.item),
          instance.missing,
          `${instance.missing.length} ${instance.missing.length === 1 ? 'place' : 'places'} still to be read`,
        );
    else if (lacking.length > 1)
      add(
        name,
        lacking.map((instance) => instance.item),
        `${listItems(lacking.map((instance) => instance.item))} still to be read`,
      );
  }
  return ideas;
}

function unitOf(declaration: LimitDeclaration | undefined): string | undefined {
  return (declaration?.limit ?? declaration?.wear)?.unit;
}

// Tables

/** Headings that a row, or a cell of the first row, may still take. */
function headings(
  statement: StatementCursor,
  row: { readonly rows: readonly (readonly string[])[]; readonly column: number },
  { checked }: Context,
): readonly Idea[] {
  const subject = subjectOf(statement, checked.rebuild.scope);
  if (subject?.kind !== 'limit') return [];
  const places = limitPlaces(checked.rebuild.scope, subject.name).items;
  const hasItems = [...statement.before, ...statement.after].some((piece) => piece.text === '[');
  const { items } = limitSpace(checked.rebuild.scope, subject.name);
  const paths =
    places.length === 0
      ? items
      : hasItems
        ? places
        : items.flatMap((item) => places.map((place) => (item === '' ? place : `${item}/${place}`)));
  const isHeader = row.rows.length === 1 && row.column > 0;
  if (!isHeader && row.column > 0) return [];
  const taken = new Set(isHeader ? row.rows[0] : row.rows.slice(0, -1).map((cells) => cells[0] ?? ''));
  const words = paths.map((path) => {
    const slash = path.lastIndexOf('/');
    return isHeader ? path.slice(slash + 1) : path.slice(0, slash < 0 ? path.length : slash);
  });
  return [...new Set(words)]
    .filter((word) => word !== '' && !taken.has(word))
    .map((label): Idea => ({ label, kind: 'place' }));
}

// Members and places

function pathIdeas(statement: StatementCursor, { checked }: Context): readonly Idea[] {
  const { path } = statement;
  const { scope, characteristics, fastenerGroups, parts } = checked.rebuild;
  if (path === undefined) return [];
  const declaration = scope.limits.get(path.of)?.[0] ?? scope.shared.get(path.of);
  if (declaration === undefined) return [];
  const space = declaration.kind === 'limit' ? limitSpace(scope, path.of) : spaceOf(declaration);
  const { segment, beside = [] } = path;
  if (segment !== undefined) {
    const all = path.in === 'place' ? limitPlaces(scope, path.of).items : space.items;
    const words = new Set(all.map((one) => one.split('/')[segment] ?? ''));
    return [...words]
      .filter((word) => word !== '' && !beside.includes(word))
      .map((label): Idea => ({ label, kind: path.in === 'place' ? 'place' : 'member' }));
  }
  const instances = characteristics.find((one) => one.name === path.of)?.instances ?? [];
  const isMeasure = statement.spec.keyword === 'measure';
  if (path.in === 'place') {
    const bracket = statement.before.findLastIndex((piece) => piece.text === '[');
    const item = bracket < 0 ? '' : (statement.before[bracket + 1]?.text ?? '');
    const missing = instances.find((instance) => instance.item === item)?.missing ?? [];
    return limitPlaces(scope, path.of).items.map((place): Idea => {
      const lacks = isMeasure && missing.includes(place);
      return {
        label: place,
        kind: 'place',
        detail: lacks ? 'not read yet' : undefined,
        rank: lacks ? 1 : 3,
      };
    });
  }
  const from = statement.before.findLastIndex((piece) => piece.text === '[');
  const written = new Set(
    statement.before
      .slice(from + 1)
      .map((piece) => piece.text)
      .join(' ')
      .replaceAll(' / ', '/')
      .split(/[\s,]+/),
  );
  const group = fastenerGroups.find((one) => one.name === path.of);
  const part = parts.find((one) => one.name === path.of);
  const order = group?.declaration.order;
  const stateOf = (item: string): { detail: string | undefined; rank: number } => {
    if (declaration.kind === 'limit') {
      const missing = instances.find((instance) => instance.item === item)?.missing ?? [];
      const lacks = isMeasure && missing.length > 0;
      return { detail: lacks ? lackingWords(missing) : undefined, rank: lacks ? 1 : 3 };
    }
    const member = group?.members.find((one) => one.item === item);
    if (member !== undefined)
      return member.done
        ? { detail: 'torqued', rank: statement.spec.keyword === 'loosen' ? 1 : 3 }
        : { detail: 'still due', rank: statement.spec.keyword === 'loosen' ? 3 : 1 };
    const fitted = part?.members.find((one) => one.item === item);
    if (fitted?.removed !== undefined)
      return { detail: 'out', rank: statement.spec.keyword === 'fit' ? 1 : 3 };
    return { detail: fitted?.fitted === undefined ? undefined : 'fitted', rank: 2 };
  };
  const ideas: Idea[] = (order ?? space.items)
    .filter((item) => item !== '' && !written.has(item))
    .map((label): Idea => ({ label, kind: 'member', ...stateOf(label) }));
  if (ideas.length > 1 && statement.before.at(-1)?.text === '[' && statement.spec.place !== 'declaration') {
    ideas.push({
      label: 'all',
      kind: 'member',
      detail: `${space.items.length} of them; no order claimed`,
      rank: 2,
    });
    if (order !== undefined)
      ideas.push({ label: 'ordered', kind: 'member', detail: `in the order ${order.join(' ')}`, rank: 2 });
  }
  return ideas;
}

function lackingWords(missing: readonly string[]): string {
  if (missing[0] === '') return 'not read yet';
  return missing.length > 2 ? `${missing.length} places not read yet` : `lacks ${listItems(missing)}`;
}

// Clauses

/** The rank of a clause without which the line is not whole. */
const WANTED = 2;

/** Clauses that are still allowed, the required ones first, then in the order of the table. */
function clauseIdeas(statement: StatementCursor, context: Context): readonly Idea[] {
  const { spec, used } = statement;
  const { scope } = context.checked.rebuild;
  const subject = subjectOf(statement, scope);
  const isOnce = subject?.kind === 'part' && subject.once;
  const hasValue = statement.before.some((piece) => piece.text === '=');
  const ideas: Idea[] = [];
  for (const clause of spec.clauses) {
    if (used.has(clause.name) && clause.several !== true) continue;
    // Behind a number it would be inches, and cells have nothing to do with a value on the line.
    if (clause.name === 'in' && hasValue) continue;
    const isOne = spec.oneOf?.includes(clause.name) === true && !spec.oneOf.some((name) => used.has(name));
    const wanted =
      (clause.required === true && !used.has(clause.name)) ||
      (isOne && spec.keyword === 'torque' && clause.name === 'to') ||
      (clause.name === 'drag' && subject?.kind === 'fastener' && subject.drag !== undefined) ||
      (clause.name === 'facing' && subject?.kind === 'part' && subject.facing) ||
      (clause.name === 'when' && subject?.kind === 'limit' && subject.conditions.length > 0) ||
      (clause.name === 'angle' && subject?.kind === 'fastener' && subject.angle !== undefined);
    for (const word of clause.words)
      if (
        ![...statement.before, ...statement.after].some(
          (piece) => clause.several === true && piece.text === word,
        )
      )
        ideas.push(clauseIdea(spec, clause, word, wanted || (isOnce && word === 'new') ? WANTED : 4));
  }
  const measured = spec.keyword === 'measure' && !used.has('in') ? subject : undefined;
  if (measured?.kind === 'limit' && !hasValue) {
    const text = context.checked.file.text.slice(
      statement.start,
      statement.before.at(-1)?.end ?? statement.start,
    );
    const target = text.replace(/^measure\s+/, '');
    const found = tableIdeas(context, '').find((idea) => idea.label === `measure ${target}: table`);
    if (found?.insert !== undefined)
      ideas.push({
        ...found,
        label: found.insert.split('\n')[0]?.slice(`measure ${plain(target)} `.length) ?? '',
        insert: found.insert.slice(`measure ${plain(target)} `.length),
        detail: `table: ${found.detail}`,
        rank: WANTED,
      });
  }
  return ideas;
}

function clauseIdea(spec: StatementSpec, clause: ClauseSpec, word: string, rank: number): Idea {
  const bare = clause.value === 'flag' || clause.value === 'word';
  const text = clause.value === 'string' ? `${word} "$1"` : bare ? word : `${word} `;
  return {
    label: word,
    insert: text,
    ...(clause.value === 'string' ? { snippet: true as const } : {}),
    kind: 'clause',
    detail: clause.about,
    about: { kind: 'clause', name: `${spec.keyword} ${clause.name}` },
    ...(bare || clause.value === 'string' ? {} : { again: true as const }),
    rank,
  };
}

// Values

function partIdeas(open: OpenPart, statement: StatementCursor, context: Context): readonly Idea[] {
  const { part, pieces } = open;
  const last = pieces.at(-1);
  const { scope } = context.checked.rebuild;
  if (statement.quoted) return quotedIdeas(open, statement, context);
  if ('after' in part && part.after !== undefined && open.state === 'begin') {
    const equals = statement.before.at(-1)?.text === part.after;
    // A reading lacks its value unless a table follows; a limit may go on in other ways.
    const isWhole = statement.spec.keyword !== 'measure' || statement.used.has('in');
    if (!equals)
      return context.wishes.onlyWanted && isWhole
        ? []
        : [
            {
              label: part.after,
              insert: `${part.after} `,
              kind: 'word',
              detail: part.about,
              again: true,
              rank: 1,
            },
          ];
  }
  if (last?.kind === 'number' || (last?.kind === 'placeholder' && part.value !== 'inspection'))
    return unitIdeas(part, open, statement, context);
  switch (part.value) {
    case 'name':
    case 'names':
    case 'inspection':
    case 'target':
    case 'targets':
    case 'members':
    case 'target-grade':
      return nameIdeas(part, open, statement, context);
    case 'unit':
      return unitIdeas(part, open, statement, context);
    case 'choice':
      return ('choices' in part ? (part.choices ?? []) : []).map((label): Idea => ({ label, kind: 'word' }));
    case 'string':
    case 'strings':
      return quotedIdeas(open, statement, context);
    case 'value':
    case 'quantity':
    case 'quantities':
    case 'spread':
    case 'spreads':
      if (last?.text === '(') return equivalentIdeas(pieces);
      return open.state === 'begin' || last?.text === ',' ? valueIdeas(part, open, statement, context) : [];
    case 'expression':
      return [
        ...[...scope.limits.keys()].map(
          (label): Idea => ({ label, kind: 'target', about: { kind: 'declared', name: label } }),
        ),
        ...['taper', 'out-of-round', 'range', 'mean', 'min', 'max'].map(
          (name): Idea => ({ label: name, insert: `${name}($1)`, snippet: true, kind: 'word' }),
        ),
      ];
    case 'limit-value': {
      if (open.state !== 'begin') return [];
      const end = slot(1, '0.00');
      const shapes = [`${end}..${slot(2, '0.00')}`, `<= ${end}`, `>= ${end}`, `${end} ± ${slot(2, '0.00')}`];
      return shapes.map(
        (shape): Idea => ({
          label: withoutPlaces(`${shape} mm`),
          kind: 'value',
          insert: `${shape} ${slot(3, 'mm')}`,
          snippet: true,
          detail: part.about,
          rank: 3,
        }),
      );
    }
    case 'when':
    case 'until':
      return whenIdeas(part, open, context);
    case 'class':
      return strengthNames().map((label): Idea => ({ label, kind: 'word' }));
    case 'thread':
      return ['M4', 'M5', 'M6', 'M8', 'M10', 'M12', 'M8x1', 'M10x1.25', '1/4-20 UNC', '5/16-24 UNF'].map(
        (label): Idea => ({ label, kind: 'word' }),
      );
    case 'order':
      return open.state === 'begin'
        ? [
            { label: 'cross', kind: 'word', detail: 'opposite across a circle; needs `layout`' },
            { label: 'centre-out', kind: 'word', detail: 'from the middle of rows; needs `layout`' },
            { label: 'any', kind: 'word' },
          ]
        : [];
    case 'layout':
      return last?.text === 'rows'
        ? ['1', '2'].map((label): Idea => ({ label, kind: 'value' }))
        : [
            { label: 'circle', kind: 'word' },
            {
              label: 'rows',
              insert: 'rows ',
              kind: 'word',
              again: true,
              detail: 'how many rows they lie in',
            },
          ];
    case 'grade': {
      const name = subjectName(statement);
      const grades = [...scope.limits.values()]
        .flat()
        .filter((limit) => limit.grade !== undefined && limit.grade.part.name === name)
        .map((limit) => limit.grade?.grade ?? '');
      return [...new Set(grades)].map(
        (label): Idea => ({ label, kind: 'word', detail: `limits are given for this grade of ${name}` }),
      );
    }
    case 'integer': {
      const subject = subjectOf(statement, scope);
      if (subject?.kind !== 'fastener') return [];
      const stages = stagesBeforeFinal(subject);
      return [
        ...stages.map(formatQuantity),
        subject.torque === undefined ? '' : formatSpread(subject.torque),
      ].map((detail, i): Idea => ({ label: String(i + 1), kind: 'value', detail }));
    }
    case 'tolerance':
      return [{ label: '± 5 %', kind: 'value', insert: `± ${slot(1, '5')} %`, snippet: true }];
    case 'adapter':
      return [
        {
          label: '40 mm, 0 °',
          kind: 'value',
          insert: `${slot(1, '40')} mm, ${slot(2, '0')} °`,
          snippet: true,
          detail: 'length and angle',
        },
      ];
    default:
      return [];
  }
}

/** The value before an opened parenthesis in the other system. */
function equivalentIdeas(pieces: readonly Piece[]): readonly Idea[] {
  const own = quantityBefore(pieces);
  const unit = own === undefined ? undefined : otherUnit(own.unit, own.value);
  const other = own === undefined || unit === undefined ? undefined : convertQuantity(own, unit);
  return other === undefined ? [] : [{ label: formatQuantity(other), kind: 'value', detail: 'worked out' }];
}

function unitIdeas(
  part: FixedSpec | ClauseSpec,
  { pieces }: OpenPart,
  statement: StatementCursor,
  { checked, wishes }: Context,
): readonly Idea[] {
  const last = pieces.at(-1);
  const own = isInParentheses(pieces) ? quantityBefore(pieces) : undefined;
  const other = own === undefined ? undefined : otherUnit(own.unit, own.value);
  const fit = unitsFor(part, pieces, statement, checked.rebuild.scope);
  const units = own === undefined ? fit : [...new Set([other, ...fit])].filter((unit) => unit !== own.unit);
  const glued = last !== undefined && last.end === statement.prefix.start && statement.prefix.text === '';
  // After a whole value nothing is wanted any more.
  if (wishes.onlyWanted && last?.kind === 'placeholder') return [];
  return units
    .filter((unit) => unit !== undefined)
    .map(
      (unit, i): Idea => ({
        label: unit,
        insert: glued ? ` ${unit}` : unit,
        kind: 'unit',
        detail:
          i === 0 && own === undefined && (part.name === 'value' || part.name === 'in')
            ? 'the unit of the limit'
            : undefined,
        rank: i === 0 ? 0 : 1,
      }),
    );
}

/** The quantity that stands before the parenthesis of its equivalent. */
function quantityBefore(pieces: readonly Piece[]): Quantity | undefined {
  const at = pieces.findLastIndex(({ text }) => text === '(');
  const [number, unit] = pieces.slice(0, at).slice(-2);
  if (number?.kind !== 'number' || unit?.kind !== 'unit') return undefined;
  return quantity(number.text, unit.text);
}

/** Text in quotes that is worth offering: files of a `use`, the words that a limit allows. */
function quotedIdeas(
  { part }: OpenPart,
  statement: StatementCursor,
  { checked, wishes }: Context,
): readonly Idea[] {
  const { keyword } = statement.spec;
  const quote = (text: string) => `"${text.replace(/["\\]/g, '\\$&')}"`;
  if (keyword === 'use' && part.value === 'string') {
    const used = new Set(checked.rebuild.own.uses.map((use) => use.file));
    const kinds = ['limits', 'bench', 'rebuild'];
    const kindOf = (path: string) => path.slice(path.lastIndexOf('.') + 1);
    const has = new Set([...used].map(kindOf));
    return wishes.usable
      .filter((path) => !used.has(path))
      .map((path): Idea => {
        const kind = kindOf(path);
        // One table and one register is the rule, mostly from the same folder.
        const rank = kinds.indexOf(kind) + (has.has(kind) ? 3 : 0) + (path.includes('/') ? 6 : 0);
        return { label: quote(path), kind: 'file', rank };
      });
  }
  if (keyword === 'measure' && part.value === 'value') {
    const subject = subjectOf(statement, checked.rebuild.scope);
    const words = subject?.kind === 'limit' ? (subject.words ?? []) : [];
    return words.map((word): Idea => ({ label: quote(word), kind: 'value', detail: 'allowed' }));
  }
  if (statement.quoted || part.value !== 'string') return [];
  return [{ label: '"…"', filter: '"', insert: '"$1"', snippet: true, kind: 'value', detail: part.about }];
}

function valueIdeas(
  part: FixedSpec | ClauseSpec,
  open: OpenPart,
  statement: StatementCursor,
  context: Context,
): readonly Idea[] {
  const { checked } = context;
  const { scope, fastenerGroups } = checked.rebuild;
  const subject = subjectOf(statement, scope);
  const numbered = (unit: string, detail: string): Idea => ({
    label: `? ${unit}`,
    insert: `${slot(1, '?')} ${plain(unit)}`,
    snippet: true,
    kind: 'value',
    detail,
    rank: 1,
  });
  if (subject?.kind === 'limit') {
    if (part.name === 'value') {
      const words = quotedIdeas(open, statement, context);
      const spread = subject.limit ?? subject.wear;
      return spread === undefined || unwritten(spread.unit) === '?'
        ? words
        : [numbered(spread.unit, `limit ${formatSpread(spread)}`)];
    }
    if (part.name === 'when' && open.state === 'begin' && subject.conditions.length > 0) {
      const text = subject.conditions
        .map((condition) => subject.block.text.slice(condition.start, condition.end))
        .join(', ');
      return [{ label: text, kind: 'value', detail: 'as the limit states it', rank: 0 }];
    }
  }
  if (subject?.kind === 'fastener') {
    const { torque } = subject;
    if (part.name === 'to' && torque !== undefined) {
      const group = fastenerGroups.find((one) => one.name === subject.name);
      const reached = Math.max(
        0,
        ...(group?.passes.filter((pass) => pass.complete && !pass.undone).map((pass) => pass.stage) ?? []),
      );
      const stages = stagesBeforeFinal(subject);
      const all = [...stages.map(formatQuantity), aimOf(torque)].filter((text) => text !== undefined);
      return all.map(
        (label, i): Idea => ({
          label,
          kind: 'value',
          detail: i === all.length - 1 ? `final: ${formatSpread(torque)}` : `stage ${i + 1} of ${all.length}`,
          rank: i === Math.min(reached, all.length - 1) ? 0 : 1,
        }),
      );
    }
    if (part.name === 'angle' && subject.angle !== undefined) {
      const aim = aimOf(subject.angle);
      return aim === undefined
        ? []
        : [{ label: aim, kind: 'value', detail: formatSpread(subject.angle), rank: 0 }];
    }
    if (part.name === 'drag' && subject.drag !== undefined)
      return [numbered(subject.drag.unit, `wanted ${formatSpread(subject.drag)}`)];
  }
  const unit = unitsFor(part, open.pieces, statement, scope)[0];
  const known = part.value === 'quantity' && unit !== undefined;
  return known ? [numbered(unit, part.about)] : [];
}

function whenIdeas(part: FixedSpec | ClauseSpec, open: OpenPart, { wishes, step }: Context): readonly Idea[] {
  const [day = '', time = ''] = wishes.now.split(' ');
  if (open.state === 'inside')
    return wishes.onlyWanted ? [] : [{ label: time, kind: 'value', detail: 'now', rank: 3 }];
  if (part.name === 'at' && step !== undefined) {
    const own = step.moment?.date;
    return own === day
      ? [{ label: time, kind: 'value', detail: 'now', rank: 0 }]
      : [{ label: `${day} ${time}`, kind: 'value', detail: 'now', rank: 0 }];
  }
  if (part.value === 'until')
    return [
      {
        label: '? h',
        insert: `${slot(1, '?')} h`,
        snippet: true,
        kind: 'value',
        detail: 'machine hours, or a date',
      },
    ];
  const dated: Idea = { label: day, kind: 'value', detail: 'today', rank: 1 };
  return part.name === 'when'
    ? [{ label: `${day} ${time}`, kind: 'value', detail: 'now', rank: 0 }, dated]
    : [dated];
}

// Names

function nameIdeas(
  part: FixedSpec | ClauseSpec,
  open: OpenPart,
  statement: StatementCursor,
  context: Context,
): readonly Idea[] {
  const { checked, date } = context;
  const { scope } = checked.rebuild;
  const written = new Set(open.pieces.map((piece) => piece.text));
  // Names in a list need no comma, so a blank after one says nothing of another.
  if (context.wishes.onlyWanted && open.state === 'inside' && open.pieces.at(-1)?.text !== ',') return [];
  const about = (name: string) => ({ kind: 'declared', name }) as const;
  const { keyword } = statement.spec;
  switch (part.refers) {
    case 'tool': {
      const wanted = wantedValue(statement, scope);
      return [...scope.tools.values()].map((tool): Idea => {
        const { rank, words } = suitOf(tool, wanted, date);
        return {
          label: tool.name,
          kind: 'tool',
          detail: words,
          about: { kind: 'tool', name: tool.name },
          rank,
        };
      });
    }
    case 'person': {
      const wantsInspector =
        keyword === 'accept' ||
        keyword === 'release' ||
        inspectionOf(statement, context)?.needs === 'inspector';
      return [...scope.people.values()]
        .filter((person) => !written.has(person.name))
        .map(
          (person): Idea => ({
            label: person.name,
            kind: 'person',
            detail: [person.text, person.builder ? 'builder' : '', person.inspector ? 'inspector' : '']
              .filter((word) => word !== '')
              .join(' · '),
            about: { kind: 'person', name: person.name },
            rank: (wantsInspector ? person.inspector : person.builder) ? 1 : 3,
          }),
        );
    }
    case 'sealant':
      return sealantIdeas(context);
    case 'applied': {
      const locks = [...scope.fasteners.values()]
        .map((fastener) => fastener.lock)
        .filter((lock) => lock !== undefined);
      const words = keyword === 'fastener' ? ['cotter', 'wire', 'tab'] : [...locks, 'stripe'];
      return [
        ...sealantIdeas(context),
        ...[...new Set(words)].map(
          (label): Idea => ({
            label,
            kind: 'word',
            detail: label === 'stripe' ? 'the witness mark across a fastener' : 'a lock',
            rank: 2,
          }),
        ),
      ];
    }
    case 'assembly':
      return [...scope.assemblies.values()]
        .filter((assembly) => !written.has(assembly.name))
        .map(
          (assembly): Idea => ({
            label: assembly.name,
            kind: 'target',
            detail: assembly.text,
            about: about(assembly.name),
          }),
        );
    case 'inspection':
      return inspectionIdeas(context);
    case 'open-item':
      if (keyword === 'open') return [];
      return checked.rebuild.openItems
        .filter((item) => item.closed === undefined)
        .map(
          (item): Idea => ({ label: item.name, kind: 'target', detail: item.opened.statement.text?.text }),
        );
    case 'limit':
      return limitIdeas(context);
    case 'fastener':
      return fastenerIdeas(keyword, context, written);
    case 'part':
      return partTargets(keyword, context);
    case 'declared':
      return keyword === 'apply'
        ? sealedBy(statement.before[1]?.text ?? '', context).filter(({ label }) => !written.has(label))
        : declaredIdeas(keyword, context);
    case 'new':
      return [];
    default:
      break;
  }
  if (part.name === 'material') return materialNames().map((label): Idea => ({ label, kind: 'word' }));
  if (part.name === 'lubricant') {
    const subject = subjectOf(statement, scope);
    const stated = subject?.kind === 'fastener' ? subject.lubricant : undefined;
    return [...new Set([stated, ...lubricantNames()])]
      .filter((name) => name !== undefined)
      .map(
        (label): Idea => ({
          label,
          kind: 'word',
          detail: label === stated ? 'the torque is stated for it' : undefined,
          rank: label === stated ? 0 : 2,
        }),
      );
  }
  return [];
}

function inspectionOf(statement: StatementCursor, { checked }: Context) {
  const name = statement.spec.keyword === 'inspect' ? statement.before[1]?.text : undefined;
  return name === undefined ? undefined : checked.rebuild.scope.inspections.get(name);
}

function inspectionIdeas({ checked }: Context): readonly Idea[] {
  const done = new Set(
    checked.rebuild.entries
      .filter((entry) => entry.kind === 'inspect')
      .map((entry) => entry.statement.subject?.text),
  );
  return [...checked.rebuild.scope.inspections.values()].map(
    ({ name, text, needs }): Idea => ({
      label: name,
      kind: 'target',
      detail: `${text}${needs === 'inspector' ? ' · by an inspector' : ''}${done.has(name) ? ' · done' : ''}`,
      about: { kind: 'declared', name },
      rank: done.has(name) ? 3 : 1,
    }),
  );
}

function sealantIdeas({ checked, date }: Context): readonly Idea[] {
  return [...checked.rebuild.scope.sealants.values()].map((sealant): Idea => {
    const past = sealant.due !== undefined && sealant.due < date;
    return {
      label: sealant.name,
      kind: 'sealant',
      detail: `${sealant.text}${past ? ` · past its date ${sealant.due}` : ''}`,
      about: { kind: 'sealant', name: sealant.name },
      rank: past ? 3 : 1,
    };
  });
}

/** More members than this are not listed one by one. */
const MOST_MEMBERS = 8;

/** Limits with what they still lack first: each member by itself where there are few. */
function limitIdeas(context: Context): readonly Idea[] {
  const ideas: Idea[] = [];
  for (const { name, instances, derived, required } of context.checked.rebuild.characteristics) {
    const about = { kind: 'declared', name } as const;
    const lacking = instances.filter((instance) => instance.missing.length > 0);
    if (derived)
      ideas.push({ label: name, kind: 'target', detail: 'worked out from others', about, rank: 4 });
    else if (lacking.length === 0)
      ideas.push({ label: name, kind: 'target', detail: 'all read', about, rank: 3 });
    else {
      const rank = required ? 1 : 2;
      for (const instance of lacking.length > MOST_MEMBERS || instances.length === 1 ? [] : lacking)
        ideas.push({
          label: writeTarget(name, instance.item),
          kind: 'target',
          detail: instanceWords(instance),
          about,
          rank,
        });
      if (instances.length === 1)
        ideas.push({
          label: name,
          kind: 'target',
          detail: instanceWords(instances[0] as Instance),
          about,
          rank,
        });
      else
        ideas.push({
          label: name,
          kind: 'target',
          detail: `${lacking.length} of ${instances.length} lack readings`,
          about,
          rank: lacking.length > MOST_MEMBERS ? rank : 3,
        });
    }
  }
  return [...ideas, ...tableIdeas(context, 'measure ')];
}

function instanceWords({ missing, declaration }: Instance): string {
  const spread = declaration.limit ?? declaration.wear;
  return [lackingWords(missing), spread === undefined ? undefined : formatSpread(spread)]
    .filter((word) => word !== undefined)
    .join(' · ');
}

/** `7`, `1..6`, else how many: there is little room beside an item. */
function shortList(items: readonly string[]): string {
  const list = listItems(items);
  return list.length > 16 ? String(items.length) : list;
}

function fastenerIdeas(keyword: string, context: Context, written: ReadonlySet<string>): readonly Idea[] {
  const { rebuild } = context.checked;
  if (rebuild.kind !== 'rebuild')
    return [...rebuild.scope.fasteners.keys()]
      .filter((name) => !written.has(name))
      .map((label): Idea => ({ label, kind: 'target', about: { kind: 'declared', name: label } }));
  const ideas: Idea[] = rebuild.fastenerGroups
    .filter((group) => !written.has(group.name))
    .map((group): Idea => {
      const due = notTorqued(group).map((member) => member.item);
      const { torque } = group.declaration;
      const isDue = due.length > 0;
      return {
        label: group.name,
        kind: 'target',
        detail: [
          isDue ? (due[0] === '' ? 'due' : `${shortList(due)} due`) : 'all torqued',
          torque === undefined ? undefined : formatSpread(torque),
        ]
          .filter((word) => word !== undefined)
          .join(' · '),
        about: { kind: 'declared', name: group.name },
        rank: (keyword === 'loosen') === isDue ? 3 : group.touched ? 1 : 2,
      };
    });
  if (keyword !== 'torque') return ideas;
  return [...ideas, ...rebuild.fastenerGroups.flatMap((group) => groupIdea(group, context, 'torque '))];
}

function partTargets(keyword: string, { checked }: Context): readonly Idea[] {
  const { parts, scope } = checked.rebuild;
  if (parts.length === 0)
    return [...scope.parts.values()].map(
      (part): Idea => ({
        label: part.name,
        kind: 'target',
        detail: part.text,
        about: { kind: 'declared', name: part.name },
      }),
    );
  return parts.map((part): Idea => {
    const out = part.members.filter((member) => member.removed !== undefined && member.fitted === undefined);
    const isOut = out.length > 0;
    const items = out.map((member) => member.item).filter((item) => item !== '');
    return {
      label: part.name,
      kind: 'target',
      detail: [
        part.declaration.text,
        isOut ? `${items.length > 0 ? `${listItems(items)} ` : ''}out` : undefined,
      ]
        .filter((word) => word !== undefined)
        .join(' · '),
      about: { kind: 'declared', name: part.name },
      rank: isOut === (keyword === 'fit') ? 1 : 3,
    };
  });
}

/** What a sealant, a lock or the witness mark is put on: what it is declared for first. */
function sealedBy(applied: string, { checked }: Context): readonly Idea[] {
  const { scope } = checked.rebuild;
  const rankOf = (one: Declaration): number | undefined => {
    if (one.kind === 'joint')
      return one.sealant === applied ? 1 : scope.sealants.has(applied) ? 2 : undefined;
    if (one.kind === 'fastener') return one.lock === applied || applied === 'stripe' ? 1 : 3;
    return one.kind === 'part' && scope.sealants.has(applied) ? 4 : undefined;
  };
  return [...scope.shared.values()].flatMap((one): Idea[] => {
    const rank = rankOf(one);
    if (rank === undefined) return [];
    const { name } = one;
    const detail = 'text' in one && one.text !== undefined ? one.text : one.kind;
    return [{ label: name, kind: 'target', detail, about: { kind: 'declared', name }, rank }];
  });
}

/** Anything declared that the statement may speak of; for `accept` what is past its limit first. */
function declaredIdeas(keyword: string, { checked }: Context): readonly Idea[] {
  const { scope, characteristics } = checked.rebuild;
  const ideas: Idea[] = [];
  if (keyword === 'accept')
    for (const { name, instances } of characteristics)
      for (const instance of instances) {
        const isPast = instance.standing.some(
          (reading) =>
            acceptedAt(instance, reading.place) === undefined &&
            judgeReading(reading, instance.declaration, instance.fittedNew !== undefined)?.judgement
              .verdict === 'outside',
        );
        if (isPast)
          ideas.push({
            label: writeTarget(name, instance.item),
            kind: 'target',
            detail: 'past its limit',
            about: { kind: 'declared', name },
            rank: 0,
          });
      }
  for (const declaration of scope.shared.values()) {
    // A reading rests on things that are fitted or closed.
    const isThing = declaration.kind !== 'limit' && declaration.kind !== 'inspection';
    const isJudged = !isThing || declaration.kind === 'fastener' || declaration.kind === 'part';
    if (keyword === 'accept' ? !isJudged : !isThing) continue;
    ideas.push({
      label: declaration.name,
      kind: 'target',
      detail: 'text' in declaration && declaration.text !== undefined ? declaration.text : declaration.kind,
      about: { kind: 'declared', name: declaration.name },
      rank: 3,
    });
  }
  return ideas;
}
