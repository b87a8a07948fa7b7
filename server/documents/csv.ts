/** Comma-separated values as RFC 4180 has them, safe to open in a spreadsheet. */

/** A cell: numbers stay numbers, null and undefined are empty. */
export type CsvCell = string | number | null | undefined;

/**
 * A line that names the columns and a line a row, each ended by CR LF. Text that a spreadsheet would take for a formula
 * (it begins with `=`, `+`, `-`, `@`, a tab or a line break) gets an apostrophe before it, unless it is a number.
 */
export function csvText(columns: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  return [columns, ...rows].map((row) => `${row.map(csvCell).join(',')}\r\n`).join('');
}

function csvCell(cell: CsvCell): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : '';
  const isFormula = /^[=+\-@\t\r\n]/.test(cell) && !/^-?\d+(\.\d+)?$/.test(cell);
  const safe = isFormula ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}
