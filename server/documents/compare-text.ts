/** A comparison as plain text for a terminal, and as Markdown for a pull request. */
import type { ComparedLog, CompareSection, Comparison, Difference } from './compare.ts';

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

/** The sections that have something, in order. */
export function sectionsOf(
  comparison: Comparison,
): readonly (readonly [section: CompareSection, differences: readonly Difference[]])[] {
  return (Object.keys(compareTitles) as CompareSection[])
    .map((section) => [section, comparison.differences.filter((one) => one.section === section)] as const)
    .filter(([, differences]) => differences.length > 0);
}

/** `12 differences, 3 of them matter.` */
export function compareSummary({ differences }: Comparison): string {
  const mattering = differences.filter((one) => one.matters).length;
  if (differences.length === 0) return 'No difference in what the two logs record.';
  const count = differences.length === 1 ? '1 difference' : `${differences.length} differences`;
  const weight =
    mattering === 0
      ? 'none changes a verdict or leaves something undone'
      : mattering === 1
        ? '1 matters'
        : `${mattering} matter`;
  return `${count}; ${weight}.`;
}

/** One line on a log: title, machine, hours, dates, state. */
export function logLine(log: ComparedLog): string {
  const days = log.from === null ? '' : log.from === log.to ? log.from : `${log.from} to ${log.to}`;
  const counts = `${log.errors} ${log.errors === 1 ? 'error' : 'errors'}, ${log.warnings} ${log.warnings === 1 ? 'warning' : 'warnings'}`;
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

/** The comparison as text; what matters is marked with `!`. */
export function comparisonText(comparison: Comparison): string {
  const out = [
    `old  ${comparison.old.path}`,
    `     ${logLine(comparison.old)}`,
    `new  ${comparison.new.path}`,
    `     ${logLine(comparison.new)}`,
    '',
    compareSummary(comparison),
  ];
  for (const [section, differences] of sectionsOf(comparison)) {
    out.push('', compareTitles[section]);
    const wide = Math.min(34, Math.max(...differences.map(({ subject }) => subject.length)));
    for (const one of differences) {
      const remarks = remarksOf(one);
      const head = `${one.matters ? '!' : ' '} ${one.subject.padEnd(wide)}  `;
      if (section === 'findings') {
        out.push(
          `${one.matters ? '!' : ' '} ${one.new === null ? 'gone' : 'new '} [${one.subject}] ${one.new ?? one.old}`,
        );
        continue;
      }
      const sides = `${one.old ?? '–'} → ${one.new ?? '–'}`;
      const indent = ' '.repeat(wide + 4);
      if (head.length + sides.length <= 110 && one.subject.length <= wide) out.push(`${head}${sides}`);
      else
        out.push(
          `${one.matters ? '!' : ' '} ${one.subject}`,
          `    old  ${one.old ?? '–'}`,
          `    new  ${one.new ?? '–'}`,
        );
      if (remarks.length > 0) out.push(`${indent}${remarks.join('; ')}`);
    }
  }
  return `${out.join('\n')}\n`;
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
  for (const [section, differences] of sectionsOf(comparison)) {
    out.push('', `### ${compareTitles[section]}`, '');
    if (section === 'findings') {
      for (const one of differences)
        out.push(`- ${one.new === null ? 'gone' : '**new**'} \`${one.subject}\` ${cell(one.new ?? one.old)}`);
      continue;
    }
    out.push('| | | old | new | |', '| - | - | - | - | - |');
    for (const one of differences) {
      const subject = one.matters ? `**${cell(one.subject)}**` : cell(one.subject);
      out.push(
        `| ${one.matters ? '❗' : ''} | ${subject} | ${cell(one.old)} | ${cell(one.new)} | ${cell(remarksOf(one).join('; '))} |`,
      );
    }
  }
  out.push('', `> ${compareCaution}`);
  return `${out.join('\n')}\n`;
}
