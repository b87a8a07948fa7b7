// Writes the text of server/calculations/iso286-tables.ts from the check values.
import { readCheckValues } from '../checkvalues/read.ts';

export function iso286TablesText(): string {
  const grades = readCheckValues('iso286_it_grades.csv');
  const deviations = readCheckValues('iso286_fundamental_deviations.csv');
  const gradeSteps = unique(grades.map((row) => row.up_to_incl_mm!));
  const deviationSteps = unique(deviations.map((row) => row.up_to_incl_mm!));
  const cell = (rows: Record<string, string>[], step: string) =>
    rows.find((row) => row.up_to_incl_mm === step)?.table_um ?? 'null';
  const gradeLines = unique(grades.map((row) => row.grade!)).map((grade) => {
    const rows = grades.filter((row) => row.grade === grade);
    return `  ${grade}: [${gradeSteps.map((step) => cell(rows, step)).join(', ')}],`;
  });
  const letters = unique(deviations.map((row) => row.letter!)).filter((letter) => letter !== 'k(other IT)');
  const deviationLines = letters.map((letter) => {
    const rows = deviations.filter((row) => row.letter === letter);
    return `  ${letter.replace('(IT4-IT7)', '')}: [${deviationSteps.map((step) => cell(rows, step)).join(', ')}],`;
  });
  return `// The tables of ISO 286-1 to 500 mm. Generated from tests/checkvalues, which names the sources; do not edit.

/** Where each step of the tolerance grades ends, mm; that size still belongs to it. */
export const gradeSteps: readonly number[] = [${gradeSteps.join(', ')}];

/** Width of each grade by step, µm. */
// biome-ignore format: one line a grade, as the standard's table has one column
export const toleranceGrades: Readonly<Record<string, readonly number[]>> = {
${gradeLines.join('\n')}
};

/** Where each step of the fundamental deviations ends, mm. */
// biome-ignore format: one line
export const deviationSteps: readonly number[] = [${deviationSteps.join(', ')}];

/** Fundamental deviation of shafts by step, µm: es for a to h, ei for k (grades 4 to 7) to zc; null where there is none. */
// biome-ignore format: one line a letter, as the standard's table has one column
export const shaftDeviations: Readonly<Record<string, readonly (number | null)[]>> = {
${deviationLines.join('\n')}
};
`;
}

function unique(values: readonly string[]): string[] {
  return [...new Set(values)];
}
