/** A comparison as plain text for a terminal, and as Markdown for a pull request. */
import type { ComparedLog, CompareSection, Comparison, Difference, Effect } from './compare.ts';
import { counted } from './counted.ts';

export const compareTitles: Readonly<Record<CompareSection, string>> = {
  log: 'The log',
  limits: 'Limits that changed',
  readings: 'Readings',
  torques: 'Torques',
  parts: 'Parts',
  inspections: 'Inspections',
  concessions: 'Concessions',
  'open items': 'Open items',
  findings: 'Findings',
};

export const compareCaution =
  "The maker's current manual and the local rules come first; licensed people decide what the law says they decide. This compares what two logs say, not two machines.";

export const effectTitles: Readonly<Record<Effect, string>> = {
  worse: 'For the worse',
  changed: 'Changed: look at it',
  better: 'For the better',
};

/** What a subject is, where its name alone does not say so. */
const kinds: Readonly<Record<CompareSection, string>> = {
  log: '',
  limits: 'limit ',
  readings: '',
  torques: '',
  parts: 'part ',
  inspections: 'inspection ',
  concessions: 'concession ',
  'open items': 'open item ',
  findings: 'finding ',
};

export interface ComparedGroup {
  readonly title: string;
  /** Undefined for what has none. */
  readonly effect: Effect | undefined;
  readonly rows: readonly { readonly name: string; readonly difference: Difference }[];
}

/** What matters first, the worst of it first; then the rest by section. Each difference is told once. */
export function groupsOf({ differences }: Comparison): readonly ComparedGroup[] {
  const mattering = (Object.keys(effectTitles) as Effect[]).map((effect): ComparedGroup => {
    const own = differences.filter((one) => one.effect === effect);
    // Readings by how much of the allowance is gone; the others stay in their order.
    const ordered = own.toSorted((a, b) => (b.usedNew ?? -1) - (a.usedNew ?? -1));
    return {
      title: effectTitles[effect],
      effect,
      rows: ordered.map((difference) => ({
        name: `${kinds[difference.section]}${difference.subject}`,
        difference,
      })),
    };
  });
  const rest = (Object.keys(compareTitles) as CompareSection[]).map(
    (section): ComparedGroup => ({
      title: compareTitles[section],
      effect: undefined,
      rows: differences
        .filter((one) => one.section === section && one.effect === null)
        .map((difference) => ({ name: difference.subject, difference })),
    }),
  );
  return [...mattering, ...rest].filter(({ rows }) => rows.length > 0);
}

/** `12 differences: 3 for the worse, 1 to look at, 2 for the better.` */
export function compareSummary({ differences }: Comparison): string {
  if (differences.length === 0) return 'No difference in what the two logs record.';
  const many = (effect: Effect) => differences.filter((one) => one.effect === effect).length;
  const words: readonly (readonly [Effect, string])[] = [
    ['worse', 'for the worse'],
    ['changed', 'to look at'],
    ['better', 'for the better'],
  ];
  const weights = words
    .filter(([effect]) => many(effect) > 0)
    .map(([effect, told]) => `${many(effect)} ${told}`);
  const count = differences.length === 1 ? '1 difference' : `${differences.length} differences`;
  return weights.length === 0
    ? `${count}: none changes a verdict or leaves something undone.`
    : `${count}: ${weights.join(', ')}.`;
}

/** One line on a log: title, machine, hours, dates, state. */
export function logLine(log: ComparedLog): string {
  const days = log.from === null ? '' : log.from === log.to ? log.from : `${log.from} to ${log.to}`;
  const counts = `${counted(log.errors, 'error')}, ${counted(log.warnings, 'warning')}`;
  return [log.title, log.machine, log.hours, days, log.state, counts]
    .filter((part) => part !== null && part !== '')
    .join(' · ');
}

/** What a difference says besides its two sides. */
export function remarksOf(one: Difference): readonly string[] {
  const { usedOld, usedNew } = one;
  const used =
    usedNew === null || usedOld === usedNew
      ? ''
      : usedOld === null
        ? `${usedNew} % of the wear allowance used`
        : `wear allowance used: ${usedOld} %, now ${usedNew} %`;
  return [one.change ?? '', used, one.verdict ?? ''].filter((part) => part !== '');
}

/** What a difference in the findings is: a new one, one that is gone, or one with other words. */
export function findingTurn({ old, new: now }: Difference): 'new' | 'gone' | 'still' {
  return old === null ? 'new' : now === null ? 'gone' : 'still';
}

/** A terminal's width. What is longer than a line and cannot be broken stands out. */
const WIDTH = 80;

/** Pieces with what parts them, on as many lines as they need behind an indent. */
function filled(pieces: readonly string[], parting: string, indent: number): readonly string[] {
  const lines: string[] = [];
  for (const piece of pieces) {
    const last = lines.at(-1);
    const longer = last === undefined ? undefined : `${last}${parting}${piece}`;
    if (longer !== undefined && indent + longer.length <= WIDTH) lines[lines.length - 1] = longer;
    else {
      if (last !== undefined) lines[lines.length - 1] = `${last}${parting}`.trimEnd();
      lines.push(piece);
    }
  }
  return lines.map((line) => `${' '.repeat(indent)}${line}`);
}

/** The comparison as text; what matters comes first and is marked with `!`. */
export function comparisonText(comparison: Comparison): string {
  const out = [
    `old  ${comparison.old.path}`,
    ...filled(logLine(comparison.old).split(' · '), ' · ', 5),
    `new  ${comparison.new.path}`,
    ...filled(logLine(comparison.new).split(' · '), ' · ', 5),
    '',
    compareSummary(comparison),
  ];
  for (const { title, rows } of groupsOf(comparison)) {
    out.push('', title);
    const wide = Math.min(34, Math.max(...rows.map(({ name }) => name.length)));
    const longest = Math.max(
      ...rows.flatMap(({ difference }) => remarksOf(difference)).map(({ length }) => length),
    );
    const indent = Math.max(4, Math.min(wide + 4, WIDTH - 1 - longest));
    for (const row of rows) out.push(...lines(row, { wide, indent }));
  }
  return `${out.join('\n')}\n`;
}

function lines(
  { name, difference: one }: ComparedGroup['rows'][number],
  { wide, indent }: { readonly wide: number; readonly indent: number },
): readonly string[] {
  const sign = one.matters ? '!' : ' ';
  if (one.section === 'findings') {
    const words = `[${one.subject}] ${one.new ?? one.old}`.split(' ');
    const [first = '', ...rest] = filled(words, ' ', 8);
    return [`${sign} ${findingTurn(one).padEnd(5)} ${first.trimStart()}`, ...rest];
  }
  const sides = `${one.old ?? '–'} → ${one.new ?? '–'}`;
  const head = `${sign} ${name.padEnd(wide)}  `;
  const told =
    head.length + sides.length <= WIDTH && name.length <= wide
      ? [`${head}${sides}`]
      : [`${sign} ${name}`, `    old  ${one.old ?? '–'}`, `    new  ${one.new ?? '–'}`];
  return [...told, ...filled(remarksOf(one), '; ', indent)];
}

/** The comparison as Markdown, fit for a comment on a pull request. */
export function comparisonMarkdown(comparison: Comparison): string {
  const cell = (text: string | null) =>
    text === null ? '–' : text.replace(/[\\`*_{}[\]<>#|~]/g, (sign) => `\\${sign}`).replace(/\s+/g, ' ');
  const out = [
    `**${cell(compareSummary(comparison))}**`,
    '',
    `- old: \`${comparison.old.path.replaceAll('`', '')}\`: ${cell(logLine(comparison.old))}`,
    `- new: \`${comparison.new.path.replaceAll('`', '')}\`: ${cell(logLine(comparison.new))}`,
  ];
  for (const { title, effect, rows } of groupsOf(comparison)) {
    out.push('', `### ${title}`, '');
    const [findings, others] = [
      rows.filter(({ difference }) => difference.section === 'findings'),
      rows.filter(({ difference }) => difference.section !== 'findings'),
    ];
    if (others.length > 0) out.push('| | old | new | |', '| - | - | - | - |');
    for (const { name, difference: one } of others) {
      const subject = effect === undefined ? cell(name) : `**${cell(name)}**`;
      out.push(`| ${subject} | ${cell(one.old)} | ${cell(one.new)} | ${cell(remarksOf(one).join('; '))} |`);
    }
    if (others.length > 0 && findings.length > 0) out.push('');
    for (const { difference: one } of findings) {
      const turn = findingTurn(one);
      out.push(`- ${turn === 'new' ? '**new**' : turn} \`${one.subject}\` ${cell(one.new ?? one.old)}`);
    }
  }
  out.push('', `> ${compareCaution}`);
  return `${out.join('\n')}\n`;
}
